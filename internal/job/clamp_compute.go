// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"sync"

	"witnessmark/engine"
	"witnessmark/fastener"
	"witnessmark/units"
)

// computed is a clamp load as the page prints it and as the joint at speed
// takes it on.
type computed struct {
	load   ClampLoad
	result fastener.Result
	torque float64 // by torque alone
	err    error
}

// maxComputed is how many clamp loads are remembered; beyond it all are
// forgotten.
const maxComputed = 512

// remembered keeps clamp loads by what went into them. The draws are seeded,
// so that a load computed again would be the same.
var remembered = struct {
	sync.Mutex
	loads map[string]computed
}{loads: map[string]computed{}}

// compute is the clamp load of a case.
func compute(c fastener.Case) (computed, error) {
	return remember("stages", c, func() (fastener.Result, float64, error) {
		r, err := fastener.Preload(c)
		return r, 0, err
	})
}

// computeAlone is the same bolt by torque alone, with the torque in N·m.
func computeAlone(c fastener.Case) (computed, float64, error) {
	got, err := remember("torque alone", c, func() (fastener.Result, float64, error) { return fastener.TorqueAlone(c) })
	return got, got.torque, err
}

func remember(how string, c fastener.Case, do func() (fastener.Result, float64, error)) (computed, error) {
	key := fmt.Sprintf("%s %+v", how, c)
	remembered.Lock()
	got, ok := remembered.loads[key]
	remembered.Unlock()
	if ok {
		return got, got.err
	}
	got.result, got.torque, got.err = do()
	if got.err == nil {
		got.load = loadOf(got.result)
	}
	remembered.Lock()
	defer remembered.Unlock()
	if len(remembered.loads) >= maxComputed {
		clear(remembered.loads)
	}
	remembered.loads[key] = got
	return got, got.err
}

func loadOf(r fastener.Result) ClampLoad {
	kN := func(i fastener.Interval) IntervalOf { return IntervalOf{kilonewtons(i.Min), kilonewtons(i.Max)} }
	um := func(i fastener.Interval) IntervalOf { return IntervalOf{micrometres(i.Min), micrometres(i.Max)} }
	l := ClampLoad{Snug: kN(r.Snug), Final: LikelyOf{kilonewtons(r.Final.Min), kilonewtons(r.Final.Max), kilonewtons(r.Likely)}, Yield: kilonewtons(r.Yield),
		Utilisation: IntervalOf(r.Utilisation), Service: IntervalOf(r.Service), PastYield: r.PastYield, PastYieldShare: r.PastYieldShare,
		Stretch: um(r.Stretch), Permanent: um(r.Permanent), ScatterRatio: r.ScatterRatio, Assumptions: r.Assumptions, Notes: r.Notes}
	if l.Notes == nil {
		l.Notes = []string{}
	}
	return l
}

func kilonewtons(n float64) float64  { return n / newtonsPerKilonewton }
func micrometres(mm float64) float64 { return units.UnitMicrometre.FromCanonical(mm) }

func megapascals(p engine.Nominal[units.Pressure]) (float64, bool) {
	lo, _ := p.Range()
	switch {
	case p.Value != nil:
		return p.Value.Megapascals(), true
	case p.Min != nil:
		return units.Pressure(lo).Megapascals(), true
	}
	return 0, false
}

// share is what a tool's tolerance adds to a stage: the class of ISO 6789 at
// the torque, else the percentage of the register, and for an angle what the
// register says.
func (t Tool) share(id string, st engine.Stage, s *fastener.Stage) ToolShare {
	share := ToolShare{Tool: id, Stage: st.ID, From: "not known"}
	if s.AngleDeg > 0 && t.AngleTolerance != nil {
		s.AngleTolerance, share.Degrees, share.From = t.AngleTolerance.Value, t.AngleTolerance.Value, "register"
	}
	if s.TorqueNm == 0 {
		return share
	}
	if class, err := fastener.ParseToolClass(t.ISO6789); t.ISO6789 != "" && err == nil {
		if tol, err := class.Tolerance(s.TorqueNm); err == nil {
			s.TorqueTolerance, share.Percent, share.From = tol, 100*tol, "ISO 6789, "+class.String()
			return share
		}
	}
	if t.TolerancePercent > 0 {
		s.TorqueTolerance, share.Percent, share.From = t.TolerancePercent/100, t.TolerancePercent, "register"
	}
	return share
}
