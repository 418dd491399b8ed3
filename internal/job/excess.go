// SPDX-License-Identifier: Apache-2.0

package job

import (
	"slices"

	"witnessmark/bearing"
	"witnessmark/metrology"
)

// Steps that an excess leads through.
const (
	StepAsk       = "ask"        // the cheap questions
	StepReadAgain = "read_again" // once they are answered
	StepMeasure   = "measure"    // the part in MeasureNext
	StepConfirmed = "confirmed"  // a measured part explains it
	StepOpen      = "open"       // everything is measured, and nothing explains it
)

// Excess says where a clearance that is off sits, and what to do next.
type Excess struct {
	Phase string `json:"phase"`
	// AboveMiddleMM is the clearance less the middle of its limits.
	AboveMiddleMM  float64 `json:"above_middle_mm"`
	FoundAboveMM   float64 `json:"found_above_middle_mm,omitempty"`
	AsFoundUsed    bool    `json:"as_found_used"`
	WideBothTimes  bool    `json:"off_both_times"`
	Step           string  `json:"step"`
	MeasureNext    string  `json:"measure_next,omitempty"`
	RemainingU     float64 `json:"predicted_u_after_mm"`
	PredictedMM    float64 `json:"predicted_mm"`
	PredictedU     float64 `json:"predicted_u_mm"`
	DifferenceMM   float64 `json:"difference_mm"`
	CombinedU      float64 `json:"combined_u_mm"`
	Explained      bool    `json:"explained"`
	FoundExplained bool    `json:"as_found_explained"`

	Parts      []ExcessPart      `json:"parts"`
	Neighbours *ExcessNeighbours `json:"neighbours,omitempty"`
	Carried    []ExcessCarried   `json:"carried,omitempty"`
	Clear      []string          `json:"questions_in_order"`
	Found      []string          `json:"questions_found,omitempty"`
	Open       []string          `json:"questions_open"`
	ReadAgain  bool              `json:"read_again"`
	Readings   []int64           `json:"readings"`
}

// ExcessPart is what the readings changed in one part.
type ExcessPart struct {
	Part     string  `json:"part"`
	ShiftUM  float64 `json:"shift_um"`
	SDUM     float64 `json:"sd_um"`
	MeanMM   float64 `json:"mean_mm"`
	Measured bool    `json:"measured"`
	Beyond   float64 `json:"probability_beyond_limits"`
}

// ExcessNeighbours holds the clearance against the other positions.
type ExcessNeighbours struct {
	DifferenceMM float64 `json:"difference_mm"`
	U            float64 `json:"standard_uncertainty_mm"`
	StandsOut    bool    `json:"stands_out"`
}

// ExcessCarried is what a measured part brings.
type ExcessCarried struct {
	Part      string  `json:"part"`
	WidensMM  float64 `json:"widens_mm"`
	OutsideMM float64 `json:"outside_limits_mm"`
	Confirms  bool    `json:"confirms"`
}

var partOf = map[string]bearing.Part{OfHousingBore: bearing.HousingBore, OfJournal: bearing.Journal, OfUpperWall: bearing.UpperShell, OfLowerWall: bearing.LowerShell}

func ofPart(p bearing.Part) string {
	for of, x := range partOf {
		if x == p {
			return of
		}
	}
	return ""
}

// excess says where a clearance that is off sits. strip and found are what
// strips read alone; nil while the clearance fits, or the sheet does not hold
// what is needed.
func (a *assessor) excess(position int, strip, found *Clearance, parts []Measured) *Excess {
	if strip == nil || strip.Decision.Verdict == metrology.Within || strip.Min == nil || strip.Max == nil {
		return nil
	}
	in, growth, ok := a.excessInput(strip, found, parts)
	if !ok {
		return nil
	}
	r, err := bearing.ExcessWithGrowth(in, growth)
	if err != nil {
		return nil
	}
	middle := bearing.Limits{Min: *strip.Min, Max: *strip.Max}.Mid()
	e := &Excess{Phase: strip.Phase, AboveMiddleMM: strip.ValueMM - middle, AsFoundUsed: in.AsFound != nil, PredictedMM: r.PredictedMM, PredictedU: r.PredictedU,
		DifferenceMM: r.DifferenceMM, CombinedU: r.CombinedU, Explained: r.Explained, FoundExplained: r.AsFoundExplained, RemainingU: r.RemainingU, Readings: slices.Clone(strip.Readings)}
	if in.AsFound != nil {
		e.FoundAboveMM = found.ValueMM - middle
		e.WideBothTimes = found.Decision.Verdict == strip.Decision.Verdict && strip.Decision.Verdict != metrology.NotProven
		e.Readings = append(e.Readings, found.Readings...)
	}
	for _, p := range r.Parts {
		e.Parts = append(e.Parts, ExcessPart{Part: ofPart(p.Part), ShiftUM: p.ShiftUM, SDUM: p.SDUM, MeanMM: p.MeanMM, Measured: p.Measured, Beyond: p.TailBeyondLimits})
	}
	if r.MeasureNext != nil {
		e.MeasureNext = ofPart(*r.MeasureNext)
	}
	for _, c := range bearing.Carry(in, e.AboveMiddleMM) {
		e.Carried = append(e.Carried, ExcessCarried{Part: ofPart(c.Part), WidensMM: c.WidensMM, OutsideMM: c.OutsideMM, Confirms: r.Explained && c.Confirms(e.AboveMiddleMM)})
	}
	e.Neighbours = a.neighbours(position, strip)
	a.asked(e, position, strip)
	e.Step = e.next()
	return e
}

// excessInput is what the calculation needs; ok is false while the sheet does
// not hold it.
func (a *assessor) excessInput(strip, found *Clearance, parts []Measured) (in bearing.ExcessInput, growth bearing.Estimate, ok bool) {
	in = bearing.ExcessInput{Clearance: bearing.Estimate{Value: strip.ValueMM, U: strip.standard()}, Tolerances: map[bearing.Part]bearing.Limits{}, Measured: map[bearing.Part]bearing.Estimate{}}
	if found != nil {
		in.AsFound = &bearing.Estimate{Value: found.ValueMM, U: found.standard()}
	}
	for of, p := range partOf {
		lo, hi := ends(a.partLimit(of))
		if lo == nil || hi == nil {
			return in, growth, false
		}
		in.Tolerances[p] = bearing.Limits{Min: *lo, Max: *hi}
	}
	ground := false
	for _, m := range parts {
		p, known := partOf[m.Part]
		if !known {
			continue
		}
		in.Measured[p] = bearing.Estimate{Value: m.SizeMM, U: m.U}
		if m.Undersize != "" && m.Min != nil && m.Max != nil {
			ground = true
			in.Tolerances[p] = bearing.Limits{Min: *m.Min, Max: *m.Max}
		}
	}
	if ground { // the sheet's walls are not those of undersize shells
		in.AsFound = nil
		for _, wall := range []bearing.Part{bearing.UpperShell, bearing.LowerShell} {
			if m, ok := in.Measured[wall]; ok {
				in.Tolerances[wall] = bearing.Limits{Min: m.Value - m.U, Max: m.Value + m.U}
			} else {
				return in, growth, false
			}
		}
	}
	if c := a.out.Crush; c != nil && c.From == "crush_height" {
		growth = bearing.Estimate{Value: c.BoreMM, U: c.BoreU}
	}
	return in, growth, true
}

// neighbours holds the strip reading against those of the other positions.
func (a *assessor) neighbours(position int, strip *Clearance) *ExcessNeighbours {
	var others []bearing.Estimate
	quiet := &assessor{s: a.s, b: a.b, read: a.read, sized: a.sized} // its obstacles are nobody's
	for _, p := range a.b.Sheet.Positions() {
		if p.Number == position {
			continue
		}
		if c := quiet.clearance(OfClearance, strip.Phase, p.Number); c != nil && c.Side == "" {
			others = append(others, bearing.Estimate{Value: c.ValueMM, U: c.standard()})
		}
	}
	b, err := bearing.AgainstNeighbours(bearing.Estimate{Value: strip.ValueMM, U: strip.standard()}, others)
	if err != nil {
		return nil
	}
	return &ExcessNeighbours{DifferenceMM: b.Difference, U: b.U, StandsOut: b.StandsOut}
}

// asked gathers which of the first questions are answered for the shells that
// are in, and whether the strip was read again.
func (a *assessor) asked(e *Excess, position int, strip *Clearance) {
	e.Clear, e.Open = []string{}, []string{}
	state := map[string]bool{}
	last := int64(0)
	if at := a.s.Positions[position]; at != nil {
		for _, n := range at.Asked {
			if n.Body.Phase != e.Phase || e.Phase == AsFitted && n.At.Seq <= at.ShellsSince {
				continue
			}
			last = n.At.Seq
			e.Readings = append(e.Readings, n.At.Seq)
			for _, q := range n.Body.Clear {
				state[q] = true
			}
			for _, q := range n.Body.Found {
				state[q] = false
			}
		}
	}
	for _, q := range FirstQuestions {
		clear, answered := state[q]
		switch {
		case !answered:
			e.Open = append(e.Open, q)
		case clear:
			e.Clear = append(e.Clear, q)
		default:
			e.Found = append(e.Found, q)
		}
	}
	n := 0
	for _, seq := range strip.Readings {
		n++
		e.ReadAgain = e.ReadAgain || seq > last && last > 0
	}
	e.ReadAgain = e.ReadAgain || n > 1 && len(e.Found) == 0
}

func (e *Excess) next() string {
	confirmed := slices.ContainsFunc(e.Carried, func(c ExcessCarried) bool { return c.Confirms })
	bore := slices.ContainsFunc(e.Parts, func(p ExcessPart) bool { return p.Part == OfHousingBore && p.Measured })
	switch {
	case len(e.Open) > 0:
		return StepAsk
	case !e.ReadAgain:
		return StepReadAgain
	case confirmed && (bore || e.MeasureNext == ""):
		return StepConfirmed
	case e.MeasureNext != "":
		return StepMeasure
	case confirmed:
		return StepConfirmed
	}
	return StepOpen
}
