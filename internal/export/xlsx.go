// SPDX-License-Identifier: Apache-2.0

package export

import (
	"fmt"
	"io"

	"github.com/xuri/excelize/v2"
)

// XLSX writes the table as a workbook of one sheet: the heading bold and held
// in view, numbers as numbers with their decimals, words as words.
func (t Table) XLSX(w io.Writer) error {
	f := excelize.NewFile()
	defer f.Close()
	if err := f.SetSheetName("Sheet1", t.Name); err != nil {
		return fmt.Errorf("export: %s: %w", t.Name, err)
	}
	b := book{f: f, styles: map[int]int{}}
	if err := b.fill(t); err != nil {
		return fmt.Errorf("export: %s: %w", t.Name, err)
	}
	return f.Write(w)
}

// book is a workbook while it is written.
type book struct {
	f      *excelize.File
	styles map[int]int // by decimals
}

func (b *book) fill(t Table) error {
	s, err := b.f.NewStreamWriter(t.Name)
	if err != nil {
		return err
	}
	for i := range t.Head {
		if err := s.SetColWidth(i+1, i+1, width(t, i)); err != nil {
			return err
		}
	}
	if err := s.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return err
	}
	bold, err := b.f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	if err != nil {
		return err
	}
	head := make([]any, len(t.Head))
	for i, h := range t.Head {
		head[i] = excelize.Cell{StyleID: bold, Value: h}
	}
	if err := s.SetRow("A1", head); err != nil {
		return err
	}
	for r, row := range t.Rows {
		cells := make([]any, len(row))
		for i, c := range row {
			if cells[i], err = b.cell(c); err != nil {
				return err
			}
		}
		at, err := excelize.CoordinatesToCellName(1, r+2)
		if err != nil {
			return err
		}
		if err := s.SetRow(at, cells); err != nil {
			return err
		}
	}
	return s.Flush()
}

func (b *book) cell(c Cell) (any, error) {
	if c.Number == nil {
		return c.Text, nil
	}
	n, _ := c.Number.Float64()
	scale := c.Number.Scale()
	if _, ok := b.styles[scale]; !ok {
		format := "0"
		if scale > 0 {
			format += "." + fmt.Sprintf("%0*d", scale, 0)
		}
		id, err := b.f.NewStyle(&excelize.Style{CustomNumFmt: &format})
		if err != nil {
			return nil, err
		}
		b.styles[scale] = id
	}
	return excelize.Cell{StyleID: b.styles[scale], Value: n}, nil
}

// width is what the longest cell of a column needs, within reason.
func width(t Table, column int) float64 {
	n := len([]rune(t.Head[column]))
	for _, row := range t.Rows {
		if column < len(row) {
			n = max(n, len([]rune(row[column].String())))
		}
	}
	return float64(min(max(n+2, 8), 60))
}
