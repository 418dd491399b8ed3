// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// What makes one of a set odd: a modified z of more than oddZ, and more than
// oddShare from the median; angles by at least oddAngle degrees too, since a
// scale may begin at the snug point.
const (
	oddZ     = 3.5
	oddShare = 0.10
	oddAngle = 2.0
)

// LeastSet is how many traces make a set; fewer have nothing to be compared
// with.
const LeastSet = 3

// ReadSet reads every trace and names the odd ones among them.
//
// A value x of a set is odd when its modified z, 0.6745·(x − median)/MAD, is
// beyond 3.5 and x is more than 10 % from the median (an angle by at least 2°
// too). Where more than half of the set agree exactly, MAD is zero and the
// 10 % alone decide. A set has at least three.
//
// Held against the set: the snug angle, the steady rate, the angle from snug
// to yield, and whether it yields at all. Traces that show nothing by
// themselves are odd and say why.
//
// Source: Iglewicz and Hoaglin, How to Detect and Handle Outliers, ASQC
// (1993), the modified z-score and its 3.5; the reasons are common practice,
// no source.
func ReadSet(traces []Trace) []TraceResult {
	results := make([]TraceResult, len(traces))
	for i, t := range traces {
		results[i] = t.Read()
	}
	judge(results)
	return results
}

func judge(results []TraceResult) {
	s := newTraceSet(results)
	for i := range results {
		r := &results[i]
		var why []string
		if r.problem != "" {
			why = append(why, r.problem)
		}
		if s.size >= LeastSet && r.Rate != nil {
			why = append(why, s.reasons(r)...)
		}
		r.Odd = len(why) > 0
		r.Why = strings.Join(why, "; ")
	}
}

// traceSet is what the set has in common.
type traceSet struct {
	size                        int
	snug, rate, toYield, turned robust
	yields                      bool // more than half of them
}

func newTraceSet(results []TraceResult) traceSet {
	var s traceSet
	var snug, rate, toYield, turned []float64
	for _, r := range results {
		if r.Rate == nil {
			continue
		}
		s.size++
		snug, rate, turned = append(snug, *r.SnugAngle), append(rate, *r.Rate), append(turned, *r.AngleFromSnug)
		if r.YieldAngle != nil {
			toYield = append(toYield, *r.YieldAngle-*r.SnugAngle)
		}
	}
	s.snug, s.rate, s.toYield, s.turned = newRobust(snug, oddAngle), newRobust(rate, 0), newRobust(toYield, oddAngle), newRobust(turned, oddAngle)
	s.yields = 2*len(toYield) > s.size
	return s
}

const roughStart = "bottoming, or a crossed, dirty or dry thread"

// reasons says in words how r differs from the set.
func (s traceSet) reasons(r *TraceResult) []string {
	var why []string
	add := func(format string, args ...any) { why = append(why, fmt.Sprintf(format, args...)) }
	switch s.snug.side(*r.SnugAngle) {
	case -1:
		add("starts early, at %.3g° against %.3g° in the set: %s", *r.SnugAngle, s.snug.median, roughStart)
	case 1:
		add("starts late, at %.3g° against %.3g° in the set: cap not seated, or something trapped", *r.SnugAngle, s.snug.median)
	}
	switch s.rate.side(*r.Rate) {
	case 1:
		add("steep, %.3g N·m/° against %.3g in the set: %s", *r.Rate, s.rate.median, roughStart)
	case -1:
		add("low rate, %.3g N·m/° against %.3g in the set: low friction, a soft washer, or a damaged bolt", *r.Rate, s.rate.median)
	}
	switch {
	case r.YieldAngle == nil && s.yields:
		add("no yield where the set yields, %.3g° from snug; it was turned %.3g°", s.toYield.median, *r.AngleFromSnug)
	case r.YieldAngle != nil && s.toYield.side(*r.YieldAngle-*r.SnugAngle) < 0:
		add("yields early, %.3g° from snug against %.3g° in the set: a weaker or already stretched bolt", *r.YieldAngle-*r.SnugAngle, s.toYield.median)
	}
	if len(why) == 0 && s.turned.side(*r.AngleFromSnug) < 0 {
		add("turned %.3g° from snug against %.3g° in the set", *r.AngleFromSnug, s.turned.median)
	}
	return why
}

// robust is the middle of a set and its spread, which one odd one can't move.
type robust struct {
	n           int
	median, mad float64
	floor       float64 // nothing nearer than this is odd
}

func newRobust(x []float64, floor float64) robust {
	if len(x) == 0 {
		return robust{}
	}
	r := robust{n: len(x), floor: floor, median: median(x)}
	d := make([]float64, len(x))
	for i, v := range x {
		d[i] = math.Abs(v - r.median)
	}
	r.mad = median(d)
	return r
}

// side returns −1 or 1 if x is odd and below or above the set, else 0.
func (r robust) side(x float64) int {
	d := x - r.median
	if r.n < LeastSet || math.Abs(d) <= math.Max(oddShare*math.Abs(r.median), r.floor) {
		return 0
	}
	if r.mad > 0 && math.Abs(0.6745*d/r.mad) <= oddZ {
		return 0
	}
	if d < 0 {
		return -1
	}
	return 1
}

func median(x []float64) float64 {
	s := slices.Sorted(slices.Values(x))
	n := len(s)
	if n%2 == 1 {
		return s[n/2]
	}
	return (s[n/2-1] + s[n/2]) / 2
}
