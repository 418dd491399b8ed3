// SPDX-License-Identifier: Apache-2.0

package job

import "testing"

// Days counted by hand on a calendar.
func TestToolStanding(t *testing.T) {
	wrench := func(due string, tests ...ToolTested) Tool {
		x := Tool{ToolAdded: ToolAdded{ID: "TW-1", NeedsCalibration: true}}
		if due != "" {
			x.Calibrations = []Noted[ToolCalibrated]{{At: At{Seq: 2}, Body: ToolCalibrated{Date: "2025-06-01", Due: due}}}
		}
		for i, test := range tests {
			x.Tests = append(x.Tests, Noted[ToolTested]{At: At{Seq: int64(3 + i)}, Body: test})
		}
		return x
	}
	retired := wrench("2027-01-01")
	retired.Retired = &Noted[ToolRetired]{}
	for _, c := range []struct {
		name, want, state string
		tool              Tool
	}{
		{"none", "never calibrated", "out", wrench("")},
		{"in", "in calibration until 2026-06-01", "fits", wrench("2026-06-01")},
		{"soon", "due 2026-03-20, in 10 days", "unproven", wrench("2026-03-20")},
		{"overdue", "overdue since 2026-03-09, 1 day", "out", wrench("2026-03-09")},
		{"tested inside", "due since 2026-03-08, tested inside its tolerance", "unproven", wrench("2026-03-08", ToolTested{Date: "2026-03-10", Inside: true})},
		{"tested outside", "tested outside its tolerance", "out", wrench("2026-03-08", ToolTested{Date: "2026-03-09"})},
		{"retired", "retired", "soft", retired},
		{"free", "needs no calibration", "soft", Tool{ToolAdded: ToolAdded{ID: "FG-1"}}},
		{"strip past its date", "past its date since 2026-01-31", "out", Tool{ToolAdded: ToolAdded{ID: "SG-1", Expires: "2026-01-31"}}},
	} {
		if got := c.tool.Standing("2026-03-10"); got.Word != c.want || got.State != c.state {
			t.Errorf("%s: %q (%s), want %q (%s)", c.name, got.Word, got.State, c.want, c.state)
		}
	}
}
