// SPDX-License-Identifier: Apache-2.0

package export

import (
	"encoding/csv"
	"io"
	"strings"
)

// CSV writes the table with commas, points as decimal marks and CRLF, in UTF-8,
// as RFC 4180 has it. Words that a spreadsheet would take for a formula begin
// with an apostrophe.
func (t Table) CSV(w io.Writer) error {
	c := csv.NewWriter(w)
	c.UseCRLF = true
	if err := c.Write(t.Head); err != nil {
		return err
	}
	for _, row := range t.Rows {
		line := make([]string, len(row))
		for i, cell := range row {
			line[i] = cell.String()
			if cell.Number == nil {
				line[i] = harmless(line[i])
			}
		}
		if err := c.Write(line); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

// harmless keeps a spreadsheet from running what somebody typed.
func harmless(text string) string {
	if strings.ContainsRune("=+-@\t\r", rune((text + " ")[0])) {
		return "'" + text
	}
	return text
}
