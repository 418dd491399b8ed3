// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"witnessmark/engine"
	"witnessmark/metrology"
	"witnessmark/units"
)

// Clearance is a decided length: what was read, its spread, its limits and the
// decision. Lengths are in millimetres.
type Clearance struct {
	Of        string   `json:"of"`
	Phase     string   `json:"phase"`
	ValueMM   float64  `json:"value_mm"`
	U         float64  `json:"standard_uncertainty_mm"`
	HalfWidth float64  `json:"uniform_half_width_mm"`
	Side      string   `json:"censored,omitempty"` // or_more or or_less: the end of the scale
	LowMM     float64  `json:"low_95_mm"`
	HighMM    float64  `json:"high_95_mm"`
	Min       *float64 `json:"min_mm,omitempty"`
	Max       *float64 `json:"max_mm,omitempty"`
	Limit     string   `json:"limit,omitempty"` // its place in the sheet
	Decision  Decision `json:"decision"`
	// Assumed says that the gauge's spread is a default.
	Assumed bool `json:"spread_assumed"`
	// LimitUnchecked says that nobody held the limit against its source.
	LimitUnchecked bool    `json:"limit_unchecked,omitempty"`
	Readings       []int64 `json:"readings"` // entries
	Agree          bool    `json:"readings_agree"`
	// ByParts says that measured parts count in it, Contradicted that they say
	// otherwise than the strip.
	ByParts      bool         `json:"by_parts,omitempty"`
	Contradicted bool         `json:"contradicted_by_parts,omitempty"`
	Study        *StudyEffect `json:"study,omitempty"` // what gauge studies did to it
	Budget       *Budgeted    `json:"budget,omitempty"`
	Taper        *Taper       `json:"taper,omitempty"`
	Decimals     int          `json:"-"` // of the finest reading
}

// Decision is the verdict with what it rests on.
type Decision struct {
	Verdict    metrology.Verdict `json:"verdict"`
	Within     float64           `json:"probability_within"`
	Above      float64           `json:"probability_above"`
	Below      float64           `json:"probability_below"`
	Confidence float64           `json:"confidence"`
	From       string            `json:"confidence_from"` // limit, workshop or assumed
	Rule       string            `json:"rule,omitempty"`  // the standard that it follows
}

// Taper is the difference between the ends of a strip.
type Taper struct {
	ValueMM  float64   `json:"value_mm"`
	U        float64   `json:"standard_uncertainty_mm"`
	Resolved bool      `json:"resolved"`
	Decision *Decision `json:"decision,omitempty"` // against the sheet's limit
}

// limitFor is the limit that belongs to a reading; a zero Bounds is none.
func (a *assessor) limitFor(of, phase string) engine.Bounds {
	be := a.b.Sheet.BigEnd
	switch {
	case of == OfSideClearance:
		return a.b.Sheet.SideClearance.Limit.Bounds()
	case of == OfEndFloat:
		return a.b.Sheet.EndFloat.Bounds()
	case of == OfClearance && phase == AsFound && be.Clearance.InService.Given():
		return be.Clearance.InService.Bounds()
	case of == OfClearance:
		return be.Clearance.New.Bounds()
	}
	return engine.Bounds{}
}

// clearance combines what was read of one thing and decides it; nil when
// nothing was read that counts.
func (a *assessor) clearance(of, phase string, position int) *Clearance {
	return a.combined(of, phase, position, a.countable(of, phase, position, a.readings(of, phase, position)))
}

// combined decides readings of one thing together; nil where there is none.
func (a *assessor) combined(of, phase string, position int, read []*Noted[Reading]) *Clearance {
	if len(read) == 0 {
		return nil
	}
	c := &Clearance{Of: of, Phase: phase, Agree: true, Readings: []int64{}}
	ms := make([]metrology.Measurement, 0, len(read))
	for _, r := range read {
		m, taper, err := a.measurement(r.Body)
		if err != nil {
			a.add(Obstacle{Code: NotUnderstood, Check: CloseUp, Position: position, Of: phase, Items: []string{err.Error()}, RestsOn: []int64{r.At.Seq}})
			continue
		}
		ms = append(ms, m)
		c.Readings = append(c.Readings, r.At.Seq)
		c.Decimals = max(c.Decimals, decimals(r.Body))
		if taper != nil {
			c.Taper = taper
		}
	}
	if len(ms) == 0 {
		return nil
	}
	combined, err := metrology.Combine(ms)
	if err != nil {
		return nil
	}
	c.Agree = combined.Consistent
	c.set(combined.Measurement)
	c.decide(combined.Measurement, a.limitFor(of, phase), a.b)
	c.Study = a.studyEffect(read, c, a.limitFor(of, phase))
	if combined.Side == metrology.NotCensored {
		c.Budget = stripBudget(combined.Measurement, ownSpread(read))
	}
	return c
}

func (c *Clearance) set(m metrology.Measurement) {
	c.ValueMM, c.U, c.HalfWidth, c.Side, c.Assumed = m.Value, m.U, m.HalfWidth, string(m.Side), m.Assumed
	c.LowMM, c.HighMM = m.Value, m.Value
	if lo, hi, err := m.CoverageInterval(0.95); err == nil {
		c.LowMM, c.HighMM = finite(lo, m.Value), finite(hi, m.Value)
	}
}

// finite keeps an open end on the value itself: JSON has no infinity, and
// Side says which end is open.
func finite(x, value float64) float64 {
	if math.IsInf(x, 0) {
		return value
	}
	return x
}

func (c *Clearance) decide(m metrology.Measurement, l engine.Bounds, b Basis) {
	if !l.Given() {
		c.Decision = Decision{Verdict: metrology.NotProven}
		return
	}
	lo, hi := l.Range()
	if !math.IsInf(lo, 0) {
		c.Min = &lo
	}
	if !math.IsInf(hi, 0) {
		c.Max = &hi
	}
	c.Limit, c.LimitUnchecked = l.Path, !l.Checked
	c.Decision = decision(m, l, b)
	if c.Taper != nil {
		c.Taper.decide(b)
	}
}

// decision holds a measurement against a limit of the sheet.
func decision(m metrology.Measurement, l engine.Bounds, b Basis) Decision {
	lo, hi := l.Range()
	confidence, from := b.confidence(l.Confidence)
	d, err := metrology.Decide(m, metrology.Limits{Min: lo, Max: hi}, confidence)
	if err != nil {
		return Decision{Verdict: metrology.NotProven, Confidence: confidence, From: from}
	}
	return Decision{Verdict: d.Verdict, Within: d.Within, Above: d.Above, Below: d.Below, Confidence: confidence, From: from, Rule: ruleOf(confidence)}
}

func (t *Taper) decide(b Basis) {
	l := b.Sheet.BigEnd.Taper.Bounds()
	if !l.Given() || !t.Resolved {
		return
	}
	d := decision(metrology.Direct(math.Abs(t.ValueMM), t.U), l, b)
	t.Decision = &d
}

// readings are those of one thing that count: not voided by a crank that
// moved, and of the shells and thrust washers that are in now.
func (a *assessor) readings(of, phase string, position int) []*Noted[Reading] {
	since := int64(0)
	if p := a.s.Positions[position]; p != nil && phase == AsFitted {
		since = p.ShellsSince
	}
	if of == OfEndFloat && phase == AsFitted {
		since = a.s.thrustSince()
	}
	return a.readingsSince(of, phase, position, since)
}

// readingsSince are those after an entry.
func (a *assessor) readingsSince(of, phase string, position int, since int64) []*Noted[Reading] {
	if a.read == nil {
		a.read = map[readOf][]int{}
		for i := range a.s.Readings {
			if r := &a.s.Readings[i].Body; !r.CrankMoved {
				k := readOf{r.Of, r.Phase, r.Position}
				a.read[k] = append(a.read[k], i)
			}
		}
	}
	known := a.read[readOf{of, phase, position}]
	out := make([]*Noted[Reading], 0, len(known))
	for _, i := range known {
		if r := &a.s.Readings[i]; r.At.Seq > since {
			out = append(out, r)
		}
	}
	return out
}

// readOf is what a reading is of.
type readOf struct {
	of, phase string
	position  int
}

var errNoGauge = errors.New("the strip's gauge is not in the tool register: name the gauge, so that its scale is known")

// measurement is what a reading says, with its spread.
func (a *assessor) measurement(r Reading) (metrology.Measurement, *Taper, error) {
	if r.Strip == nil {
		return direct(r, a.b.Tools[r.Gauge]), nil, nil
	}
	scale, err := StripScale(a.b.Tools[r.Gauge], r)
	if err != nil {
		return metrology.Measurement{}, nil, err
	}
	if r.Strip.How == StripOrMore || r.Strip.How == StripOrLess {
		return censored(scale, *r.Strip), nil, nil
	}
	reading := metrology.StripReading{Front: stripEnd(*r.Strip)}
	if r.Rear != nil {
		rear := stripEnd(*r.Rear)
		reading.Rear = &rear
	}
	res, err := scale.Measure(reading)
	if err != nil {
		return metrology.Measurement{}, nil, fmt.Errorf("this reading can't be used: %w", err)
	}
	if !res.EndsDiffer {
		return res.Clearance, nil, nil
	}
	return res.Clearance, &Taper{ValueMM: res.Taper.Value, U: res.Taper.StandardUncertainty(), Resolved: res.TaperResolved}, nil
}

// StripScale is the scale of a strip gauge in the register; for a width it
// takes the diameter from the reading.
func StripScale(t Tool, r Reading) (metrology.StripScale, error) {
	var scale metrology.StripScale
	for _, g := range t.Graduations {
		scale.Graduations = append(scale.Graduations, g.Value)
	}
	if len(scale.Graduations) == 0 {
		return scale, errNoGauge
	}
	if r.Strip != nil && r.Strip.Diameter != nil {
		scale.Diameter = r.Strip.Diameter.Value
	}
	for _, s := range t.Studies {
		if res, err := s.Body.Study(); err == nil {
			scale = scale.WithStudy(res)
		}
	}
	return scale, nil
}

// censored is a reading at the end of the scale.
func censored(scale metrology.StripScale, s StripRead) metrology.Measurement {
	m, err := scale.MeasureEnd(metrology.AtGraduation(s.A.Value))
	if err != nil {
		m = metrology.Direct(s.A.Value, metrology.DefaultStripRelativeU*s.A.Value)
	}
	m.Side = metrology.OrMore
	if s.How == StripOrLess {
		m.Side = metrology.OrLess
	}
	return m
}

func stripEnd(s StripRead) metrology.StripEnd {
	switch s.How {
	case StripBetween:
		return metrology.BetweenBars(s.A.Value, s.B.Value)
	case StripWidth:
		return metrology.WidthRead(s.A.Value)
	case StripTyped:
		return metrology.ClearanceRead(s.A.Value)
	}
	return metrology.AtGraduation(s.A.Value)
}

// direct is a number with its stated spread, else what the gauge's study or
// the register says, else half of its resolution as a uniform spread, which is
// the least it can be.
func direct(r Reading, t Tool) metrology.Measurement {
	in := t.Instrument()
	m := metrology.Measurement{Value: r.Value.Value, HalfWidth: r.Value.Resolution / 2}
	if r.HalfWidth != nil {
		m.HalfWidth = r.HalfWidth.Value
	}
	switch {
	case r.U != nil:
		m.U = r.U.Value
	case in.From == SpreadStated:
		m.U = t.U.Value
		m.CommonU = min(m.U, in.StandardCalibration())
	case in.known():
		return readWith(in, r)
	default:
		m.Assumed = true
	}
	return m
}

// readWith is a reading with the spread of its gauge; one that was written down
// more coarsely than the gauge reads is as coarse as it was written.
func readWith(in Instrument, r Reading) metrology.Measurement {
	m, err := in.Read(r.Value.Value)
	if err != nil {
		return metrology.Measurement{Value: r.Value.Value, HalfWidth: r.Value.Resolution / 2, Assumed: true}
	}
	if r.HalfWidth != nil {
		m.HalfWidth = r.HalfWidth.Value
	} else if r.Value.Resolution > in.Resolution {
		m.HalfWidth = max(m.HalfWidth, r.Value.Resolution/2)
	}
	return m
}

// decimals is how finely a reading was read, in millimetres.
func decimals(r Reading) int {
	of := func(x units.Read) int { return units.DecimalsFor(x.Resolution, units.UnitMillimetre) }
	if r.Strip != nil {
		return max(3, of(r.Strip.A))
	}
	return of(*r.Value)
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
