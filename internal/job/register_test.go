// SPDX-License-Identifier: Apache-2.0

package job

import (
	"testing"
	"time"
)

var when = time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)

// A torque wrench calibrated for 2025, and what a later test makes of its use
// in February 2026.
func TestTrust(t *testing.T) {
	calibrated := func(date, due string) Noted[ToolCalibrated] {
		return Noted[ToolCalibrated]{Body: ToolCalibrated{Date: date, Due: due}}
	}
	tested := func(date string, inside bool) Noted[ToolTested] {
		return Noted[ToolTested]{Body: ToolTested{Date: date, Inside: inside}}
	}
	first := calibrated("2025-01-10", "2026-01-10")
	for name, c := range map[string]struct {
		tool Tool
		day  string
		want Trust
	}{
		"not in the register":              {Tool{}, "2025-06-01", NotKnown},
		"in calibration":                   {Tool{Calibrations: []Noted[ToolCalibrated]{first}}, "2025-06-01", Trusted},
		"on its last day":                  {Tool{Calibrations: []Noted[ToolCalibrated]{first}}, "2026-01-10", Trusted},
		"past it":                          {Tool{Calibrations: []Noted[ToolCalibrated]{first}}, "2026-02-01", Overdue},
		"past it, then tested inside":      {Tool{Calibrations: []Noted[ToolCalibrated]{first}, Tests: []Noted[ToolTested]{tested("2026-02-20", true)}}, "2026-02-01", Trusted},
		"past it, then tested outside":     {Tool{Calibrations: []Noted[ToolCalibrated]{first}, Tests: []Noted[ToolTested]{tested("2026-02-20", false)}}, "2026-02-01", Rejected},
		"tested before the use only":       {Tool{Calibrations: []Noted[ToolCalibrated]{first}, Tests: []Noted[ToolTested]{tested("2026-01-20", true)}}, "2026-02-01", Overdue},
		"in date, tested outside after it": {Tool{Calibrations: []Noted[ToolCalibrated]{first}, Tests: []Noted[ToolTested]{tested("2025-07-01", false)}}, "2025-06-01", Rejected},
		"calibrated anew before it failed": {Tool{Calibrations: []Noted[ToolCalibrated]{first, calibrated("2026-01-05", "2027-01-05")}, Tests: []Noted[ToolTested]{tested("2026-08-01", false)}}, "2025-06-01", Trusted},
		"never calibrated":                 {Tool{}, "2026-02-01", NotKnown},
	} {
		if name != "not in the register" && name != "never calibrated" {
			c.tool.ToolAdded = ToolAdded{ID: "TW-1", NeedsCalibration: true}
		}
		if got := c.tool.TrustOn(c.day); got != c.want {
			t.Errorf("%s, used %s: %s, want %s", name, c.day, got, c.want)
		}
	}
	plain := Tool{ToolAdded: ToolAdded{ID: "FG-1"}}
	if got := plain.TrustOn("2026-02-01"); got != Trusted {
		t.Errorf("a tool that needs no calibration: %s", got)
	}
	strip := Tool{ToolAdded: ToolAdded{ID: "SG-1", Expires: "2026-01-31"}}
	if got := strip.TrustOn("2026-02-01"); got != Overdue {
		t.Errorf("a strip gauge past its date: %s", got)
	}
}

// An overdue wrench is an obstacle until it is tested; outside its tolerance
// what was done with it reopens.
func TestOverdueToolOnAJob(t *testing.T) {
	l := &log{t: t}
	l.add("job_opened", Opened{Number: "1"})
	l.add("stage_done", StageDone{Fastener: "rod_bolt", Tightening: Final, Stage: "snug", Set: "N1", Tool: "TW-2", Bolts: rodBolts(1)})
	wrench := Tool{ToolAdded: ToolAdded{ID: "TW-2", NeedsCalibration: true}, Calibrations: []Noted[ToolCalibrated]{{Body: ToolCalibrated{Date: "2025-01-01", Due: "2026-01-01"}}}}
	code := func(tests ...Noted[ToolTested]) Code {
		wrench.Tests = tests
		a := Assess(Fold(l.entries), Basis{Tools: Register{"TW-2": wrench}})
		for _, o := range a.Obstacles {
			if o.Of == "TW-2" {
				return o.Code
			}
		}
		return ""
	}
	if got := code(); got != ToolOverdue {
		t.Errorf("not tested: %q", got)
	}
	if got := code(Noted[ToolTested]{Body: ToolTested{Date: "2026-03-10", Inside: true}}); got != "" {
		t.Errorf("tested inside: %q", got)
	}
	if got := code(Noted[ToolTested]{Body: ToolTested{Date: "2026-03-10"}}); got != ToolRejected {
		t.Errorf("tested outside: %q", got)
	}
}
