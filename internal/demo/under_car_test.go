// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"slices"
	"testing"

	"witnessmark/internal/job"
)

// Half back under the car: what is off, what is back and not proved, the
// steering joint without its check, what is to be set anew and stored faults
// each stand in the way, and mount nuts without a mark.
func TestUnderTheCar(t *testing.T) {
	l := load(t, told.shop, told.cast.Refit)
	have := map[job.Code][]string{}
	for _, o := range l.Assessment.Obstacles {
		have[o.Code] = append(have[o.Code], o.Of)
	}
	for code, of := range map[job.Code]string{
		job.OperationOff: "anti_roll_bar", job.SteeringUnchecked: "steering_joint", job.ResetMissing: "battery", job.FaultsStored: "",
	} {
		if !slices.Contains(have[code], of) {
			t.Errorf("%s stands for %v, want %q among it", code, have[code], of)
		}
	}
	ops := job.Operations(l.State, l.Basis.Plan, nil, []string{"mounts", "subframe"})
	if m := ops[0].Things[0]; m.Proved() || !m.Done {
		t.Errorf("mount nuts: %+v", m)
	}
	if s := ops[1].Things[0]; !s.Proved() {
		t.Errorf("subframe bolts: %+v", s)
	}
}
