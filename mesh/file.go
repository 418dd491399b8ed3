// SPDX-License-Identifier: Apache-2.0

package mesh

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// maxReadings bounds a file; a gear has a few hundred teeth at most.
const maxReadings = 100_000

// ReadReadings reads a table whose first line names the columns angle_deg and
// reading_mm, separated by commas, semicolons or tabs; with the last two a
// decimal comma is understood. Other columns are read over.
//
// Errors name the line: a column missing, a cell that is no number, no
// readings, more than 100,000.
func ReadReadings(r io.Reader) ([]Reading, error) {
	in := bufio.NewReaderSize(r, 1<<16)
	first, _ := in.Peek(1 << 12)
	head, _, _ := strings.Cut(string(first), "\n")
	if strings.ContainsRune(head, 0) {
		return nil, errors.New("line 1: not plain text; save it as CSV in UTF-8")
	}
	c := csv.NewReader(in)
	c.Comma = separator(head)
	c.FieldsPerRecord = -1               // counted below, with a better sentence
	c.TrimLeadingSpace = c.Comma != '\t' // which is white space itself
	names, err := c.Read()
	if err != nil {
		return nil, fmt.Errorf("no line that names the columns angle_deg and reading_mm: %w", err)
	}
	angle, value := column(names, "angle"), column(names, "reading")
	if angle < 0 || value < 0 {
		return nil, fmt.Errorf("line 1: the columns are %s; angle_deg and reading_mm are needed", strings.Join(names, ", "))
	}
	var list []Reading
	for {
		cells, err := c.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		line, _ := c.FieldPos(0)
		if len(cells) != len(names) {
			return nil, fmt.Errorf("line %d: %d cells, the header has %d; decimal commas need semicolons between cells", line, len(cells), len(names))
		}
		x, err1 := number(cells[angle], c.Comma)
		y, err2 := number(cells[value], c.Comma)
		if err := errors.Join(err1, err2); err != nil {
			return nil, fmt.Errorf("line %d: %w", line, err)
		}
		if list = append(list, Reading{x, y}); len(list) > maxReadings {
			return nil, fmt.Errorf("line %d: more than %d readings; is this the right file?", line, maxReadings)
		}
	}
	if len(list) == 0 {
		return nil, errors.New("no readings under the column names")
	}
	return list, nil
}

func separator(head string) rune {
	for _, r := range []rune{';', '\t'} {
		if strings.ContainsRune(head, r) {
			return r
		}
	}
	return ','
}

// column finds a column by the word that its name begins with, whatever
// brackets or mojibake follow.
func column(names []string, word string) int {
	for i, n := range names {
		n = strings.ToLower(strings.TrimSpace(strings.TrimPrefix(n, "\ufeff")))
		if strings.HasPrefix(n, word) {
			return i
		}
	}
	return -1
}

func number(s string, separator rune) (float64, error) {
	t := strings.TrimSpace(s)
	if separator != ',' || !strings.Contains(t, ".") {
		t = strings.Replace(t, ",", ".", 1)
	}
	x, err := strconv.ParseFloat(t, 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) || strings.ContainsAny(t, "xXpP_") {
		return 0, fmt.Errorf("%q is no number", s)
	}
	return x, nil
}
