// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"fmt"
	"math"
)

// ReferenceTemperature is that at which sizes are stated, °C (ISO 1).
const ReferenceTemperature = 20.0

// Temperatures are those of the running parts, °C.
type Temperatures struct{ Housing, Shell, Journal float64 }

// ExpansionChange returns what warming adds to a clearance, in mm.
//
//	ΔC = D·(α_bore − α_journal)·(T − 20 °C)
//
// diameter is D in mm, above 0; boreExpansion and journalExpansion are per
// kelvin; t is the temperature of both in °C. It is ISO 7902-1's change of the
// relative clearance times the diameter (from memory), for a bearing of one
// material throughout. Use [HotClearance] for shells in a housing.
func ExpansionChange(diameter, boreExpansion, journalExpansion, t float64) (float64, error) {
	if !positive(diameter) || !finite(boreExpansion) || !finite(journalExpansion) || !finite(t) {
		return 0, fmt.Errorf("bearing: diameter %g mm, expansions %g and %g, %g °C: not all are usable", diameter, boreExpansion, journalExpansion, t)
	}
	return diameter * (boreExpansion - journalExpansion) * (t - ReferenceTemperature), nil
}

// Hot is a clearance at running temperature.
type Hot struct {
	Clearance float64 // mm
	Change    float64 // against 20 °C, mm
	Crush     Crush   // what is left of the crush when hot
	Loose     bool    // no crush is left: the shells are not held
}

// HotClearance returns the clearance at running temperature from that at 20 °C.
//
//	δ_T = δ + D·(α_s·(T_s−20) − α_h·(T_h−20))
//	C_T = D·(1 + α_h·(T_h−20)) − 2t·(1 + α_s·(T_s−20)) + change(δ_T) − J·(1 + α_j·(T_j−20))
//
// The housing carries the shells: the bore follows the housing's expansion, the
// walls add their own, and crush changes with the difference of the two: an
// aluminium housing lets go of steel shells as it warms. Where no crush is left
// Loose is set and the shells are taken to follow the housing as they lie.
//
// cold is the clearance at 20 °C in mm with the shells in and the cap tightened;
// interference that of the fit at 20 °C in mm, at least 0; journalExpansion is
// per kelvin. Temperatures are from −60 to 400 °C. It returns an error for what
// [CrushFit] refuses and for temperatures outside that. It does not cover
// uneven temperature around a part.
//
// Source: ISO 7902-1, clearance at running temperature (from memory), carried
// through three parts; Lamé for the crush.
func HotClearance(cold, interference float64, s Seat, journalExpansion float64, t Temperatures) (Hot, error) {
	atRest, err := CrushFit(interference, s)
	if err != nil {
		return Hot{}, err
	}
	for what, v := range map[string]float64{"housing": t.Housing, "shell": t.Shell, "journal": t.Journal} {
		if !(v >= -60 && v <= 400) {
			return Hot{}, fmt.Errorf("bearing: %s temperature must be from -60 to 400 °C, got %g", what, v)
		}
	}
	if !finite(cold) || !finite(journalExpansion) {
		return Hot{}, fmt.Errorf("bearing: clearance %g mm or expansion %g is not a number", cold, journalExpansion)
	}
	housing := s.Housing.Expansion * (t.Housing - ReferenceTemperature)
	shell := s.Shell.Expansion * (t.Shell - ReferenceTemperature)
	journal := s.Bore - 2*s.Wall + atRest.BoreChange - cold // its diameter at 20 °C

	left := interference + s.Bore*(shell-housing)
	h := Hot{Loose: left <= 0}
	if h.Crush, err = CrushFit(math.Max(0, left), s); err != nil {
		return Hot{}, err
	}
	h.Change = s.Bore*housing - 2*s.Wall*shell + h.Crush.BoreChange - atRest.BoreChange -
		journal*journalExpansion*(t.Journal-ReferenceTemperature)
	h.Clearance = cold + h.Change
	return h, nil
}
