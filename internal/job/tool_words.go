// SPDX-License-Identifier: Apache-2.0

package job

import (
	"strconv"
	"time"
)

// soonDays is how long before its date a calibration is announced.
const soonDays = 30

// Standing says in words how a tool stands on a day: in calibration, due soon,
// overdue, retired.
func (t Tool) Standing(day string) WordView {
	due := t.Due()
	switch {
	case t.Retired != nil:
		return WordView{"retired", "soft"}
	case t.Expires != "" && day > t.Expires:
		return WordView{"past its date since " + t.Expires, stateOut}
	case t.TrustOn(day) == Rejected || t.lastTestFailed():
		return WordView{"tested outside its tolerance", stateOut}
	case !t.NeedsCalibration && due == "":
		return WordView{"needs no calibration", "soft"}
	case due == "":
		return WordView{"never calibrated", stateOut}
	case t.wornOut(day) && t.TrustOn(day) != Trusted:
		return WordView{"past its " + count(t.allowedCycles(), "cycle", "cycles") + " since the calibration", stateOut}
	case day > due:
		if t.TrustOn(day) == Trusted {
			return WordView{"due since " + due + ", tested inside its tolerance", stateUnproven}
		}
		return WordView{"overdue since " + due + ", " + count(days(due, day), "day", "days"), stateOut}
	}
	if left := days(day, due); left <= soonDays {
		return WordView{"due " + due + ", in " + count(left, "day", "days"), stateUnproven}
	}
	return WordView{"in calibration until " + due, stateFits}
}

// lastTestFailed reports whether the last word on a tool is a failed test.
func (t Tool) lastTestFailed() bool {
	n := len(t.Tests)
	if n == 0 || t.Tests[n-1].Body.Inside {
		return false
	}
	c := len(t.Calibrations)
	return c == 0 || t.Calibrations[c-1].Body.Date <= t.Tests[n-1].Body.Date && t.Calibrations[c-1].At.Seq < t.Tests[n-1].At.Seq
}

func days(from, to string) int {
	a, errA := time.Parse(time.DateOnly, from)
	b, errB := time.Parse(time.DateOnly, to)
	if errA != nil || errB != nil {
		return 0
	}
	return int(b.Sub(a).Hours() / 24)
}

// KindWords names a kind of tool.
func (t ToolAdded) KindWords() string { return plainWord(t.Kind) }

// Extra says what else is known of a tool: as it was added and described, and
// of its spread.
func (t Tool) Extra() []string {
	added := t.ToolAdded
	added.Resolution = t.resolution()
	added.Low, added.High = t.limits()
	out := added.Extra()
	if t.Described != nil && len(t.Described.Body.Measures) > 0 {
		out = append([]string{"measures " + list(plainWords(t.Described.Body.Measures))}, out...)
	}
	if in := t.Instrument(); in.known() && in.From != SpreadStated || len(t.Studies) > 0 || in.SetWith != "" || in.CalibrationU > 0 {
		out = append(out, in.SpreadWords()...)
	}
	return out
}

// Extra says what else is known of a tool: its scale, range and spread.
func (t ToolAdded) Extra() []string {
	var out []string
	if n := len(t.Graduations); n > 0 {
		words := make([]string, n)
		for i, g := range t.Graduations {
			words[i] = g.Digits
		}
		out = append(out, "scale "+list(words)+" "+t.Graduations[0].Unit.Symbol)
	}
	if t.Low != nil && t.High != nil {
		out = append(out, "from "+readText(*t.Low)+" to "+readText(*t.High))
	}
	if t.Resolution != nil {
		out = append(out, "resolution "+readText(*t.Resolution))
	}
	if t.U != nil {
		out = append(out, "standard uncertainty "+readText(*t.U))
	}
	if t.TolerancePercent != 0 {
		out = append(out, "tolerance ±"+strconv.FormatFloat(t.TolerancePercent, 'g', -1, 64)+" %")
	}
	out = append(out, t.TorqueTool.extra()...)
	if t.Batch != "" {
		out = append(out, "batch "+t.Batch)
	}
	if t.Expires != "" {
		out = append(out, "use by "+t.Expires)
	}
	return out
}
