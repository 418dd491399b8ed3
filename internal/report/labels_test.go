// SPDX-License-Identifier: Apache-2.0

package report

import (
	"bytes"
	"strings"
	"testing"
)

func TestLabels(t *testing.T) {
	g := Grid{Options: Options{Paper: "letter"}, Columns: 3, Rows: 10, MarginTop: 12.7, MarginSide: 4.8, GapAcross: 3.2, Skip: 28}
	list := []Sticker{{Code: "witnessmark:job/0412/bag/sump", Title: "Sump bolts", Lines: []string{"Job 0412", "Sump off"}}, {Code: "b", Title: "B"}, {Code: "c", Title: "C"}}
	var a, b bytes.Buffer
	if err := Labels(&a, g, list, "Labels", "test"); err != nil {
		t.Fatal(err)
	}
	if err := Labels(&b, g, list, "Labels", "test"); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("the same labels give other bytes")
	}
	// Two places are left on the first sheet, so the third label is on a second.
	if n := strings.Count(a.String(), "/Type /Page\n"); n != 2 {
		t.Errorf("%d pages, want 2", n)
	}
}

func TestGridsThatCannotBe(t *testing.T) {
	good := Grid{Options: Options{Paper: "a4"}, Columns: 3, Rows: 8}
	if err := good.Check(); err != nil {
		t.Fatal(err)
	}
	for name, change := range map[string]func(*Grid){
		"paper": func(g *Grid) { g.Paper = "a3" }, "no columns": func(g *Grid) { g.Columns = 0 }, "too small": func(g *Grid) { g.Columns, g.Rows = 12, 30 },
		"all used": func(g *Grid) { g.Skip = 24 }, "margin": func(g *Grid) { g.MarginTop = -1 },
	} {
		g := good
		change(&g)
		if g.Check() == nil {
			t.Errorf("%s: taken", name)
		}
	}
}
