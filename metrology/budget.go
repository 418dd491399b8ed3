// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/diff/fd"
)

// Model computes the result from the inputs, in the order of the budget. It
// must not keep or change x, and must be safe for concurrent use.
type Model func(x []float64) float64

// Budget is an uncertainty budget: inputs that are independent of each other,
// and the model that makes the result of them. What two readings have in common
// (one setting ring, one temperature) is an input of its own.
type Budget struct {
	Inputs []Input
	Model  Model
}

// Line is one input's part in the spread of the result.
type Line struct {
	Input
	Sensitivity  float64 // ∂f/∂x
	Contribution float64 // |∂f/∂x|·u, in the unit of the result
	Share        float64 // of the variance, 0 to 1
}

// BudgetResult is a budget worked out.
type BudgetResult struct {
	Value float64
	// U is the combined standard uncertainty, first order.
	U float64
	// DegreesOfFreedom are effective, by Welch and Satterthwaite; +Inf where
	// every input is taken as exactly known.
	DegreesOfFreedom float64
	// SecondOrderU includes the second-order terms of JCGM 100:2008, 5.1.2
	// note, which hold for inputs that are about normal. Much above U means
	// that the model is not linear over its inputs' spreads.
	SecondOrderU float64
	Lines        []Line
}

// Evaluate works the budget out per JCGM 100:2008:
//
//	u² = Σ(cᵢuᵢ)²                (10)
//	ν  = u⁴/Σ((cᵢuᵢ)⁴/νᵢ)        (G.2b)
//
// Sensitivities come from the model by a four-point central difference over
// ± u/2 and ± u of each input, exact for polynomials up to the fourth degree;
// an input without spread gets a step of a millionth of its value. The model
// must be defined there.
//
// It returns an error wrapping [ErrInput] for no input, a bad one, or a model
// that does not give a finite number.
func (b Budget) Evaluate() (BudgetResult, error) {
	if err := b.Validate(); err != nil {
		return BudgetResult{}, err
	}
	x := b.values()
	r := BudgetResult{Value: b.Model(x)}
	variance, fourth := 0.0, 0.0
	for i, in := range b.Inputs {
		c := b.sensitivity(x, i)
		part := math.Abs(c) * in.U
		r.Lines = append(r.Lines, Line{Input: in, Sensitivity: c, Contribution: part})
		variance += part * part
		fourth += math.Pow(part, 4) / in.degreesOfFreedom()
	}
	if !finite(r.Value) || !finite(variance) {
		return BudgetResult{}, fmt.Errorf("%w: the model gives %g with variance %g", ErrInput, r.Value, variance)
	}
	r.U = math.Sqrt(variance)
	r.DegreesOfFreedom = math.Inf(1)
	if fourth > 0 {
		r.DegreesOfFreedom = variance * variance / fourth
	}
	for i := range r.Lines {
		r.Lines[i].Share = ratio(square(r.Lines[i].Contribution), variance)
	}
	r.SecondOrderU = math.Sqrt(math.Max(0, variance+b.secondOrder(x, r.Lines)))
	return r, nil
}

// Validate checks every input.
func (b Budget) Validate() error {
	if len(b.Inputs) == 0 || b.Model == nil {
		return fmt.Errorf("%w: a budget needs inputs and a model", ErrInput)
	}
	for _, in := range b.Inputs {
		if err := in.Validate(); err != nil {
			return err
		}
	}
	return nil
}

func (b Budget) values() []float64 {
	x := make([]float64, len(b.Inputs))
	for i, in := range b.Inputs {
		x[i] = in.Value
	}
	return x
}

// fourPoints is the central difference over ±1 and ±2 steps, error O(h⁴)
// (Abramowitz and Stegun, Table 25.2).
var fourPoints = []fd.Point{{Loc: -2, Coeff: 1.0 / 12}, {Loc: -1, Coeff: -2.0 / 3}, {Loc: 1, Coeff: 2.0 / 3}, {Loc: 2, Coeff: -1.0 / 12}}

// sensitivity is ∂f/∂xᵢ at x.
func (b Budget) sensitivity(x []float64, i int) float64 {
	step := b.Inputs[i].U / 2
	if step == 0 {
		step = 1e-6 * math.Abs(x[i])
	}
	if step == 0 {
		step = 1e-6
	}
	at := append([]float64(nil), x...)
	return fd.Derivative(func(v float64) float64 {
		at[i] = v
		return b.Model(at)
	}, x[i], &fd.Settings{Formula: fd.Formula{Stencil: fourPoints, Derivative: 1, Step: step}})
}

// secondOrder is Σᵢⱼ [½(fᵢⱼuᵢuⱼ)² + (fᵢuᵢ)(fᵢⱼⱼuᵢuⱼ²)] (JCGM 100:2008, 5.1.2
// note), by differences over whole standard uncertainties.
func (b Budget) secondOrder(x []float64, lines []Line) float64 {
	at := make([]float64, len(x))
	f := func(i int, a float64, j int, c float64) float64 {
		copy(at, x)
		at[i] += a * b.Inputs[i].U
		at[j] += c * b.Inputs[j].U
		return b.Model(at)
	}
	sum := 0.0
	for i := range x {
		first := lines[i].Sensitivity * b.Inputs[i].U
		for j := range x {
			var fij, fijj float64
			if i == j {
				fij = f(i, 1, i, 0) - 2*f(i, 0, i, 0) + f(i, -1, i, 0)
				fijj = (f(i, 2, i, 0) - 2*f(i, 1, i, 0) + 2*f(i, -1, i, 0) - f(i, -2, i, 0)) / 2
			} else {
				fij = (f(i, 1, j, 1) - f(i, 1, j, -1) - f(i, -1, j, 1) + f(i, -1, j, -1)) / 4
				up := f(i, 1, j, 1) - 2*f(i, 1, j, 0) + f(i, 1, j, -1)
				down := f(i, -1, j, 1) - 2*f(i, -1, j, 0) + f(i, -1, j, -1)
				fijj = (up - down) / 2
			}
			sum += fij*fij/2 + first*fijj
		}
	}
	if !finite(sum) {
		return 0
	}
	return sum
}

// CoverageInterval returns Value ± t·U for probability p in (0, 1), t for the
// effective degrees of freedom truncated to a whole number (JCGM 100:2008,
// G.4.1 and G.6.4), and the factor t.
func (r BudgetResult) CoverageInterval(p float64) (low, high, factor float64) {
	factor = StudentFactor(p, math.Max(1, math.Floor(r.DegreesOfFreedom)))
	return r.Value - factor*r.U, r.Value + factor*r.U, factor
}

// Drivers returns the lines from the largest contribution to the smallest.
func (r BudgetResult) Drivers() []Line {
	lines := slices.Clone(r.Lines)
	slices.SortStableFunc(lines, func(a, b Line) int { return cmp.Compare(b.Contribution, a.Contribution) })
	return lines
}

// UWith returns what U would be if the input at index i had the standard
// uncertainty u, all else as it is: what a better gauge would bring. NaN when
// there is no such line.
func (r BudgetResult) UWith(i int, u float64) float64 {
	if i < 0 || i >= len(r.Lines) {
		return math.NaN()
	}
	rest := 0.0
	for j, l := range r.Lines {
		if j != i {
			rest += square(l.Contribution)
		}
	}
	return math.Hypot(math.Sqrt(rest), r.Lines[i].Sensitivity*u)
}

// UReplacing returns what U would be if the lines at those indices gave way to
// a single one of standard uncertainty u (in the unit of the result): what
// another gauge in place of one with its calibration would bring.
func (r BudgetResult) UReplacing(lines []int, u float64) float64 {
	rest := u * u
	for i, l := range r.Lines {
		if !slices.Contains(lines, i) {
			rest += square(l.Contribution)
		}
	}
	return math.Sqrt(rest)
}

// Measurement is the result with a normal spread.
func (r BudgetResult) Measurement() Measurement {
	m := Direct(r.Value, r.U)
	for _, l := range r.Lines {
		m.Assumed = m.Assumed || (l.Assumed && l.Contribution > 0)
	}
	return m
}
