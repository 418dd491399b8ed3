// SPDX-License-Identifier: Apache-2.0

// Package studycsv reads and writes the table of a gauge study: part, person,
// reading_mm, a line a reading.
package studycsv

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"witnessmark/metrology"
)

// MaxBytes bounds the table of a gauge study.
const MaxBytes = 1 << 20

// studyColumns must all stand in the first line, in any order.
var studyColumns = []string{"part", "person", "reading_mm"}

// Parse reads a table of readings. A first line with semicolons means
// semicolons between columns and decimal commas.
func Parse(text string) ([]metrology.StudyReading, error) {
	text = strings.TrimPrefix(text, "\uFEFF")
	r := csv.NewReader(strings.NewReader(text))
	r.TrimLeadingSpace = true
	first, _, _ := strings.Cut(text, "\n")
	semicolons := strings.Contains(first, ";")
	if semicolons {
		r.Comma = ';'
	}
	header, err := r.Read()
	if err != nil {
		return nil, fmt.Errorf("no first line with the columns %s (%w)", strings.Join(studyColumns, ","), err)
	}
	var at [3]int
	for i, name := range studyColumns {
		if at[i] = slices.IndexFunc(header, func(h string) bool { return strings.TrimSpace(h) == name }); at[i] < 0 {
			return nil, fmt.Errorf("line 1: no column %q; the first line must be %s", name, strings.Join(studyColumns, ","))
		}
	}
	var out []metrology.StudyReading
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			return out, nil
		}
		if err != nil {
			return nil, err // names line and column
		}
		line, _ := r.FieldPos(0)
		reading, err := studyRow(row[at[0]], row[at[1]], row[at[2]], semicolons)
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", line, err)
		}
		out = append(out, reading)
	}
}

func studyRow(part, person, typed string, decimalComma bool) (metrology.StudyReading, error) {
	r := metrology.StudyReading{Part: strings.TrimSpace(part), Person: strings.TrimSpace(person)}
	if r.Part == "" || r.Person == "" {
		return r, errors.New("part or person is empty; name both in every line")
	}
	number := strings.TrimSpace(typed)
	if decimalComma {
		number = strings.Replace(number, ",", ".", 1)
	}
	x, err := strconv.ParseFloat(number, 64)
	if err != nil || math.IsNaN(x) || math.Abs(x) > 1e5 || strings.ContainsAny(number, "xX_") {
		return r, fmt.Errorf("reading_mm %q is not a plain length in mm up to 100 m, such as 0.042", typed)
	}
	r.Reading = x
	return r, nil
}

// Write writes readings as a table that [Parse] reads.
func Write(w io.Writer, readings []metrology.StudyReading) error {
	out := csv.NewWriter(w)
	if err := out.Write(studyColumns); err != nil {
		return err
	}
	for _, r := range readings {
		if err := out.Write([]string{r.Part, r.Person, strconv.FormatFloat(r.Reading, 'f', -1, 64)}); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}
