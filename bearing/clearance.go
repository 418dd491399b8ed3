// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"fmt"
	"math"
)

// Sizes are the measured parts of one position, mm.
//
// Either ShellBore, the bore with shells in and cap torqued, or the housing bore
// and both walls are needed. Growth is what crush adds to the bore
// ([Crush.BoreChange]); it counts only with the housing bore, since the bore
// with shells in has it already.
type Sizes struct {
	Journal      Estimate
	ShellBore    *Estimate
	HousingBore  *Estimate
	Upper, Lower *Estimate
	Growth       Estimate
}

// Share is one part's part in a clearance: its sensitivity, and the standard
// deviation it brings, mm.
type Share struct {
	What        string // journal, shell_bore, housing_bore, upper_shell, lower_shell, growth
	Sensitivity float64
	SD          float64
}

// FromParts returns the clearance from measured parts with its standard
// uncertainty, mm, and what each part brings to it.
//
//	C = bore with shells in − journal, or
//	C = housing bore − upper wall − lower wall + growth − journal
//	u² = Σ u_i²
//
// The bore with shells in is taken if it is given. The parts are taken as
// independent; readings with one gauge that is off by the same amount are not,
// see package metrology. It returns an error if what is needed is missing, not
// positive or not finite, or the journal is not smaller than the bore.
//
// Source: JCGM 100:2008, 5.1.2.
func FromParts(s Sizes) (Estimate, []Share, error) {
	type term struct {
		what string
		sign float64
		of   Estimate
	}
	terms := []term{{"journal", -1, s.Journal}}
	bore := s.ShellBore
	switch {
	case s.ShellBore != nil:
		terms = append(terms, term{"shell_bore", 1, *s.ShellBore})
	case s.HousingBore != nil && s.Upper != nil && s.Lower != nil:
		bore = s.HousingBore
		terms = append(terms, term{"housing_bore", 1, *s.HousingBore},
			term{"upper_shell", -1, *s.Upper}, term{"lower_shell", -1, *s.Lower}, term{"growth", 1, s.Growth})
	default:
		return Estimate{}, nil, fmt.Errorf("bearing: the bore with shells in, or housing bore and both walls, are needed")
	}
	var c Estimate
	var shares []Share
	for _, t := range terms {
		if err := t.of.check(t.what); err != nil {
			return Estimate{}, nil, err
		}
		if t.of.Value <= 0 && t.what != "growth" {
			return Estimate{}, nil, fmt.Errorf("bearing: %s must be above zero, got %g mm", t.what, t.of.Value)
		}
		c.Value += t.sign * t.of.Value
		c.U = math.Hypot(c.U, t.of.U)
		shares = append(shares, Share{t.what, t.sign, t.of.U})
	}
	if s.Journal.Value >= bore.Value {
		return Estimate{}, nil, fmt.Errorf("bearing: the journal, %g mm, is not smaller than its bore, %g mm", s.Journal.Value, bore.Value)
	}
	return c, shares, nil
}

// Comparison holds two readings of one clearance against each other.
type Comparison struct {
	NormalisedError float64 // at most 1: they agree
	Agree           bool
	Combined        Estimate // weighted by 1/u², when they agree
	Repeat          string   // "strip" or "parts": which to repeat when they don't
	Why             string
}

// CompareStrip holds the clearance from parts against the strip reading.
//
//	E_n = (c_strip − c_parts)/√(U_strip² + U_parts²),  U = 2u
//
// They agree when |E_n| ≤ 1 and then combine, each weighted by 1/u². Otherwise
// the less certain of the two is to be repeated; the strip where they are alike,
// since it costs least. It returns an error if both are without uncertainty.
//
// Source: ISO 13528 and ISO/IEC 17043, normalised error (from memory).
func CompareStrip(strip, parts Estimate) (Comparison, error) {
	if err := strip.check("strip reading"); err != nil {
		return Comparison{}, err
	}
	if err := parts.check("clearance from parts"); err != nil {
		return Comparison{}, err
	}
	u := 2 * math.Hypot(strip.U, parts.U)
	if u == 0 {
		return Comparison{}, fmt.Errorf("bearing: neither the strip nor the parts have an uncertainty: they can't be weighed")
	}
	c := Comparison{NormalisedError: (strip.Value - parts.Value) / u}
	c.Agree = math.Abs(c.NormalisedError) <= 1+slack
	switch {
	case c.Agree:
		c.Combined = weighted(strip, parts)
	case strip.U >= parts.U:
		c.Repeat, c.Why = "strip", "the strip is the less certain of the two, or as uncertain and the quicker to repeat"
	default:
		c.Repeat, c.Why = "parts", "the parts are the less certain of the two; begin with the part that brings most spread"
	}
	return c, nil
}

// weighted is the mean weighted by 1/u²; what is exact decides alone.
func weighted(a, b Estimate) Estimate {
	va, vb := a.U*a.U, b.U*b.U
	w := vb / (va + vb) // of a
	return Estimate{Value: w*a.Value + (1-w)*b.Value, U: math.Sqrt(va * vb / (va + vb))}
}
