// SPDX-License-Identifier: Apache-2.0

package export

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"

	"github.com/govalues/decimal"
	"github.com/xuri/excelize/v2"

	"witnessmark/plans"
	"witnessmark/scope"
)

func planned(t *testing.T) (*scope.Plan, scope.Estimate) {
	t.Helper()
	p, ok, err := plans.ForFamily("AV34")
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	e, err := p.Estimate(scope.Request{Want: []string{"rod_bearings", "balance_bearings"}, Offer: []string{"engine_mounts", "timing_chain"}})
	if err != nil {
		t.Fatal(err)
	}
	return p, e
}

// TestTablesReadBack writes each table as CSV and XLSX and reads it with
// another program's reader: the same cells, and sums that add up.
func TestTablesReadBack(t *testing.T) {
	p, e := planned(t)
	a, err := p.Account(e, scope.Used{Hours: map[string]scope.Hours{"rod_bearings": scope.HoursOf(6.5), "=1+1": scope.HoursOf(0.25)},
		Parts: map[string]decimal.Decimal{"rod_bolt": decimal.MustParse("17")}})
	if err != nil {
		t.Fatal(err)
	}
	for _, table := range []Table{Estimate(p, e), Parts(e), Account(a)} {
		var text, again, book bytes.Buffer
		if err := table.CSV(&text); err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(&text).ReadAll()
		if err != nil || len(rows) != len(table.Rows)+1 {
			t.Fatalf("%s: %d rows, %v", table.Name, len(rows), err)
		}
		for _, w := range []*bytes.Buffer{&book, &again} {
			if err := table.XLSX(w); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(book.Bytes(), again.Bytes()) {
			t.Errorf("%s: the same table gave other bytes", table.Name)
		}
		f, err := excelize.OpenReader(&book)
		if err != nil {
			t.Fatal(err)
		}
		cells, err := f.GetRows(table.Name)
		if err != nil || len(cells) != len(rows) {
			t.Fatalf("%s: %d rows in the workbook, %v", table.Name, len(cells), err)
		}
		for r, row := range rows {
			for i, want := range row {
				got := ""
				if i < len(cells[r]) {
					got = cells[r][i]
				}
				if got != strings.TrimPrefix(want, "'") {
					t.Errorf("%s, row %d, column %d: %q in the workbook, %q in the CSV", table.Name, r+1, i+1, got, want)
				}
			}
		}
	}
}

// TestEstimateSums adds the lines of the written estimate up again.
func TestEstimateSums(t *testing.T) {
	p, e := planned(t)
	var parts decimal.Decimal
	hours := decimal.Zero
	for _, row := range Estimate(p, e).Rows {
		switch row[0].Text {
		case "part":
			if row[6].Number == nil {
				if row[6].Text != toCome {
					t.Errorf("%s: %q where no price is known", row[1].Text, row[6].Text)
				}
				continue
			}
			parts, _ = parts.Add(*row[6].Number)
		case "operation", "work", "companion":
			hours, _ = hours.Add(*row[3].Number)
		case "sum":
			if row[2].Text == "Parts" && row[6].Number.Cmp(parts) != 0 {
				t.Errorf("parts add up to %s, the sum says %s", parts, row[6].Number)
			}
			if row[2].Text == "Labour" && row[3].Number.Cmp(hours) != 0 {
				t.Errorf("hours add up to %s, the sum says %s", hours, row[3].Number)
			}
		}
	}
}

// TestHarmless: words that a spreadsheet would run are words.
func TestHarmless(t *testing.T) {
	for _, text := range []string{"=HYPERLINK(1)", "+1", "-1", "@x", "\tx"} {
		var b bytes.Buffer
		table := Table{Name: "T", Head: []string{"a"}, Rows: [][]Cell{{words(text)}}}
		if err := table.CSV(&b); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(b.String(), "'"+text) {
			t.Errorf("%q was written as %q", text, b.String())
		}
		b.Reset()
		if err := table.XLSX(&b); err != nil {
			t.Fatal(err)
		}
		f, err := excelize.OpenReader(&b)
		if err != nil {
			t.Fatal(err)
		}
		if formula, _ := f.GetCellFormula("T", "A2"); formula != "" {
			t.Errorf("%q became the formula %q", text, formula)
		}
	}
}
