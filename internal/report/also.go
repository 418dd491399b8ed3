// SPDX-License-Identifier: Apache-2.0

package report

import (
	"strings"

	"witnessmark/internal/job"
)

// measuredToo is an axial play that was read.
type measuredToo struct {
	What  string
	Value *job.ValueView
}

// alsoMeasured are end float and side clearances, where they were read.
func alsoMeasured(v job.View) []measuredToo {
	var out []measuredToo
	add := func(what string, val *job.ValueView) {
		if val != nil {
			out = append(out, measuredToo{what, val})
		}
	}
	for _, s := range v.Sides {
		what := "Side clearance, " + strings.ToLower(s.Name[:1]) + s.Name[1:]
		if s.Rods != "" {
			what += " (" + s.Rods + ")"
		}
		add(what, s.Value)
	}
	add("End float of the crankshaft, as found", v.FloatFound)
	add("End float of the crankshaft", v.EndFloat)
	return out
}

// thrustWords say which thrust washers are on record, and what would bring the
// end float nearest to the middle of its limits.
func thrustWords(v job.View) string {
	t := v.Thrust
	if t == nil || t.In == "" {
		return ""
	}
	w := t.In + "."
	if len(t.Choices) > 0 {
		w += " " + t.Gap + " Nearest to the middle of the limits, " + t.Middle + ": " + t.Choices[0].Washers + ", which makes " + t.Choices[0].Float + " " + t.Choices[0].Spread + " (worked out): " + t.Choices[0].Verdict.Word + "."
	}
	if t.Better != "" {
		w += " " + t.Better
	}
	return w
}
