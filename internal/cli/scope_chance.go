// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"fmt"
	"io"

	"witnessmark/engine"
	"witnessmark/internal/job"
	"witnessmark/units"
)

// scopeAhead is what the chances of offers rest on, as it was typed.
type scopeAhead struct{ horizon, run, sheet string }

// scopeNeeds reads it; what is left out is nil.
func (a *app) scopeNeeds(x scopeAhead) (n job.Needs, run *float64, err error) {
	if n.Horizon, err = flagDistance("--horizon", x.horizon); err != nil {
		return n, nil, err
	}
	if n.Horizon != nil && *n.Horizon == 0 {
		return n, nil, usagef("--horizon %q: write more than nothing, such as 60000km", x.horizon)
	}
	if run, err = flagDistance("--run", x.run); err != nil {
		return n, nil, err
	}
	if x.sheet == "" {
		return n, run, nil
	}
	data, err := a.readFile(x.sheet, 1<<20)
	if err != nil {
		return n, nil, err
	}
	if n.Sheet, err = engine.Load(x.sheet, data); err != nil {
		return n, nil, usage(err)
	}
	return n, run, nil
}

func flagDistance(flag, text string) (*float64, error) {
	if text == "" {
		return nil, nil
	}
	r, err := units.Parse(units.KindDistance, text, units.UnitKilometre)
	if err != nil {
		return nil, usagef("%s %q: %w", flag, text, err)
	}
	if r.Value < 0 {
		return nil, usagef("%s %q: write a distance that is not below zero, such as 60000km", flag, text)
	}
	return &r.Value, nil
}

// printChance says how likely an offer is needed, and above which chance doing
// it now costs less.
func (o scopeOffer) printChance(w io.Writer) {
	if o.scopeChance == nil {
		return
	}
	above, assumed := "", ""
	if o.BreakEven != nil {
		above = fmt.Sprintf("; now pays above %.0f %%", 100**o.BreakEven)
	}
	if o.Assumed {
		assumed = ", assumed"
	}
	fmt.Fprintf(w, "%s: needed within %.0f km with a chance of %.0f %% (%s%s)%s\n", o.ID, o.Within, 100*o.Chance, o.Source, assumed, above)
}
