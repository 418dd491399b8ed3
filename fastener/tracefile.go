// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
)

// Bounds of a trace file, so that any file gives an answer or an error in
// bounded memory.
const (
	pointWidth    = 0.1       // rows within a tenth of a degree become one point
	backTolerance = 2.0       // degrees that a wrench may swing back
	maxFasteners  = 10_000    //
	maxPoints     = 4_000_000 // over all fasteners: 128 MB
	maxAngle      = 36_000    // degrees: a hundred turns
	maxTorque     = 100_000   // N·m
	maxLine       = 1 << 16   // bytes
)

// TraceFile is what a file of traces holds.
type TraceFile struct {
	Traces  []Trace // in the order in which the fasteners first appear
	Rows    int     // rows read, Skipped included
	Skipped int     // rows without angle or torque
	Notes   []string
}

// ReadTraces reads a file of traces: one line that names the columns, then one
// row per reading, by rising angle within each fastener. Fasteners may be
// mixed row by row.
//
// Separators are commas, semicolons or tabs; with the last two, decimals may
// have a comma. The columns are found by name (see [Columns]); lines before
// the naming one, up to fifty, are read over.
//
// It streams: memory depends on fasteners and degrees, not on rows. Rows
// within 0.1° become one point. A wrench that swings back to take a new bite
// (no new angle, torque under half of what was reached) is read over, and the
// note says how many rows that were.
//
// Errors name line and column: no such columns, a cell that is no number, an
// angle that goes back by more than 2°, more fasteners or points than allowed.
func ReadTraces(r io.Reader, cols Columns) (TraceFile, error) {
	tr := &traceReader{cols: cols, byName: map[string]*collector{}}
	tr.in = bufio.NewReaderSize(r, maxLine)
	if err := tr.header(); err != nil {
		return TraceFile{}, err
	}
	if err := tr.rows(); err != nil {
		return TraceFile{}, err
	}
	return tr.file()
}

type traceReader struct {
	in         *bufio.Reader
	line       int
	headerLine int
	cols       Columns
	table      layout
	comma      bool // decimals may have a comma

	byName  map[string]*collector
	order   []*collector
	current *collector
	cells   [][]byte
	points  int
	rowsN   int
	skipped int
}

// next returns the next line without its end; nil at the end of the file.
func (tr *traceReader) next() ([]byte, error) {
	b, err := tr.in.ReadSlice('\n')
	tr.line++
	switch {
	case errors.Is(err, bufio.ErrBufferFull):
		return nil, fmt.Errorf("line %d is longer than %d characters; is this a table?", tr.line, maxLine)
	case errors.Is(err, io.EOF) && len(b) == 0:
		return nil, io.EOF
	case err != nil && !errors.Is(err, io.EOF):
		return nil, err
	}
	return bytes.TrimRight(b, "\r\n"), nil
}

func (tr *traceReader) header() error {
	first := ""
	for tr.line < 50 {
		b, err := tr.next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return err
		}
		if err := checkText(b, tr.line); err != nil {
			return err
		}
		t, found, err := findLayout(string(b), tr.cols)
		if err != nil {
			return fmt.Errorf("line %d: %w", tr.line, err)
		}
		if found {
			tr.table, tr.comma, tr.headerLine = t, t.separator != ',', tr.line
			tr.cells = make([][]byte, 0, t.width)
			return nil
		}
		if first == "" {
			first = string(b)
		}
	}
	return noColumns(first, tr.cols)
}

func (tr *traceReader) rows() error {
	for {
		b, err := tr.next()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		if len(bytes.TrimSpace(b)) == 0 {
			continue
		}
		tr.rowsN++
		if err := tr.row(b); err != nil {
			return fmt.Errorf("line %d: %w", tr.line, err)
		}
	}
}

// row takes one row in.
func (tr *traceReader) row(b []byte) error {
	t := &tr.table
	if err := tr.split(b); err != nil {
		return err
	}
	angle, ok1, err1 := tr.number(t.angle, "angle")
	torque, ok2, err2 := tr.number(t.torque, "torque")
	if err := firstError(err1, err2); err != nil {
		return err
	}
	if !ok1 || !ok2 {
		tr.skipped++
		return nil
	}
	angle, torque = angle*t.angleUnit, torque*t.torqueUnit
	if math.Abs(angle) > maxAngle || math.Abs(torque) > maxTorque {
		return fmt.Errorf("angle %.6g°, torque %.6g N·m: past anything a wrench reads (%d°, %d N·m); check the columns", angle, torque, maxAngle, maxTorque)
	}
	var name []byte
	if t.fastener >= 0 && t.fastener < len(tr.cells) {
		name = bytes.TrimSpace(tr.cells[t.fastener])
	}
	c, err := tr.collectorOf(name)
	if err != nil {
		return err
	}
	return tr.add(c, angle, torque)
}

func (tr *traceReader) add(c *collector, angle, torque float64) error {
	before := len(c.points)
	if err := c.add(angle, torque); err != nil {
		if tr.table.fastener < 0 {
			return fmt.Errorf("%w; the file names no fasteners: are several mixed?", err)
		}
		return err
	}
	tr.points += len(c.points) - before
	if tr.points > maxPoints {
		return fmt.Errorf("more than %d points of a tenth of a degree; split the file", maxPoints)
	}
	return nil
}

// split cuts b into cells. A row with more cells than the header has lost its
// decimal commas among the separators.
func (tr *traceReader) split(b []byte) error {
	cells, sep := tr.cells[:0], tr.table.separator
	if bytes.IndexByte(b, '"') >= 0 {
		cells = splitQuoted(cells, b, sep)
	} else {
		for {
			i := bytes.IndexByte(b, sep)
			if i < 0 {
				break
			}
			cells = append(cells, b[:i])
			b = b[i+1:]
		}
		cells = append(cells, b)
	}
	tr.cells = cells
	for len(cells) > tr.table.width && len(bytes.TrimSpace(cells[len(cells)-1])) == 0 {
		cells = cells[:len(cells)-1]
	}
	if len(cells) > tr.table.width {
		hint := "is a separator inside a name?"
		if sep == ',' {
			hint = "decimal commas can't be told from separators: save it with semicolons, or with decimal points"
		}
		return fmt.Errorf("%d cells, the header has %d; %s", len(cells), tr.table.width, hint)
	}
	return nil
}

// number reads cell i; false if it is blank.
func (tr *traceReader) number(i int, what string) (float64, bool, error) {
	if i >= len(tr.cells) {
		return 0, false, nil // a row cut short
	}
	cell := bytes.TrimSpace(tr.cells[i])
	x, ok := parseNumber(cell, tr.comma)
	if ok {
		return x, true, nil
	}
	if blank(cell) {
		return 0, false, nil
	}
	if x, ok = parseNumber(cell, true); !ok {
		return 0, false, fmt.Errorf("column %d (%s): %q is no number; correct the row or leave the cell empty", i+1, what, clip(cell))
	}
	return x, true, nil
}

// blank: nothing was measured.
func blank(cell []byte) bool {
	switch string(bytes.ToLower(cell)) {
	case "", "-", "--", "nan", "n/a", "na", "null":
		return true
	}
	return false
}

func clip(b []byte) string {
	if len(b) > 40 {
		return string(b[:40]) + "…"
	}
	return string(b)
}

func (tr *traceReader) collectorOf(name []byte) (*collector, error) {
	if tr.current != nil && string(name) == tr.current.name {
		return tr.current, nil
	}
	c, ok := tr.byName[string(name)]
	if !ok {
		if len(tr.order) == maxFasteners {
			return nil, fmt.Errorf("more than %d fasteners; is the right column taken for their names?", maxFasteners)
		}
		c = &collector{name: string(name)}
		tr.byName[c.name] = c
		tr.order = append(tr.order, c)
	}
	tr.current = c
	return c, nil
}

func (tr *traceReader) file() (TraceFile, error) {
	f := TraceFile{Rows: tr.rowsN, Skipped: tr.skipped}
	if tr.rowsN == 0 {
		return f, fmt.Errorf("no rows under the header on line %d", tr.headerLine)
	}
	if 2*tr.skipped > tr.rowsN {
		return f, fmt.Errorf("%d of %d rows have no angle or no torque; check the columns", tr.skipped, tr.rowsN)
	}
	if tr.skipped > 0 {
		f.Notes = append(f.Notes, fmt.Sprintf("%d of %d rows have no angle or no torque and were left out", tr.skipped, tr.rowsN))
	}
	if tr.table.fastener < 0 {
		f.Notes = append(f.Notes, "the file names no fasteners; all rows are taken for one")
	}
	for _, c := range tr.order {
		t := c.trace()
		if gap, at := t.Gap(); gap > 0 {
			f.Notes = append(f.Notes, fmt.Sprintf("fastener %s: nothing between %.4g° and %.4g°", t.Fastener, at, at+gap))
		}
		if c.passed > 0 {
			f.Notes = append(f.Notes, fmt.Sprintf("fastener %s: %d rows at angles it had passed before were read over, as the way back for a new bite; a second fastener needs a name of its own", t.Fastener, c.passed))
		}
		f.Traces = append(f.Traces, t)
	}
	return f, nil
}
