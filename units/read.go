// SPDX-License-Identifier: Apache-2.0

package units

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Read is a quantity as somebody read it. The digits are kept: 0.050 stays
// 0.050. Text is what was typed, less the spaces around it. Digits are its
// sign, digits and exponent with a point for the decimal mark and no grouping.
type Read struct {
	Text       string
	Kind       Kind
	Unit       Unit    // as typed, or as assumed
	Digits     string  // in Unit
	Decimals   int     // digits after the decimal mark
	Value      float64 // canonical unit of Kind
	Resolution float64 // canonical: one unit in the last digit read
}

// IsZero tells whether nothing was read.
func (r Read) IsZero() bool { return r == Read{} }

// String returns the digits with the unit, as [Parse] reads them back.
func (r Read) String() string {
	if r.IsZero() {
		return ""
	}
	return r.Digits + gap(r.Unit) + r.Unit.Symbol
}

// In returns the reading in unit, with its symbol. In the unit of the reading
// the digits are those that were read. In another unit it has the fewest
// decimals whose last digit is not coarser than the resolution read, so that
// nothing of the reading is lost: 0.042 mm is 0.00165 in, 1.65 thou is
// 0.0419 mm. A unit of another kind is not used: the reading's own is.
func (r Read) In(unit Unit) string {
	if r.IsZero() || unit == r.Unit || unit.Kind != r.Kind {
		return r.String()
	}
	d := DecimalsFor(r.Resolution, unit)
	if !r.survives(unit, d) {
		d++ // 0.0 °C is 273.15 K: 273.1 K would come back as −0.1 °C
	}
	return Format(r.Value, r.Kind, unit, d)
}

// survives reports whether r, rounded to d decimals of unit and turned back, is
// nearer to what was read than half its last digit. It may fail where the units
// begin at different zeros and the difference ends in a half of that digit.
func (r Read) survives(unit Unit, d int) bool {
	rounded, err := strconv.ParseFloat(fixed(unit.FromCanonical(r.Value), d), 64)
	off := math.Abs(unit.ToCanonical(rounded) - r.Value)
	return err == nil && off < r.Resolution/2*(1-1e-6)
}

// DecimalsFor returns the fewest decimals, from 0 to 12, whose last digit in
// unit is not coarser than resolution, which is in the canonical unit.
func DecimalsFor(resolution float64, unit Unit) int {
	const slack = 1e-9 // 1 µm is 0.001 mm, not just below
	step := resolution / unit.Factor
	if !(step > 0) {
		return 0
	}
	d := math.Ceil(-math.Log10(step) - slack)
	return int(min(max(d, 0), 12))
}

// readJSON is a Read on the wire: what was typed and the unit it counts in.
type readJSON struct {
	Text string `json:"text"`
	Unit string `json:"unit"`
	Kind Kind   `json:"kind"`
}

// MarshalJSON writes the typed text, the unit and the kind; the zero Read is
// null.
func (r Read) MarshalJSON() ([]byte, error) {
	if r.IsZero() {
		return []byte("null"), nil
	}
	return json.Marshal(readJSON{Text: r.Text, Unit: r.Unit.Symbol, Kind: r.Kind})
}

// UnmarshalJSON reads what MarshalJSON wrote, by parsing the text again. The
// unit is that of a bare number; if the text names its unit they must agree.
func (r *Read) UnmarshalJSON(b []byte) error {
	if string(b) == "null" {
		return nil
	}
	w, plain := plainRead(b)
	if !plain {
		if err := json.Unmarshal(b, &w); err != nil {
			return fmt.Errorf("units: reading: %w", err)
		}
	}
	unit, err := LookupUnit(w.Kind, w.Unit)
	if err != nil {
		return err
	}
	got, err := Parse(w.Kind, w.Text, unit)
	if err != nil {
		return err
	}
	if got.Unit != unit {
		return &ParseError{Text: w.Text, Kind: w.Kind, Reason: "the text and the unit " + strconv.Quote(w.Unit) + " beside it differ"}
	}
	*r = got
	return nil
}

// plainRead is what encoding/json reads from b where b is written as
// MarshalJSON writes it, with nothing escaped; else it is not ok. A log holds
// thousands of readings.
func plainRead(b []byte) (w readJSON, ok bool) {
	s := string(b)
	if strings.ContainsFunc(s, func(r rune) bool { return r < ' ' || r == '\\' || r == utf8.RuneError }) {
		return w, false
	}
	text, s, ok1 := quoted(s, `{"text":"`)
	unit, s, ok2 := quoted(s, `,"unit":"`)
	kind, s, ok3 := quoted(s, `,"kind":"`)
	return readJSON{Text: text, Unit: unit, Kind: Kind(kind)}, ok1 && ok2 && ok3 && s == "}"
}

// quoted cuts what stands between before and the next quotation mark.
func quoted(s, before string) (inside, rest string, ok bool) {
	s, ok = strings.CutPrefix(s, before)
	if !ok {
		return "", "", false
	}
	return strings.Cut(s, `"`)
}
