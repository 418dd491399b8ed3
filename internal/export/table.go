// SPDX-License-Identifier: Apache-2.0

// Package export writes the papers of a job as tables for other programs: the
// estimate, the parts list and the account, as CSV (RFC 4180) and as XLSX
// (ISO/IEC 29500).
//
// [Estimate], [Parts] and [Account] make a [Table]; [Table.CSV] and [Table.XLSX]
// write it. The same table gives the same bytes.
package export

import "github.com/govalues/decimal"

// Table is a heading and rows of cells.
type Table struct {
	Name string // of the sheet
	Head []string
	Rows [][]Cell
}

// Cell is words, or a number with the decimals that it is to be shown with.
type Cell struct {
	Text   string
	Number *decimal.Decimal
}

func words(s string) Cell            { return Cell{Text: s} }
func number(d decimal.Decimal) Cell  { return Cell{Number: &d} }
func amount(d *decimal.Decimal) Cell { return Cell{Number: d} }

// String is what stands in the cell.
func (c Cell) String() string {
	if c.Number != nil {
		return c.Number.String()
	}
	return c.Text
}

// add appends a row.
func (t *Table) add(cells ...Cell) { t.Rows = append(t.Rows, cells) }
