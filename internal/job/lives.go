// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"

	"witnessmark/engine"
	"witnessmark/life"
	"witnessmark/scope"
)

// OwnLife is how long something lasts by what this workshop found.
type OwnLife struct {
	life.Weibull
	Jobs int // in which somebody looked
}

// Looks are what was found in a job, by work, with the distance at which it
// was; nothing without the distance on arrival.
func Looks(s State) map[string]life.Look {
	out := map[string]life.Look{}
	if km := odometer(s); km != nil && *km > 0 {
		for id, f := range s.Found {
			out[id] = life.Look{Run: *km, Needed: f.Body.Needed}
		}
	}
	return out
}

// OwnLives learns from what was found in sealed jobs of one engine family, by
// work. What is too little to tell is left out.
func OwnLives(jobs []map[string]life.Look) map[string]OwnLife {
	by := map[string][]life.Look{}
	for _, found := range jobs {
		for id, l := range found {
			by[id] = append(by[id], l)
		}
	}
	out := map[string]OwnLife{}
	for id, looks := range by {
		if w, err := life.Fit(looks); err == nil {
			out[id] = OwnLife{w, len(looks)}
		}
	}
	return out
}

// odometer is the distance on arrival in kilometres; nil where it was not read.
func odometer(s State) *float64 {
	if s.Arrival == nil || s.Arrival.Body.Odometer == nil {
		return nil
	}
	return &s.Arrival.Body.Odometer.Value
}

// Needs is what the chance rests on that work is needed within the owner's
// horizon.
type Needs struct {
	Horizon *float64           // km; nil: each figure at its own distance
	Sheet   *engine.Sheet      // nil: none
	Own     map[string]OwnLife // by work
}

// HorizonKm is the horizon on record, nil where none is.
func HorizonKm(s State) *float64 {
	if s.Horizon == nil {
		return nil
	}
	km := s.Horizon.Body.Km()
	return &km
}

// Of is the chance that work is needed within a distance, given that what it
// renews has lasted until now: from the workshop's own sealed jobs, else the
// engine sheet, else the plan. within is that distance in kilometres. c is nil
// where no figure is known.
func (n Needs) Of(work string, advice scope.Advice, run *float64) (c *scope.LifeChance, within float64) {
	switch {
	case n.Horizon != nil:
		within = *n.Horizon
	case advice.Chance != nil:
		within = advice.Chance.Within.Kilometres()
	}
	if within > 0 && run != nil {
		if own, ok := n.Own[work]; ok {
			return chanceBy(own.Weibull, *run, within, fmt.Sprintf("this workshop, %d jobs", own.Jobs), false), within
		}
		if w, source, assumed, ok := sheetLife(n.Sheet, work); ok {
			return chanceBy(w, *run, within, source, assumed), within
		}
	}
	if advice.Chance == nil {
		return nil, within
	}
	x := scope.LifeChance{Value: float64(advice.Chance.Value), Assumed: advice.Chance.Assumed, Source: advice.Chance.Source}
	if n.Horizon != nil {
		x = advice.Chance.Over(within)
	}
	x.Source = "plan" + ofSource(x.Source)
	return &x, within
}

// knows reports whether there are figures of the life of what some work renews.
func (n Needs) knows(work string) bool {
	_, own := n.Own[work]
	_, _, _, sheet := sheetLife(n.Sheet, work)
	return own || sheet
}

func chanceBy(w life.Weibull, run, within float64, source string, assumed bool) *scope.LifeChance {
	p, err := w.Within(run, within)
	if err != nil {
		return nil
	}
	return &scope.LifeChance{Value: p, Source: source, Assumed: assumed}
}

// sheetLife is the distribution that the engine sheet gives for what some work
// renews.
func sheetLife(sheet *engine.Sheet, work string) (w life.Weibull, source string, assumed, ok bool) {
	if sheet == nil {
		return w, "", false, false
	}
	l, ok := sheet.LifeOf(work)
	if !ok {
		return w, "", false, false
	}
	if l.Shape.Given() {
		w = life.Weibull{Shape: float64(l.Shape.V), Scale: float64(l.Characteristic.V)}
	} else {
		var err error
		if w, err = life.FromQuantiles(0.1, float64(l.B10.V), 0.5, float64(l.B50.V)); err != nil {
			return w, "", false, false
		}
	}
	basis := l.Shape.Basis
	if basis.Source == "" {
		basis = l.B10.Basis
	}
	return w, "engine sheet" + ofSource(sheet.SourceText(basis)), l.Assumed || basis.Source == "", true
}

// ofSource is ": " and the source, or nothing.
func ofSource(text string) string {
	if text == "" {
		return ""
	}
	return ": " + text
}
