// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func rodJoint(t testing.TB) RodJoint {
	t.Helper()
	th := thread(t, "M9x1")
	return RodJoint{
		Reciprocating: 0.5, Rotating: 0.4, Cap: 0.1, CrankRadius: 40, RodLength: 140,
		Preload: Interval{35000, 45000}, Thread: th, Material: class(t, "10.9", 9), FrictionThread: Spread{0.10, 0.16},
		BoltCompliance: 4e-6, JointCompliance: 1e-6, CrushLoad: 6000,
	}
}

func TestJointAtSpeed(t *testing.T) {
	// Derived by hand from the equations: ω² r = 15791.367 m/s² at 6000 rev/min.
	r, err := JointAtSpeed(rodJoint(t), 6000)
	if err != nil {
		t.Fatal(err)
	}
	force := (0.5*(1+2.0/7) + 0.3) * 15791.36704
	near(t, "parting force", r.PartingForce, force, 0.001)
	near(t, "F_A", r.WorkingLoad, force/2, 0.001)
	near(t, "Φ", r.LoadFactor, 0.2, 1e-12)
	near(t, "clamp left", r.ClampLeft, 29000-0.8*force/2, 0.001)
	near(t, "separation", r.Separation, 29000/(0.8*force/2), 1e-6)
	near(t, "amplitude", r.StressAmplitude, 0.2*force/2/2/51.04516, 1e-4)
	// VDI 2230: 0.85·(150/9 + 45) = 52.417 MPa.
	near(t, "fatigue limit", r.FatigueLimit, 52.4167, 0.0001)
	near(t, "fatigue", r.Fatigue, r.FatigueLimit/r.StressAmplitude, 1e-12)
	if !r.Closed || r.YieldUse < 80 || r.YieldUse > 110 {
		t.Errorf("closed %v, %.1f %% of yield", r.Closed, r.YieldUse)
	}
	if !strings.Contains(strings.Join(r.Assumptions, " "), "not an approval") {
		t.Error("the assumptions don't say that it is no approval")
	}

	j := rodJoint(t)
	j.RolledAfterHeat = true
	after, err := JointAtSpeed(j, 6000)
	if err != nil {
		t.Fatal(err)
	}
	mean := (45000 + 0.2*force/4) / (940 * 51.0451574)
	near(t, "rolled after", after.FatigueLimit/r.FatigueLimit, 2-mean, 1e-6)
}

func TestJointProperties(t *testing.T) {
	base := rodJoint(t)
	rapid.Check(t, func(t *rapid.T) {
		j := base
		j.Preload.Min = rapid.Float64Range(5000, 45000).Draw(t, "preload")
		j.CrushLoad = rapid.Float64Range(0, 4000).Draw(t, "crush")
		j.LoadIntroduction = rapid.Float64Range(0.05, 1).Draw(t, "n")
		rpm := rapid.Float64Range(1000, 9000).Draw(t, "rpm")
		a, err := JointAtSpeed(j, rpm)
		if err != nil {
			t.Fatal(err)
		}
		b, err := JointAtSpeed(j, 1.1*rpm)
		if err != nil {
			t.Fatal(err)
		}
		// Load rises with the square of speed; nothing gets safer.
		if math.Abs(b.PartingForce/a.PartingForce-1.21) > 1e-9 || b.ClampLeft >= a.ClampLeft || b.Fatigue >= a.Fatigue || b.YieldUse <= a.YieldUse {
			t.Fatalf("at %g: %+v, 10 %% faster: %+v", rpm, a, b)
		}
		if a.Closed != (a.Separation > 1) || math.Abs(a.BoltShare+(a.ClampAtRest-a.ClampLeft)-a.WorkingLoad) > 1e-6 {
			t.Fatalf("bolt and joint don't share the load: %+v", a)
		}
	})
}

func TestJointRefuses(t *testing.T) {
	for want, change := range map[string]func(*RodJoint){
		"reciprocating mass": func(j *RodJoint) { j.Reciprocating = 0 },
		"cap mass":           func(j *RodJoint) { j.Cap = 1 },
		"rod length":         func(j *RodJoint) { j.RodLength = 30 },
		"least preload":      func(j *RodJoint) { j.Preload.Min = 0 },
		"greatest preload":   func(j *RodJoint) { j.Preload.Max = 1 },
		"compliance":         func(j *RodJoint) { j.JointCompliance = 0 },
		"load introduction":  func(j *RodJoint) { j.LoadIntroduction = 2 },
		"crush load":         func(j *RodJoint) { j.CrushLoad = -1 },
		"bolts":              func(j *RodJoint) { j.Bolts = -2 },
		"thread diameter":    func(j *RodJoint) { j.Thread = thread(t, "M64") },
		"friction":           func(j *RodJoint) { j.FrictionThread = Spread{} },
	} {
		j := rodJoint(t)
		change(&j)
		if _, err := JointAtSpeed(j, 6000); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
	if _, err := JointAtSpeed(rodJoint(t), 0); err == nil {
		t.Error("no speed was accepted")
	}
}
