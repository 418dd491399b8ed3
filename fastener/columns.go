// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"witnessmark/units"
)

// Columns names the columns of a trace file, as they stand in it. An empty
// name is looked for: a column called fastener, angle_deg or torque_Nm, else
// the only one whose name contains a word for it. A fastener column may be
// missing: all rows then belong to one.
type Columns struct{ Fastener, Angle, Torque string }

// layout is where the columns are.
type layout struct {
	separator               byte
	width                   int
	fastener, angle, torque int // fastener −1: none
	angleUnit, torqueUnit   float64
}

// Words that a column's name is known by, letters and digits only, so that
// brackets, degree signs and their mojibake don't matter. The first is the
// exact name.
var (
	fastenerWords = []string{"fastener", "bolt", "screw", "schraube", "boulon", "vite", "tornillo"}
	angleWords    = []string{"angledeg", "angle", "winkel", "angolo", "ngulo"}
	torqueWords   = []string{"torquenm", "torque", "drehmoment", "moment", "couple", "coppia"}
)

// findLayout tries a line as the one that names the columns.
func findLayout(line string, cols Columns) (layout, bool, error) {
	line = strings.TrimPrefix(line, "\ufeff")
	for _, sep := range []byte{';', '\t', ','} {
		names := headerCells(line, sep)
		if len(names) < 2 || len(names) > 1000 {
			continue
		}
		angle, err1 := findColumn(names, cols.Angle, "angle", angleWords)
		torque, err2 := findColumn(names, cols.Torque, "torque", torqueWords)
		if angle < 0 || torque < 0 {
			if err := firstError(err1, err2); err != nil && (angle >= 0 || torque >= 0 || err1 != nil && err2 != nil) {
				return layout{}, false, err
			}
			continue
		}
		rest := slices.Clone(names)
		rest[angle], rest[torque] = "", ""
		fastener, err := findColumn(rest, cols.Fastener, "fastener", fastenerWords)
		if err != nil {
			return layout{}, false, err
		}
		if fastener < 0 && cols.Fastener != "" {
			return layout{}, false, fmt.Errorf("no column %q; it has %s", cols.Fastener, strings.Join(names, ", "))
		}
		if angle == torque {
			return layout{}, false, fmt.Errorf("column %q could be both angle and torque; name both columns", names[angle])
		}
		au, tu, err := columnUnits(names[angle], names[torque])
		return layout{sep, len(names), fastener, angle, torque, au, tu}, err == nil, err
	}
	return layout{}, false, nil
}

func headerCells(line string, sep byte) []string {
	var names []string
	for _, c := range splitQuoted(nil, []byte(line), sep) {
		names = append(names, strings.TrimSpace(string(c)))
	}
	return names
}

// findColumn returns −1 if there is none, and an error if there are several.
func findColumn(names []string, asked, what string, words []string) (int, error) {
	var exact, loose []int
	for i, n := range names {
		k := plain(n)
		switch {
		case asked != "":
			if n == asked || k != "" && k == plain(asked) {
				exact = append(exact, i)
			}
		case k == words[0]:
			exact = append(exact, i)
		case containsAny(k, words):
			loose = append(loose, i)
		}
	}
	found := exact
	if len(found) == 0 {
		found = loose
	}
	switch len(found) {
	case 0:
		return -1, nil
	case 1:
		return found[0], nil
	}
	return -1, fmt.Errorf("columns %q and %q could both be the %s; say which", names[found[0]], names[found[1]], what)
}

func containsAny(s string, words []string) bool {
	for _, w := range words {
		if strings.Contains(s, w) {
			return true
		}
	}
	return false
}

// plain keeps the letters a to z and digits, in lower case.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			return r
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		}
		return -1
	}, s)
}

// columnUnits reads the units in the names: degrees and N·m unless they say
// otherwise.
func columnUnits(angle, torque string) (float64, float64, error) {
	a, t := 1.0, 1.0
	if words := fields(angle); words["rad"] || words["radians"] {
		a = units.UnitRadian.ToCanonical(1)
	}
	k := plain(torque)
	switch {
	case containsAny(k, []string{"lbfft", "ftlb", "lbft"}):
		t = units.UnitPoundForceFoot.ToCanonical(1)
	case containsAny(k, []string{"lbfin", "inlb", "lbin"}):
		t = units.UnitPoundForceInch.ToCanonical(1)
	case containsAny(k, []string{"kgfm", "kgm", "kpm"}):
		t = units.UnitKilogramForceMetre.ToCanonical(1)
	case containsAny(k, []string{"ozin", "inoz", "kgcm", "kgfcm"}):
		return 0, 0, fmt.Errorf("column %q: its unit is not known here; convert it to N·m", torque)
	case strings.HasSuffix(k, "cnm"):
		t = 0.01
	case strings.HasSuffix(k, "knm"):
		t = 1000
	}
	return a, t, nil
}

// fields returns the words of a name, split at anything but letters.
func fields(s string) map[string]bool {
	set := map[string]bool{}
	for _, w := range strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return r < 'a' || r > 'z' }) {
		set[w] = true
	}
	return set
}

func noColumns(first string, cols Columns) error {
	want := "angle_deg and torque_Nm"
	if cols.Angle != "" || cols.Torque != "" {
		want = fmt.Sprintf("%q and %q", cols.Angle, cols.Torque)
	}
	return fmt.Errorf("no line names the columns %s; the file begins with %q; name its angle and torque columns", want, clip([]byte(first)))
}

// checkText refuses what is no single-byte or UTF-8 text.
func checkText(b []byte, line int) error {
	if bytes.HasPrefix(b, []byte{0xff, 0xfe}) || bytes.HasPrefix(b, []byte{0xfe, 0xff}) || bytes.IndexByte(b, 0) >= 0 {
		return fmt.Errorf("line %d: not plain text (UTF-16, or a spreadsheet's own file); save it as CSV in UTF-8", line)
	}
	return nil
}

// splitQuoted cuts a line with quoted cells; a doubled quote is one quote.
func splitQuoted(cells [][]byte, b []byte, sep byte) [][]byte {
	for {
		b = bytes.TrimLeft(b, " ")
		if len(b) == 0 || b[0] != '"' {
			i := bytes.IndexByte(b, sep)
			if i < 0 {
				return append(cells, b)
			}
			cells, b = append(cells, b[:i]), b[i+1:]
			continue
		}
		var cell []byte
		b = b[1:]
		for {
			i := bytes.IndexByte(b, '"')
			if i < 0 {
				return append(cells, append(cell, b...))
			}
			cell, b = append(cell, b[:i]...), b[i+1:]
			if len(b) == 0 || b[0] != '"' {
				break
			}
			cell, b = append(cell, '"'), b[1:]
		}
		cells = append(cells, cell)
		i := bytes.IndexByte(b, sep)
		if i < 0 {
			return cells
		}
		b = b[i+1:]
	}
}
