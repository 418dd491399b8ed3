// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"math"
	"sync"

	"witnessmark/metrology"
)

// Budgeted is a result with its uncertainty budget and the trials that it was
// held against. Lengths in millimetres.
type Budgeted struct {
	ValueMM float64 `json:"value_mm"`
	U       float64 `json:"standard_uncertainty_mm"`
	// DegreesOfFreedom are effective; absent where nothing limits them.
	DegreesOfFreedom *float64     `json:"effective_degrees_of_freedom,omitempty"`
	LowMM            float64      `json:"low_95_mm"`
	HighMM           float64      `json:"high_95_mm"`
	Factor           float64      `json:"coverage_factor"`
	Lines            []BudgetLine `json:"lines"`
	MonteCarlo       *Trials      `json:"monte_carlo,omitempty"`
	// Better is what would shrink the spread most, nil when nothing is known.
	Better *Better `json:"better,omitempty"`
}

// BudgetLine is one line of a budget.
type BudgetLine struct {
	Name             string   `json:"name"`
	Type             string   `json:"type"`
	Shape            string   `json:"distribution"`
	U                float64  `json:"standard_uncertainty"`
	Sensitivity      float64  `json:"sensitivity"`
	ContributionMM   float64  `json:"contribution_mm"`
	Share            float64  `json:"share_of_variance"`
	DegreesOfFreedom *float64 `json:"degrees_of_freedom,omitempty"`
	Assumed          bool     `json:"assumed,omitempty"`
}

// Trials is the Monte Carlo check of a budget.
type Trials struct {
	ValueMM   float64 `json:"value_mm"`
	U         float64 `json:"standard_uncertainty_mm"`
	LowMM     float64 `json:"low_95_mm"`
	HighMM    float64 `json:"high_95_mm"`
	Trials    int     `json:"trials"`
	Tolerance float64 `json:"tolerance_mm"`
	// Decides says that budget and trials differ by more than the tolerance, so
	// that the trials count.
	Decides bool `json:"decides"`
}

// Better is what would shrink a spread.
type Better struct {
	Line  string  `json:"line"`           // what drives the spread
	Gauge string  `json:"gauge"`          // now
	With  string  `json:"with,omitempty"` // a gauge of the register, "" for one of half the spread
	U     float64 `json:"standard_uncertainty_mm"`
}

// budgetDigits are the significant digits of u that trials must confirm.
const budgetDigits = 1

// maxBudgets is how many worked-out sums are remembered.
const maxBudgets = 1 << 12

// budgets remembers sums that were worked out: the same readings give the same
// figures, and trials take their time.
var budgets = struct {
	sync.Mutex
	done map[string]worked
}{done: map[string]worked{}}

type worked struct {
	cmp metrology.Comparison
	err error
}

// workOut evaluates the budget of a sum and holds it against trials.
func workOut(lengths []metrology.Length, addends []metrology.Addend) (metrology.Comparison, error) {
	key := fmt.Sprint(lengths, addends)
	budgets.Lock()
	w, ok := budgets.done[key]
	budgets.Unlock()
	if ok {
		return w.cmp, w.err
	}
	b, err := metrology.SumBudget(lengths, addends)
	if err == nil {
		w.cmp, err = b.Compare(metrology.MonteCarlo{Digits: budgetDigits})
	}
	w.err = err
	budgets.Lock()
	defer budgets.Unlock()
	if len(budgets.done) >= maxBudgets {
		clear(budgets.done)
	}
	budgets.done[key] = w
	return w.cmp, w.err
}

// budgeted keeps a worked-out sum for the assessment.
func budgeted(c metrology.Comparison) Budgeted {
	b := budgetOf(c.Budget)
	b.MonteCarlo = &Trials{ValueMM: c.MonteCarlo.Value, U: c.MonteCarlo.U, LowMM: c.MonteCarlo.Low, HighMM: c.MonteCarlo.High,
		Trials: c.MonteCarlo.Trials, Tolerance: c.Tolerance, Decides: !c.Agrees}
	if !c.Agrees {
		b.ValueMM, b.U, b.LowMM, b.HighMM = c.MonteCarlo.Value, c.MonteCarlo.U, c.MonteCarlo.Low, c.MonteCarlo.High
	}
	return b
}

func budgetOf(r metrology.BudgetResult) Budgeted {
	b := Budgeted{ValueMM: r.Value, U: r.U, DegreesOfFreedom: limited(r.DegreesOfFreedom), Lines: []BudgetLine{}}
	b.LowMM, b.HighMM, b.Factor = r.CoverageInterval(0.95)
	for _, l := range r.Lines {
		line := BudgetLine{Name: l.Name, Type: string(l.Type), Shape: string(l.Shape), U: l.U, Sensitivity: l.Sensitivity,
			ContributionMM: l.Contribution, Share: l.Share, DegreesOfFreedom: limited(l.DegreesOfFreedom), Assumed: l.Assumed}
		b.Lines = append(b.Lines, line)
	}
	return b
}

// limited is nil where degrees of freedom are infinite or zero, which says the
// same of an input.
func limited(ν float64) *float64 {
	if ν == 0 || math.IsInf(ν, 0) || math.IsNaN(ν) {
		return nil
	}
	return &ν
}

// stripBudget is the budget of what strips, or direct readings, come to. Its
// interval is that of the convolution itself, so that no trials are needed.
func stripBudget(m metrology.Measurement, own string) *Budgeted {
	r, err := m.Budget(own, "what all readings with the gauge share", "between two bars of the scale").Evaluate()
	if err != nil {
		return nil
	}
	b := budgetOf(r)
	if lo, hi, err := m.CoverageInterval(0.95); err == nil && m.Side == metrology.NotCensored {
		b.LowMM, b.HighMM = lo, hi
	}
	return &b
}
