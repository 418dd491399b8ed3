// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"
)

// MonteCarlo says how to propagate distributions. The zero value is adaptive:
// 95 % coverage, two significant digits, from seed 0.
type MonteCarlo struct {
	Seed uint64
	// Coverage probability, in (0, 1); 0 means 0.95.
	Coverage float64
	// Trials fixes their number; 0 lets them go on until stable.
	Trials int
	// MaxTrials bounds the adaptive procedure; 0 means 5 million.
	MaxTrials int
	// Digits are the significant digits wanted of u, 1 to 4; 0 means 2.
	Digits int
	// Tighten divides the tolerance; JCGM 101:2008, 8.2 asks for 5 when a
	// budget is to be validated. 0 means 1.
	Tighten float64
	// Shortest asks for the shortest coverage interval instead of the one that
	// leaves as much on either side.
	Shortest bool
}

// Propagated is what came out of the trials.
type Propagated struct {
	Value, U  float64
	Low, High float64 // the coverage interval
	Coverage  float64
	Trials    int
	// Converged says that the tolerance was reached (always true when Trials
	// was fixed); Tolerance is the δ of JCGM 101:2008, 7.9.2, of the last U.
	Converged bool
	Tolerance float64
}

// blockTrials is the least number of trials per block (JCGM 101:2008, 7.9.4 b).
const blockTrials = 10000

// Propagate draws the inputs and the model as [MonteCarlo] says. The same seed
// gives the same result on any number of processors: every block of trials has
// its own stream.
//
// The adaptive procedure goes on by blocks of M = max(⌈100/(1−p)⌉, 10⁴) trials
// until twice the standard deviation of the averages of value, u and both ends
// is below the tolerance δ, half a unit in the last wanted digit of u.
//
// Errors as [Budget.Evaluate].
//
// Source: JCGM 101:2008, clause 7, adaptive procedure 7.9.
func (b Budget) Propagate(mc MonteCarlo) (Propagated, error) {
	if err := b.Validate(); err != nil {
		return Propagated{}, err
	}
	mc = mc.defaults()
	if err := mc.validate(); err != nil {
		return Propagated{}, err
	}
	run := newTrialRun(b, mc)
	room := trialRoom.Get().(*[]float64)
	run.y = (*room)[:0]
	defer func() {
		*room = run.y
		trialRoom.Put(room)
	}()
	if mc.Trials > 0 {
		run.fixed(mc.Trials)
	} else {
		run.adaptive()
	}
	p := run.result()
	if !finite(p.Value) || !finite(p.U) {
		return Propagated{}, fmt.Errorf("%w: the model gives %g with spread %g over the trials", ErrInput, p.Value, p.U)
	}
	return p, nil
}

func (mc MonteCarlo) defaults() MonteCarlo {
	if mc.Coverage == 0 {
		mc.Coverage = 0.95
	}
	if mc.MaxTrials == 0 {
		mc.MaxTrials = 5_000_000
	}
	if mc.Digits == 0 {
		mc.Digits = 2
	}
	if mc.Tighten == 0 {
		mc.Tighten = 1
	}
	return mc
}

func (mc MonteCarlo) validate() error {
	switch {
	case !(mc.Coverage > 0 && mc.Coverage < 1):
		return fmt.Errorf("%w: coverage %g is not between 0 and 1", ErrConfidence, mc.Coverage)
	case mc.Digits < 1 || mc.Digits > 4:
		return fmt.Errorf("%w: %d significant digits, 1 to 4 can be asked for", ErrInput, mc.Digits)
	case mc.Trials < 0 || mc.Trials == 1 || mc.Trials > 100_000_000 || mc.MaxTrials > 100_000_000:
		return fmt.Errorf("%w: %d trials, at most %d", ErrInput, mc.Trials, mc.MaxTrials)
	case !(mc.Tighten >= 1 && mc.Tighten <= 100):
		return fmt.Errorf("%w: the tolerance is divided by %g", ErrInput, mc.Tighten)
	}
	return nil
}

// trialRoom is room for trials, used again: an assessment works out dozens of
// budgets.
var trialRoom = sync.Pool{New: func() any { return new([]float64) }}

// trialRun holds the draws so far.
type trialRun struct {
	budget    Budget
	mc        MonteCarlo
	draw      []func(*rand.Rand) float64
	y         []float64
	converged bool
	tolerance float64
	sum, sum2 float64 // of the offsets from y[0], as far as stable has come
	counted   int
}

func newTrialRun(b Budget, mc MonteCarlo) *trialRun {
	r := &trialRun{budget: b, mc: mc, converged: true}
	for _, in := range b.Inputs {
		r.draw = append(r.draw, in.sampler())
	}
	return r
}

// fill draws block number n into y.
func (r *trialRun) fill(n int, y []float64) {
	source := rand.New(rand.NewPCG(r.mc.Seed, uint64(n)))
	x := make([]float64, len(r.draw))
	for i := range y {
		for j, draw := range r.draw {
			x[j] = draw(source)
		}
		y[i] = r.budget.Model(x)
	}
}

// fillBlocks draws the blocks from number first on into y, side by side.
func (r *trialRun) fillBlocks(first, size int, y []float64) {
	var wg sync.WaitGroup
	work := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for k := range work {
				r.fill(first+k, y[k*size:min((k+1)*size, len(y))])
			}
		})
	}
	for k := range (len(y) + size - 1) / size {
		work <- k
	}
	close(work)
	wg.Wait()
}

func (r *trialRun) fixed(trials int) {
	r.y = slices.Grow(r.y, trials)[:trials]
	r.fillBlocks(0, blockTrials, r.y)
	_, u := meanAndSpread(r.y)
	r.tolerance = numericalTolerance(u, r.mc.Digits) / r.mc.Tighten
}

// adaptive is the procedure of JCGM 101:2008, 7.9.4.
func (r *trialRun) adaptive() {
	size := max(int(math.Ceil(100/(1-r.mc.Coverage))), blockTrials) // b)
	var averages [4][]float64
	r.converged = false
	wave := runtime.GOMAXPROCS(0)
	part := make([]float64, size)
	for block := 0; ; {
		end := len(r.y)
		r.y = slices.Grow(r.y, wave*size)
		ahead := r.y[end : end+wave*size]
		r.fillBlocks(block, size, ahead)
		for k := range wave {
			r.y = r.y[:len(r.y)+size]
			block++
			copy(part, ahead[k*size:(k+1)*size])
			p := r.describe(part) // e), on a copy that may be reordered
			for i, v := range [4]float64{p.Value, p.U, p.Low, p.High} {
				averages[i] = append(averages[i], v)
			}
			if block >= 2 && r.stable(averages) {
				r.converged = true
				return
			}
			if len(r.y)+size > r.mc.MaxTrials && block >= 2 {
				return
			}
		}
	}
}

// stable is steps g) to j).
func (r *trialRun) stable(averages [4][]float64) bool {
	for ; r.counted < len(r.y); r.counted++ {
		d := r.y[r.counted] - r.y[0]
		r.sum += d
		r.sum2 += d * d
	}
	n := float64(r.counted)
	u := math.Sqrt(math.Max(0, r.sum2-r.sum*r.sum/n) / (n - 1))
	r.tolerance = numericalTolerance(u, r.mc.Digits) / r.mc.Tighten
	for _, a := range averages {
		_, s := meanAndSpread(a)
		if 2*s/math.Sqrt(float64(len(a))) > r.tolerance {
			return false
		}
	}
	return true
}

func (r *trialRun) result() Propagated {
	p := r.describe(r.y)
	p.Converged, p.Tolerance = r.converged, r.tolerance
	return p
}

// describe reorders y.
func (r *trialRun) describe(y []float64) Propagated {
	p := Propagated{Coverage: r.mc.Coverage, Trials: len(y)}
	p.Value, p.U = meanAndSpread(y)
	if r.mc.Shortest {
		p.Low, p.High = shortest(y, p.Coverage)
	} else {
		p.Low, p.High = symmetric(y, p.Coverage)
	}
	return p
}

// numericalTolerance is δ = ½·10^l with u = c·10^l, c having that many digits
// (JCGM 101:2008, 7.9.2). A spread of nothing has a tolerance of nothing.
func numericalTolerance(u float64, digits int) float64 {
	if u == 0 {
		return 0
	}
	l := math.Floor(math.Log10(u)) - float64(digits-1)
	if math.Round(u/math.Pow(10, l)) >= math.Pow(10, float64(digits)) {
		l++ // 9.96 has the two digits 10
	}
	return 0.5 * math.Pow(10, l)
}

// covered are q and the symmetric r of JCGM 101:2008, 7.7, as indices from 0.
func covered(n int, p float64) (q, r int) {
	q = int(p*float64(n) + 0.5)
	q = min(max(q, 1), n-1)
	return q, max((n-q+1)/2-1, 0)
}

func symmetric(y []float64, p float64) (low, high float64) {
	q, r := covered(len(y), p)
	high = selectNth(y, min(r+q, len(y)-1))
	low = selectNth(y[:min(r+q, len(y)-1)+1], r) // everything below is before it now
	return low, high
}

func shortest(y []float64, p float64) (low, high float64) {
	slices.Sort(y)
	q, _ := covered(len(y), p)
	best := 0
	for r := range len(y) - q {
		if y[r+q]-y[r] < y[best+q]-y[best] {
			best = r
		}
	}
	return y[best], y[best+q]
}

// meanAndSpread returns mean and standard deviation (n−1).
func meanAndSpread(y []float64) (mean, s float64) {
	if len(y) == 0 {
		return math.NaN(), math.NaN()
	}
	sum := 0.0
	for _, v := range y {
		sum += v - y[0]
	}
	offset := sum / float64(len(y))
	squares := 0.0
	for _, v := range y {
		squares += square(v - y[0] - offset)
	}
	return y[0] + offset, math.Sqrt(squares / float64(max(len(y)-1, 1)))
}
