// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"
	"strings"
	"testing"

	"witnessmark/units"
)

// The journal's roughness outlasts its shells; the shells' belongs to those that
// were in when it was read, and the last entry of a surface counts.
func TestRoughnessThatCounts(t *testing.T) {
	um := func(texts ...string) []units.Read {
		var out []units.Read
		for _, x := range texts {
			out = append(out, *mm(t, x+" µm"))
		}
		return out
	}
	s := Fold(nil)
	read := func(seq int64, b RoughnessRead) {
		if err := b.check(); err != nil {
			t.Fatal(err)
		}
		b.apply(&s, At{Seq: seq})
	}
	read(1, RoughnessRead{Of: SurfaceJournal, Phase: AsFound, Position: 4, Parameter: RoughnessRa, Values: um("0.9")})
	read(2, RoughnessRead{Of: SurfaceJournal, Phase: AsFound, Position: 4, Parameter: RoughnessRa, Values: um("0.2", "0.4")})
	read(3, RoughnessRead{Of: SurfaceShell, Phase: AsFound, Position: 4, Parameter: RoughnessRq, Values: um("1")})
	read(4, RoughnessRead{Of: SurfaceShell, Phase: AsFitted, Position: 4, Parameter: RoughnessRa, Values: um("0.5")})
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 5e-7 {
			t.Errorf("%s: %g µm, want %g", what, got, want)
		}
	}
	found, fitted := filmRoughness(&s, AsFound, 4), filmRoughness(&s, AsFitted, 4)
	near("journal, mean of two", found.JournalUM, 0.3)
	near("old shells, Rq 1 µm", found.ShellUM, 0.797885) // √(2/π), by hand
	near("journal with new shells", fitted.JournalUM, 0.3)
	near("new shells", fitted.ShellUM, 0.5)
	s.position(4).ShellsSince = 5
	fitted = filmRoughness(&s, AsFitted, 4)
	if fitted.ShellUM != 0 || fitted.JournalUM != found.JournalUM {
		t.Errorf("with other shells: %+v", fitted)
	}
	if filmRoughness(&s, AsFitted, 3) != nil {
		t.Error("position 3 was not read")
	}
}

func TestRoughnessRefused(t *testing.T) {
	good := func() RoughnessRead {
		return RoughnessRead{Of: SurfaceJournal, Phase: AsFound, Position: 1, Parameter: RoughnessRa, Values: []units.Read{*mm(t, "0.2 µm")}}
	}
	for want, spoil := range map[string]func(*RoughnessRead){
		"surface":            func(b *RoughnessRead) { b.Of = "sump" },
		"parameter":          func(b *RoughnessRead) { b.Parameter = "Rx" },
		"at least one trace": func(b *RoughnessRead) { b.Values = nil },
		"check the unit":     func(b *RoughnessRead) { b.Values[0] = *mm(t, "0.2 mm") },
		"positions are":      func(b *RoughnessRead) { b.Position = 0 },
		"phase":              func(b *RoughnessRead) { b.Phase = "" },
		"0.001 and 20 µm":    func(b *RoughnessRead) { b.Values[0] = *mm(t, "0 µm") },
		"more than 20":       func(b *RoughnessRead) { b.Values = make([]units.Read, 21) },
	} {
		b := good()
		if err := b.check(); err != nil {
			t.Fatal(err)
		}
		spoil(&b)
		if err := b.check(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v: want %q", err, want)
		}
	}
}
