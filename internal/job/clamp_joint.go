// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"

	"witnessmark/engine"
	"witnessmark/fastener"
)

// RodJoint is the parting line of the big ends at speed.
type RodJoint struct {
	// Missing names what the sheet does not say.
	Missing []string `json:"missing,omitempty"`
	Problem string   `json:"problem,omitempty"`
	// AsTightened says that the least clamp load on record stands against
	// separation; else it is what the sheet's stages would give.
	AsTightened bool         `json:"as_tightened"`
	Preload     IntervalOf   `json:"preload_kN"`
	Crush       *float64     `json:"crush_load_kN,omitempty"`   // off each bolt; absent: the sheet does not say enough
	CrushFrom   string       `json:"crush_load_from,omitempty"` // measured, or sheet: its greatest
	Speeds      []JointSpeed `json:"speeds"`
	Assumptions []string     `json:"assumptions"`
}

// JointSpeed is the joint at one speed; loads are per bolt.
type JointSpeed struct {
	Name            string  `json:"name"` // rated or over
	RPM             float64 `json:"speed_rpm"`
	PartingForce    float64 `json:"parting_force_kN"` // of the whole rod
	WorkingLoad     float64 `json:"working_load_kN"`
	LoadFactor      float64 `json:"load_factor"`
	BoltShare       float64 `json:"bolt_share_kN"`
	ClampAtRest     float64 `json:"clamp_at_rest_kN"`
	ClampLeft       float64 `json:"clamp_left_kN"`
	Separation      float64 `json:"factor_against_separation"`
	Closed          bool    `json:"stays_closed"`
	StressAmplitude float64 `json:"stress_amplitude_MPa"`
	FatigueLimit    float64 `json:"fatigue_limit_MPa"`
	Fatigue         float64 `json:"factor_against_fatigue"`
	YieldUse        float64 `json:"yield_use_percent"`
}

// fromTheFaces is how little of the clamped parts the load passes through when
// it enters next to the parting line: the worst for the line (VDI 2230, n).
const fromTheFaces = 1e-6

func (a *assessor) jointAtSpeed(f engine.Fastener, c fastener.Case, asked fastener.Result, clamp FastenerClamp) *RodJoint {
	out := &RodJoint{Missing: missingDuty(a.b.Sheet.Duty), Speeds: []JointSpeed{}, Assumptions: []string{}}
	if len(out.Missing) > 0 {
		return out
	}
	j := a.rodJoint(f, c, asked)
	j.Preload, out.AsTightened = leastPreload(clamp, asked, len(a.b.Sheet.Positions()))
	out.Preload = IntervalOf{kilonewtons(j.Preload.Min), kilonewtons(j.Preload.Max)}
	if crush, from, ok := a.jointCrush(len(boltNames(f))); ok {
		j.CrushLoad = crush
		kN := kilonewtons(crush)
		out.Crush, out.CrushFrom = &kN, from
	}
	for _, at := range []struct {
		name  string
		speed float64
	}{{"rated", float64(a.b.Sheet.Duty.RatedSpeed.V)}, {"over", float64(a.b.Sheet.Duty.OverSpeed.V)}} {
		if at.speed == 0 {
			continue
		}
		s, assumed, err := jointSpeed(j, at.name, at.speed)
		if err != nil {
			out.Problem = err.Error()
			return out
		}
		out.Speeds, out.Assumptions = append(out.Speeds, s), assumed
	}
	if j.LoadIntroduction == 0 {
		out.Assumptions = append(out.Assumptions, "separation with the load entering next to the parting line, the worst for it")
	}
	if out.Crush == nil {
		out.Assumptions = append(out.Assumptions, "the shells' crush takes nothing: the sheet does not say enough of it")
	}
	return out
}

// jointSpeed is the joint with the load entering under the head, the worst for
// the bolt, and next to the parting line, the worst for the line, unless the
// sheet says where it enters.
func jointSpeed(j fastener.RodJoint, name string, rpm float64) (JointSpeed, []string, error) {
	bolt, err := fastener.JointAtSpeed(j, rpm)
	if err != nil {
		return JointSpeed{}, nil, err
	}
	line := bolt
	if j.LoadIntroduction == 0 {
		j.LoadIntroduction = fromTheFaces
		if line, err = fastener.JointAtSpeed(j, rpm); err != nil {
			return JointSpeed{}, nil, err
		}
	}
	return JointSpeed{Name: name, RPM: rpm, PartingForce: kilonewtons(bolt.PartingForce), WorkingLoad: kilonewtons(bolt.WorkingLoad), LoadFactor: bolt.LoadFactor,
		BoltShare: kilonewtons(bolt.BoltShare), ClampAtRest: kilonewtons(line.ClampAtRest), ClampLeft: kilonewtons(line.ClampLeft), Separation: line.Separation, Closed: line.Closed,
		StressAmplitude: bolt.StressAmplitude, FatigueLimit: bolt.FatigueLimit, Fatigue: bolt.Fatigue, YieldUse: bolt.YieldUse}, bolt.Assumptions, nil
}

func (a *assessor) rodJoint(f engine.Fastener, c fastener.Case, r fastener.Result) fastener.RodJoint {
	d := a.b.Sheet.Duty
	return fastener.RodJoint{
		Reciprocating: d.Reciprocating.V.Kilograms(), Rotating: d.Rotating.V.Kilograms(), Cap: d.Cap.V.Kilograms(),
		CrankRadius: d.Stroke.V.MM() / 2, RodLength: d.RodLength.V.MM(), Bolts: len(boltNames(f)), Thread: c.Bolt.Thread, Material: c.Material, FrictionThread: c.FrictionThread,
		BoltCompliance: r.BoltCompliance.Total(), JointCompliance: fastener.Spread(r.Joint).Middle(),
		LoadIntroduction: float64(f.Geometry.Introduction.V), RolledAfterHeat: f.Geometry.Rolled == "after",
	}
}

// leastPreload is the least and greatest over every place once all of them are
// finally tight, else what the sheet's stages would give.
func leastPreload(c FastenerClamp, asked fastener.Result, positions int) (fastener.Interval, bool) {
	tight := map[int]bool{}
	i := fastener.Interval{Min: math.Inf(1)}
	for _, p := range c.Places {
		if p.Tightening != Final || !p.Complete || p.Load == nil {
			continue
		}
		tight[p.Position] = true
		i.Min, i.Max = math.Min(i.Min, newtonsPerKilonewton*p.Load.Final.Min), math.Max(i.Max, newtonsPerKilonewton*p.Load.Final.Max)
	}
	if len(tight) < positions {
		return asked.Final, false
	}
	return i, true
}

func missingDuty(d engine.Duty) []string {
	var out []string
	for _, x := range []struct {
		key   string
		given bool
	}{{"duty.reciprocating_mass", d.Reciprocating.Given()}, {"duty.rotating_mass", d.Rotating.Given()}, {"duty.cap_mass", d.Cap.Given()}} {
		if !x.given {
			out = append(out, x.key)
		}
	}
	return out
}
