// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"math"
	"slices"

	"witnessmark/engine"
	"witnessmark/fastener"
)

// FastenerClamp is what the clamp load of one fastener comes to: as the sheet
// asks, by torque alone beside it, and as it was tightened at each place.
type FastenerClamp struct {
	Fastener string `json:"fastener"`
	Title    string `json:"title"`
	// Missing names what the sheet does not say, so that nothing is computed.
	Missing []string `json:"missing,omitempty"`
	// Problem says why what the sheet says can't be computed.
	Problem string      `json:"problem,omitempty"`
	Asked   *ClampLoad  `json:"as_the_sheet_asks,omitempty"`
	Alone   *AloneLoad  `json:"by_torque_alone,omitempty"`
	Places  []PlaceLoad `json:"places"`
	Joint   *RodJoint   `json:"joint_at_speed,omitempty"`
}

// ClampLoad is what stages of a tightening produce. Min and Max are the 2.5
// and 97.5 % quantiles, Likely the median.
type ClampLoad struct {
	Snug           IntervalOf `json:"snug_kN"`
	Final          LikelyOf   `json:"final_kN"`
	Yield          float64    `json:"yield_kN"`
	Utilisation    IntervalOf `json:"utilisation_percent"`
	Service        IntervalOf `json:"service_utilisation_percent"`
	PastYield      bool       `json:"past_yield"`
	PastYieldShare float64    `json:"past_yield_share"`
	Stretch        IntervalOf `json:"stretch_um"`
	Permanent      IntervalOf `json:"permanent_um"`
	ScatterRatio   float64    `json:"scatter_ratio"`
	Assumptions    []string   `json:"assumptions"`
	Notes          []string   `json:"notes"`
}

// AloneLoad is the same bolt tightened by torque alone.
type AloneLoad struct {
	TorqueNm float64 `json:"torque_Nm"`
	ClampLoad
}

// IntervalOf is what nineteen of twenty such bolts lie within.
type IntervalOf struct {
	Min float64 `json:"min"`
	Max float64 `json:"max"`
}

// LikelyOf has the median too.
type LikelyOf struct {
	Min    float64 `json:"min"`
	Max    float64 `json:"max"`
	Likely float64 `json:"likely"`
}

// PlaceLoad is the clamp load of bolts of one place that were tightened alike.
type PlaceLoad struct {
	Position   int         `json:"position,omitempty"`
	Bolts      []string    `json:"bolts"`
	Tightening string      `json:"tightening"`
	Complete   bool        `json:"complete"` // every stage of the tightening is on
	Stages     []string    `json:"stages"`
	Tools      []ToolShare `json:"tools,omitempty"`
	Load       *ClampLoad  `json:"load,omitempty"`
	Problem    string      `json:"problem,omitempty"`
	Entries    []int64     `json:"entries"`
}

// ToolShare is what a tool's tolerance adds to the spread.
type ToolShare struct {
	Tool    string  `json:"tool"`
	Stage   string  `json:"stage"`
	Percent float64 `json:"tolerance_percent,omitempty"` // of the torque
	Degrees float64 `json:"tolerance_deg,omitempty"`
	From    string  `json:"from"` // "ISO 6789, type II class A", "register" or "not known"
}

// clamps computes the clamp load of every fastener whose geometry the sheet
// has, or of the rod's bolts in any case, so that it says what is missing.
func (a *assessor) clamps() {
	for _, f := range a.b.Sheet.Fasteners {
		if f.PerPosition() || len(missingGeometry(f)) == 0 {
			a.out.Clamps = append(a.out.Clamps, a.clamp(f))
		}
	}
}

func (a *assessor) clamp(f engine.Fastener) FastenerClamp {
	c := FastenerClamp{Fastener: f.ID, Title: f.Title, Missing: missingGeometry(f), Places: []PlaceLoad{}}
	if len(c.Missing) > 0 {
		return c
	}
	base, err := caseOf(f)
	if err == nil {
		base.Stages, err = sheetStages(f)
	}
	var asked computed
	if err == nil {
		asked, err = compute(base)
	}
	if err != nil {
		c.Problem = err.Error()
		return c
	}
	load := asked.load
	c.Asked = &load
	if alone, torque, err := computeAlone(base); err == nil && byAngle(base) {
		c.Alone = &AloneLoad{TorqueNm: torque, ClampLoad: alone.load}
	}
	for _, p := range a.placesOf(f) {
		c.Places = append(c.Places, a.placeLoads(f, base, p)...)
	}
	if f.PerPosition() {
		c.Joint = a.jointAtSpeed(f, base, asked.result, c)
	}
	return c
}

func byAngle(c fastener.Case) bool {
	return slices.ContainsFunc(c.Stages, func(s fastener.Stage) bool { return s.AngleDeg > 0 })
}

// placesOf are the positions of a fastener, 0 for one that stands once.
func (a *assessor) placesOf(f engine.Fastener) []int {
	if !f.PerPosition() {
		return []int{0}
	}
	var out []int
	for _, p := range a.b.Sheet.Positions() {
		out = append(out, p.Number)
	}
	return out
}

// placeLoads computes what is on at a place, once for bolts that were
// tightened alike.
func (a *assessor) placeLoads(f engine.Fastener, base fastener.Case, position int) []PlaceLoad {
	var out []PlaceLoad
	for _, name := range boltNames(f) {
		t := a.bolt(f.ID, position, name).current(math.MaxInt64)
		if t.kind == "" {
			continue
		}
		p := PlaceLoad{Position: position, Bolts: []string{name}, Tightening: t.kind, Complete: t.complete(f), Stages: t.ids(), Entries: t.seqs()}
		c := base
		c.Stages, p.Tools = a.doneStages(f, t)
		if i := slices.IndexFunc(out, func(o PlaceLoad) bool { return o.alike(p) }); i >= 0 {
			out[i].Bolts = append(out[i].Bolts, name)
			continue
		}
		if got, err := compute(c); err != nil {
			p.Problem = err.Error()
		} else {
			load := got.load
			p.Load = &load
		}
		out = append(out, p)
	}
	return out
}

func (p PlaceLoad) alike(o PlaceLoad) bool {
	return p.Tightening == o.Tightening && slices.Equal(p.Stages, o.Stages) && slices.Equal(p.Tools, o.Tools) && slices.Equal(p.Entries, o.Entries)
}

// doneStages are the stages of a tightening as they were done: with what the
// tool showed where that is on record, and with the tool's tolerance.
func (a *assessor) doneStages(f engine.Fastener, t tightening) ([]fastener.Stage, []ToolShare) {
	var out []fastener.Stage
	var tools []ToolShare
	for _, done := range t.stages {
		st, ok := f.Stage(done.Stage)
		if !ok {
			continue
		}
		s := stageOf(st)
		if v := done.Value; v != nil {
			switch {
			case v.Kind == st.Torque.Bounds().Kind && s.TorqueNm > 0:
				s.TorqueNm = v.Value
			case v.Kind == st.Angle.Bounds().Kind && st.Kind == engine.ByAngle:
				s.AngleDeg = v.Value
			case v.Kind == st.Stretch.Bounds().Kind && st.Kind == engine.ByStretch:
				s.StretchMM = v.Value
			}
		}
		if done.Tool != "" {
			share := a.b.Tools[done.Tool].share(done.Tool, st, &s)
			tools = append(tools, share)
		}
		out = append(out, s)
	}
	return out, tools
}

// sheetStages are the stages as the sheet asks for them, without tools.
func sheetStages(f engine.Fastener) ([]fastener.Stage, error) {
	var out []fastener.Stage
	for _, st := range f.Stages {
		s := stageOf(st)
		if s == (fastener.Stage{}) {
			return nil, fmt.Errorf("stage %s has no target", st.ID)
		}
		out = append(out, s)
	}
	return out, nil
}

func stageOf(st engine.Stage) fastener.Stage {
	var s fastener.Stage
	s.TorqueNm, _ = st.Torque.Target()
	s.AngleDeg, _ = st.Angle.Target()
	s.StretchMM, _ = st.Stretch.Target()
	return s
}

// missingGeometry names the keys that a clamp load needs and the sheet does
// not have.
func missingGeometry(f engine.Fastener) []string {
	g := f.Geometry
	var out []string
	for _, x := range []struct {
		key   string
		given bool
	}{
		{"class, or geometry.yield_strength and tensile_strength", f.Class != "" || g.Yield.Given() && g.Tensile.Given()},
		{"geometry.head_outer", g.HeadOuter.Given()}, {"geometry.head_hole", g.HeadHole.Given()},
		{"geometry.thread_friction", g.ThreadFriction.Given()}, {"geometry.head_friction", g.HeadFriction.Given()},
		{"geometry.segments", len(g.Segments) > 0},
		{"geometry.stiffness_ratio", g.StiffnessRatio.Given() || g.RatioRange.Given() || g.Stiffness.Given()},
	} {
		if !x.given {
			out = append(out, x.key)
		}
	}
	return out
}

// caseOf is the bolt of the sheet as package fastener takes it, without
// stages.
func caseOf(f engine.Fastener) (fastener.Case, error) {
	g := f.Geometry
	thread, err := fastener.ParseThread(string(f.Thread))
	if err != nil {
		return fastener.Case{}, err
	}
	c := fastener.Case{
		Bolt:         fastener.Bolt{Thread: thread, Engaged: g.Engaged.V.MM(), Modulus: g.Modulus.V.Megapascals(), MateModulus: g.MateModulus.V.Megapascals()},
		BearingOuter: g.HeadOuter.V.MM(), BearingHole: g.HeadHole.V.MM(),
		FrictionThread: spreadOf(g.ThreadFriction), FrictionHead: spreadOf(g.HeadFriction), SameFriction: g.SameFriction,
		YieldFactor: spreadOf(g.YieldFactor), Embedding: math.NaN(),
	}
	if g.Embedding.Given() {
		c.Embedding = g.Embedding.V.MM()
	}
	if g.Head == "socket" {
		c.Bolt.Head = fastener.Socket
	}
	if g.Into == "nut" {
		c.Bolt.Mate = fastener.Nut
	}
	for _, s := range g.Segments {
		c.Bolt.Segments = append(c.Bolt.Segments, fastener.Segment{Length: s.Length.V.MM(), Diameter: s.Diameter.V.MM()})
	}
	switch {
	case g.Stiffness.Given():
		s := spreadOf(g.Stiffness)
		c.JointStiffness = fastener.Spread{Min: newtonsPerKilonewton * s.Min, Max: newtonsPerKilonewton * s.Max}
	case g.RatioRange.Given():
		c.StiffnessRatio = spreadOf(g.RatioRange)
	default:
		c.StiffnessRatio = fastener.Exactly(float64(g.StiffnessRatio.V))
	}
	c.Material, err = materialOf(f, thread)
	return c, err
}

const newtonsPerKilonewton = 1000

func materialOf(f engine.Fastener, t fastener.Thread) (fastener.Material, error) {
	g := f.Geometry
	y, okY := megapascals(g.Yield)
	r, okR := megapascals(g.Tensile)
	if okY && okR {
		return fastener.Material{Class: f.Class, Yield: y, Tensile: r}, nil
	}
	m, err := fastener.PropertyClass(f.Class, t.Diameter)
	if okY {
		m.Yield = y
	}
	return m, err
}

// spreadOf is a limit of the sheet as a spread; one end alone is both.
func spreadOf(l engine.LimitOf[engine.Number]) fastener.Spread {
	lo, hi := l.Range()
	switch {
	case !l.Given():
		return fastener.Spread{}
	case math.IsInf(lo, 0):
		lo = hi
	case math.IsInf(hi, 0):
		hi = lo
	}
	return fastener.Spread{Min: lo, Max: hi}
}
