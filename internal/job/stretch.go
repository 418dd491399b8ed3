// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"

	"witnessmark/engine"
	"witnessmark/fastener"
	"witnessmark/units"
)

// BoltStretch is what the lengths of one bolt say: preload from its stretch,
// what it grew for good, how often it may be used again. A null was not read
// or can't be computed.
type BoltStretch struct {
	Fastener   string   `json:"fastener"`
	Title      string   `json:"title"`
	Position   int      `json:"position,omitempty"`
	Bolt       string   `json:"bolt"`
	Set        string   `json:"set"`
	New        *float64 `json:"length_new_mm,omitempty"`
	Before     *float64 `json:"free_before_mm,omitempty"`
	Tight      *float64 `json:"under_load_mm,omitempty"`
	After      *float64 `json:"free_after_mm,omitempty"`
	Limit      *float64 `json:"length_limit_mm,omitempty"`
	Stretch    *float64 `json:"stretch_um,omitempty"`
	Preload    *float64 `json:"preload_kN,omitempty"`
	PreloadU   *float64 `json:"preload_u_kN,omitempty"`
	PastYield  bool     `json:"past_yield,omitempty"`
	Growth     *float64 `json:"permanent_growth_um,omitempty"`
	LengthLeft *float64 `json:"length_left_um,omitempty"`
	UsesMade   int      `json:"uses_made"`
	UsesLeft   *int     `json:"uses_left,omitempty"` // left out: nothing limits it
	Spent      bool     `json:"spent"`
	Why        string   `json:"why,omitempty"`
	// OverLength says that its length alone spent it.
	OverLength bool `json:"over_length,omitempty"`
	// Missing is what the sheet lacks for a preload; Problem why these lengths
	// can't be.
	Missing []string `json:"missing,omitempty"`
	Problem string   `json:"problem,omitempty"`
	// UsedAgain says that it is over its limit and in the engine all the same.
	UsedAgain bool    `json:"used_again,omitempty"`
	Entries   []int64 `json:"entries"`
}

// stretches looks at the lengths of every bolt that was measured, its last
// ones.
func (a *assessor) stretches() {
	for i, l := range a.s.Lengths {
		f, ok := a.b.Sheet.Fastener(l.Fastener)
		if !ok || a.s.lengths(l.BoltLength) != i {
			continue
		}
		x := a.stretch(f, l)
		a.out.Stretches = append(a.out.Stretches, x)
		if x.UsedAgain {
			rests := append(append([]int64{}, l.Entries...), a.bolt(f.ID, l.Position, l.Bolt).current(math.MaxInt64).seqs()...)
			a.add(Obstacle{Code: BoltGrown, Check: CloseUp, Position: l.Position, Of: f.ID + "/" + l.Bolt, Title: f.Title, Items: []string{l.Bolt, x.Why}, RestsOn: rests})
		}
	}
}

func (a *assessor) stretch(f engine.Fastener, l LengthsOf) BoltStretch {
	x := BoltStretch{Fastener: f.ID, Title: f.Title, Position: l.Position, Bolt: l.Bolt, Set: l.Set, New: mmOf(l.New), Before: mmOf(l.Before), Tight: mmOf(l.Tight),
		After: mmOf(l.After), UsesMade: a.usesMade(f, l), Entries: l.Entries}
	if l.Before == nil {
		x.Problem = "the free length before is not on record"
		return x
	}
	c := fastener.StretchCase{FreeNew: orZero(x.New), FreeBefore: *x.Before, Tight: orZero(x.Tight), FreeAfter: orZero(x.After), LengthU: orZero(mmOf(l.U)),
		UsesMade: x.UsesMade, UsesAllowed: f.Use.Times, LengthLimit: lengthLimit(f, x.New)}
	if c.LengthLimit > 0 {
		x.Limit = &c.LengthLimit
	}
	r, err := fastener.Growth(c)
	if x.Missing = missingGeometry(f); err == nil && len(x.Missing) == 0 {
		r, err = withPreload(f, c)
	}
	if err != nil {
		x.Problem = err.Error()
		return x
	}
	x.take(r)
	c.UsesAllowed = 0 // by its length alone: the count has an obstacle of its own
	if alone, err := fastener.Growth(c); err == nil && alone.Spent {
		x.Why, x.OverLength, x.UsedAgain = alone.Why, true, a.inUse(f, l)
	}
	return x
}

func withPreload(f engine.Fastener, c fastener.StretchCase) (fastener.StretchResult, error) {
	base, err := caseOf(f)
	if err != nil {
		return fastener.StretchResult{}, err
	}
	c.Bolt, c.Material = base.Bolt, base.Material
	return fastener.StretchPreload(c)
}

// take takes on what was computed, in the units that are printed.
func (x *BoltStretch) take(r fastener.StretchResult) {
	um := func(mm float64) *float64 { return orNil(micrometres(mm)) }
	x.Stretch, x.Growth, x.LengthLeft = um(r.Stretch), um(r.PermanentGrowth), um(r.LengthLeft)
	x.Preload, x.PastYield, x.Spent, x.Why = orNil(kilonewtons(r.Preload)), r.PastYield, r.Spent, r.Why
	if u := kilonewtons(r.PreloadU); u > 0 {
		x.PreloadU = &u
	}
	if r.UsesLeft >= 0 {
		x.UsesLeft = &r.UsesLeft
	}
}

// lengthLimit is the greatest free length at which a bolt may be used again,
// in mm: the sheet's own, else what it allows a bolt to grow on top of its
// length as new; 0 for none.
func lengthLimit(f engine.Fastener, asNew *float64) float64 {
	if _, hi := f.Stretch.FreeLength.Range(); !math.IsInf(hi, 0) && f.Stretch.FreeLength.LimitOf.Given() {
		return hi
	}
	if !f.Stretch.MaxGrowth.Given() {
		return 0
	}
	switch {
	case asNew != nil:
		return *asNew + f.Stretch.MaxGrowth.V.MM()
	case f.Stretch.FreeLength.Value != nil:
		return f.Stretch.FreeLength.Value.MM() + f.Stretch.MaxGrowth.V.MM()
	}
	return 0
}

// usesMade counts the tightenings that this bolt had.
func (a *assessor) usesMade(f engine.Fastener, l LengthsOf) int {
	n := 0
	for _, t := range a.bolt(f.ID, l.Position, l.Bolt).tightenings(math.MaxInt64) {
		if t.set == l.Set && t.uses(f) {
			n++
		}
	}
	return n
}

// inUse reports whether the bolt is on for good although its lengths spent it:
// tightened after them, or on top of a free length that was over before.
func (a *assessor) inUse(f engine.Fastener, l LengthsOf) bool {
	t := a.bolt(f.ID, l.Position, l.Bolt).current(math.MaxInt64)
	if t.kind != Final || t.set != l.Set {
		return false
	}
	return l.After == nil || t.stages[len(t.stages)-1].At.Seq > l.Free
}

func mmOf(r *units.Read) *float64 {
	if r == nil {
		return nil
	}
	return &r.Value
}

func orZero(x *float64) float64 {
	if x == nil {
		return 0
	}
	return *x
}

func orNil(x float64) *float64 {
	if math.IsNaN(x) {
		return nil
	}
	return &x
}

// PlacesOf are the places of the bolts of a fastener.
func PlacesOf(b Basis, f engine.Fastener) []BoltAt {
	var out []BoltAt
	for _, p := range (&assessor{b: b}).placesOf(f) {
		for _, name := range boltNames(f) {
			out = append(out, BoltAt{Position: p, Bolt: name})
		}
	}
	return out
}

// LengthAllowed says what the sheet allows the length of a bolt to be, and how
// often it may be used; empty when it says neither.
func LengthAllowed(f engine.Fastener) string {
	var w []string
	if f.Stretch.FreeLength.Given() {
		w = append(w, "free length "+f.Stretch.FreeLength.String())
	}
	if f.Stretch.MaxGrowth.Given() {
		w = append(w, "at most "+f.Stretch.MaxGrowth.String()+" longer for good")
	}
	if len(w) == 0 {
		return ""
	}
	if s := f.Use.String(); s != "" {
		w = append(w, s)
	}
	return list(w)
}
