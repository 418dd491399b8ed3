// SPDX-License-Identifier: Apache-2.0

package job

import (
	"slices"
	"testing"

	"witnessmark/plans"
)

// byPlan is a job on the invented V8's plan whose work is agreed.
func byPlan(t *testing.T, want ...string) (*log, Basis) {
	t.Helper()
	plan, err := plans.Named(plans.V8)
	if err != nil {
		t.Fatal(err)
	}
	l := &log{t: t}
	l.add("job_opened", Opened{Number: "1"})
	l.add("scope_agreed", ScopeAgreed{Want: want})
	return l, Basis{Plan: plan}
}

// keys are the obstacles of the plan that stand, by their keys.
func (l *log) keys(b Basis) []string {
	var out []string
	for _, o := range Assess(Fold(l.entries), b).Obstacles {
		if _, ok := scopePhrases[o.Code]; ok {
			out = append(out, o.Key)
		}
	}
	slices.Sort(out)
	return out
}

func (l *log) holds(b Basis, when string, want ...string) {
	l.t.Helper()
	slices.Sort(want)
	if got := l.keys(b); !slices.Equal(got, want) {
		l.t.Errorf("%s: %q, want %q", when, got, want)
	}
}

// Every fastener that was disturbed stands in the way until it has its stages
// and its mark, a steering joint until it is checked or somebody says why not,
// and stored faults until they are read.
func TestRefitProof(t *testing.T) {
	l, b := byPlan(t, "rod_bearings")
	l.holds(b, "nothing off")
	l.add("operation_done", OperationDone{Operation: "steering_joint", Direction: "strip"})
	l.holds(b, "off", "faults_not_read", "operation_off/steering_joint", "refit_unproved/steering_joint", "steering_unchecked/steering_joint")
	l.add("operation_done", OperationDone{Operation: "steering_joint", Direction: "refit"})
	l.add("refit_proved", RefitProved{Operation: "steering_joint", Thing: "column_bolt", Done: true})
	l.holds(b, "tightened, not marked", "faults_not_read", "refit_unproved/steering_joint", "steering_unchecked/steering_joint")
	l.add("refit_proved", RefitProved{Operation: "steering_joint", Thing: "column_bolt", Witness: true})
	l.holds(b, "marked", "faults_not_read", "steering_unchecked/steering_joint")
	l.add("refit_proved", RefitProved{Operation: "steering_joint", Thing: "column_joint", Done: true})
	l.holds(b, "a tick is no check", "faults_not_read", "steering_unchecked/steering_joint")
	none := l.add("refit_proved", RefitProved{Operation: "steering_joint", Thing: "column_joint", None: "the splines fit one way only"})
	l.add("faults_read", FaultsRead{Stored: "oil level sensor"})
	l.holds(b, "stored", "faults_stored")
	l.add("faults_read", FaultsRead{})
	l.holds(b, "none stored")
	// Withdrawn, the reason no longer counts.
	l.add("correction", &Correction{Replaces: none, Reason: "they fit two ways"})
	l.holds(b, "withdrawn", "steering_unchecked/steering_joint")
	// Off again: what was proved before says nothing any more.
	l.add("operation_done", OperationDone{Operation: "steering_joint", Direction: "strip"})
	l.holds(b, "off again", "faults_not_read", "operation_off/steering_joint", "refit_unproved/steering_joint", "steering_unchecked/steering_joint")
}

// Resets stand in the way of handover, fasteners before the start, and those of
// what comes off first, which goes on last, at handover too.
func TestRefitChecks(t *testing.T) {
	l, b := byPlan(t, "rod_bearings")
	for _, id := range []string{"lift", "battery", "anti_roll_bar"} {
		l.add("operation_done", OperationDone{Operation: id, Direction: "strip"})
		l.add("operation_done", OperationDone{Operation: id, Direction: "refit"})
	}
	want := map[string]Check{"refit_unproved/lift": Handover, "refit_unproved/anti_roll_bar": Start, "reset_missing/battery": Handover, "faults_not_read": Handover}
	for _, o := range Assess(Fold(l.entries), b).Obstacles {
		if check, ok := want[o.Key]; ok {
			if o.Check != check {
				t.Errorf("%s stands in the way of %s, want %s", o.Key, o.Check, check)
			}
			delete(want, o.Key)
		}
	}
	if len(want) > 0 {
		t.Errorf("missing: %v", want)
	}
}

// A job with a plan, whose operations were written freely, is left alone.
func TestFreeOperationsAreLeftAlone(t *testing.T) {
	l, b := byPlan(t, "rod_bearings")
	l.add("operation_done", OperationDone{Operation: "undertray", Direction: "strip"})
	l.holds(b, "free")
}

func TestToolNotGivenBack(t *testing.T) {
	l, b := byPlan(t, "rod_bearings")
	l.add("tool_borrowed", ToolBorrowed{Tool: "subframe cradle"})
	l.holds(b, "borrowed", "tool_not_given_back/subframe cradle")
	l.add("tool_returned", ToolGivenBack{Tool: "subframe cradle"})
	l.holds(b, "given back")
}
