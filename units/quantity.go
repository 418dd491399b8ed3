// SPDX-License-Identifier: Apache-2.0

package units

import (
	"fmt"
	"math"
)

// Quantity is any of the typed quantities of this package.
type Quantity interface {
	~float64
	Kind() Kind
}

// ParseAs reads text as a quantity of type Q; see [Parse].
func ParseAs[Q Quantity](text string, assumed Unit) (Q, error) {
	var q Q
	r, err := Parse(q.Kind(), text, assumed)
	if err != nil {
		return 0, err
	}
	return Q(r.Value), nil
}

// As returns the value of a reading as a quantity of type Q. It returns an
// error if the reading is of another kind.
func As[Q Quantity](r Read) (Q, error) {
	var q Q
	if r.Kind != q.Kind() {
		return 0, fmt.Errorf("units: a reading of %q is no %s", r.Kind, q.Kind())
	}
	return Q(r.Value), nil
}

// From returns x, given in unit, as a quantity of type Q. It returns an error
// if the unit is of another kind.
func From[Q Quantity](x float64, unit Unit) (Q, error) {
	var q Q
	if unit.Kind != q.Kind() {
		return 0, fmt.Errorf("units: %q is no unit of %s", unit.Symbol, q.Kind())
	}
	return Q(unit.ToCanonical(x)), nil
}

// unmarshal reads a text with its unit; the unit is required.
func unmarshal[Q Quantity](q *Q, text []byte) error {
	got, err := ParseAs[Q](string(text), Unit{})
	if err != nil {
		return err
	}
	*q = got
	return nil
}

// marshal prints the fewest digits that read back the same, and the unit.
func marshal[Q Quantity](q Q) ([]byte, error) {
	if v := float64(q); math.IsNaN(v) || math.IsInf(v, 0) {
		return nil, fmt.Errorf("units: %s %v cannot be written", q.Kind(), v)
	}
	return []byte(str(q)), nil
}

func str[Q Quantity](q Q) string { return Format(float64(q), q.Kind(), Unit{}, -1) }
