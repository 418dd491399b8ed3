// SPDX-License-Identifier: Apache-2.0

package engine

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// propertyClasses of bolts, ISO 898-1:2013, table 3.
var propertyClasses = []string{"4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "9.8", "10.9", "12.9"}

// checkRodBolts wants exactly one kind of fastener at every position.
func (d *decoder) checkRodBolts(fs []Fastener) {
	n := 0
	for _, f := range fs {
		if !f.PerPosition() {
			continue
		}
		if n++; n > 1 {
			d.problemAt("fasteners."+f.ID+".where", "a second fastener has where: rod", "describe the rod's bolts in one entry")
		}
	}
	if n == 0 && d.has("fasteners") {
		d.problemAt("fasteners", "no fastener has where: rod", "describe the bolts of the rod caps")
	}
}

func (d *decoder) checkFastener(f Fastener) {
	at := "fasteners." + f.ID
	d.checkCount(f, at)
	if f.Class != "" && !slices.Contains(propertyClasses, f.Class) && !f.Geometry.Yield.Given() {
		d.problemAt(at+".class", fmt.Sprintf("%q is not a property class of ISO 898-1", f.Class),
			"write one of "+strings.Join(propertyClasses, ", ")+", or give geometry.yield_strength")
	}
	notNegative(d, f.ToolRange)
	d.checkStages(f, at)
	d.checkMeasuring(f, at)
	d.checkGeometry(f.Geometry, at+".geometry")
	positiveSize(d, f.Stretch.FreeLength)
	positive(d, f.Stretch.MaxGrowth)
}

func (d *decoder) checkCount(f Fastener, at string) {
	if b, ok := twice(f.Bolts); ok {
		d.problemAt(at+".bolts", fmt.Sprintf("bolt %s is named twice", b), "give every bolt of the set its own name")
	}
	switch {
	case f.Count < 0 || f.Count > 200:
		d.problemAt(at+".count", fmt.Sprintf("count is %d", f.Count), "write how many there are")
	case f.PerPosition() && len(f.Bolts) == 0:
		d.problemAt(at, "the rod's bolts have no names", "add bolts: [a, b]")
	case len(f.Bolts) == 0 && f.Count == 0:
		d.problemAt(at, f.ID+" does not say how many there are", "add count:, or bolts: with their names")
	case len(f.Bolts) > 0 && f.Count > 0 && f.Count != len(f.Bolts):
		d.problemAt(at+".count", fmt.Sprintf("count is %d but %d bolts have names", f.Count, len(f.Bolts)), "leave count out")
	}
	if len(f.Order) > 0 && !arrangement(f.Order, f.Bolts) {
		d.problemAt(at+".order", "order does not have every bolt once", "write each name of bolts once, or leave it out")
	}
}

func (d *decoder) checkStages(f Fastener, at string) {
	if len(f.Stages) == 0 && d.has(at+".stages") {
		d.problemAt(at+".stages", "there is no stage", "write at least one")
	}
	lo, hi := f.ToolRange.Range()
	for i, s := range f.Stages {
		p := at + ".stages." + s.ID
		d.checkStage(s, p)
		if i == 0 && s.Kind == ByAngle {
			d.problemAt(p, "the first stage is by angle, from no known start", "put a stage with a snug torque before it")
		}
		if t, ok := s.Torque.Target(); ok && (t < lo || t > hi) {
			d.warnAt(s.Torque.Path, fmt.Sprintf("stage %s, %s, is outside the tool range, %s", s.ID, s.Torque, f.ToolRange), "look both up again")
		}
	}
}

// checkStage wants what the kind of stage is controlled by, and nothing else.
func (d *decoder) checkStage(s Stage, p string) {
	kinds := []string{string(ByTorque), string(ByAngle), string(ByTorqueAngle), string(ByStretch)}
	d.oneOf(p+".kind", string(s.Kind), kinds...)
	if !slices.Contains(kinds, string(s.Kind)) {
		return
	}
	for _, x := range []struct {
		key   string
		given bool
		wants bool
	}{
		{"torque", d.has(p + ".torque"), s.Kind == ByTorque || s.Kind == ByTorqueAngle},
		{"angle", d.has(p + ".angle"), s.Kind == ByAngle || s.Kind == ByTorqueAngle},
		{"stretch", d.has(p + ".stretch"), s.Kind == ByStretch},
	} {
		switch {
		case x.wants && !x.given:
			d.problemAt(p, fmt.Sprintf("stage %s is by %s but has no %s", s.ID, s.Kind, x.key), "add "+x.key+":")
		case x.given && !x.wants:
			d.problemAt(p+"."+x.key, fmt.Sprintf("stage %s is by %s but also has %s", s.ID, s.Kind, x.key), "take it out, or change kind")
		}
	}
	positiveSize(d, s.Torque)
	positiveSize(d, s.Angle)
	positiveSize(d, s.Stretch)
}

// checkMeasuring holds the measuring tightening against the stages and
// against the use: a bolt that was turned by angle and may be used once
// cannot stay.
func (d *decoder) checkMeasuring(f Fastener, at string) {
	m := f.Measuring
	if m == nil {
		return
	}
	at += ".measuring"
	before, spends := -1, false
	for _, id := range m.Stages {
		n := slices.IndexFunc(f.Stages, func(s Stage) bool { return s.ID == id })
		if n < 0 {
			d.problemAt(at+".stages", fmt.Sprintf("there is no stage %q", id), "write ids of stages")
			continue
		}
		if n <= before {
			d.problemAt(at+".stages", fmt.Sprintf("stage %s is out of order", id), "write the stages in the order of stages")
		}
		before = max(before, n)
		spends = spends || f.Stages[n].Kind != ByTorque
	}
	for i, b := range m.Bolts {
		d.oneOf(fmt.Sprintf("%s.bolts.%d", at, i+1), b, MeasureOld, MeasureMarked, MeasureSame)
	}
	if f.Use.Kind == SingleUse && spends && slices.Contains(m.Bolts, MeasureSame) {
		d.problemAt(at+".bolts", "bolts for single use are spent by these stages and cannot stay", "write old, marked or both")
	}
}

func (d *decoder) checkGeometry(g Geometry, at string) {
	positive(d, g.HeadOuter, g.HeadHole, g.Engaged)
	positive(d, g.StiffnessRatio, g.Introduction)
	positive(d, g.Modulus, g.MateModulus)
	positiveSize(d, g.Yield, g.Tensile)
	for _, s := range g.Segments {
		positive(d, s.Length, s.Diameter)
	}
	d.oneOf(at+".head", orElse(g.Head, "hexagon"), "hexagon", "socket")
	d.oneOf(at+".into", orElse(g.Into, "tapped"), "tapped", "nut")
	d.oneOf(at+".thread_rolled", orElse(g.Rolled, "before"), "before", "after")
	if g.HeadOuter.Given() && g.HeadOuter.V <= g.HeadHole.V {
		d.problemAt(g.HeadOuter.Path, fmt.Sprintf("the head, %s, is not above its hole, %s", g.HeadOuter, g.HeadHole), "correct one of them")
	}
	if g.Embedding.Given() && (g.Embedding.V < 0 || g.Embedding.V.MM() > 0.1) {
		d.problemAt(g.Embedding.Path, fmt.Sprintf("embedding is %s", g.Embedding), "write 0 to 0.1 mm; a bolt in one machined joint embeds by about 0.007 mm")
	}
	if g.Introduction.Given() && g.Introduction.V > 1 {
		d.problemAt(g.Introduction.Path, fmt.Sprintf("load_introduction is %s", g.Introduction), "write above 0 and at most 1; 1 is the worst for the bolt")
	}
	for _, l := range []LimitOf[Number]{g.ThreadFriction, g.HeadFriction} {
		lo, hi := l.Range()
		if l.Given() && !(lo > 0 && hi < 1) {
			d.problemAt(l.Path, fmt.Sprintf("%s is %s", last(l.Path), l), "write min and max, both between 0 and 1")
		}
	}
	d.checkSpreads(g)
}

// checkSpreads wants both ends of what is a spread, and one stiffness only.
func (d *decoder) checkSpreads(g Geometry) {
	for _, l := range []LimitOf[Number]{g.RatioRange, g.Stiffness, g.YieldFactor} {
		if lo, hi := l.Range(); l.Given() && !(lo > 0 && hi < math.Inf(1)) {
			d.problemAt(l.Path, fmt.Sprintf("%s is %s", last(l.Path), l), "write min and max, both above 0")
		}
	}
	if g.Stiffness.Given() && (g.StiffnessRatio.Given() || g.RatioRange.Given()) {
		d.problemAt(g.Stiffness.Path, "the joint's stiffness is here twice, as a stiffness and as a ratio", "keep one of them")
	} else if g.StiffnessRatio.Given() && g.RatioRange.Given() {
		d.problemAt(g.RatioRange.Path, "the stiffness ratio is here twice", "keep stiffness_ratio or stiffness_ratio_range")
	}
}

func orElse(s, def string) string {
	if s == "" {
		return def
	}
	return s
}
