// SPDX-License-Identifier: Apache-2.0

package film

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

// Spread is what is not known exactly about a case. Standard deviations; zero
// leaves a quantity alone.
type Spread struct {
	Clearance   float64 // m, normal
	Temperature float64 // K, normal, of the film
	Load        float64 // relative, log-normal
	// Model is the calculation's own doubt, log-normal, one draw for all
	// positions of an engine. [UsualModelSpread] unless something better is
	// known.
	Model float64
	// Position, if not zero, gives the clearance draws of its own: two positions
	// of one engine then share oil, load and model draw by draw, but not the
	// error of their clearances.
	Position uint64
}

// UsualModelSpread is 25 %, assumed: what rigid, isoviscous, aligned theory
// leaves open about the absolute film.
const UsualModelSpread = 0.25

// Sampled is the distribution of the least film.
type Sampled struct {
	Films  []float64 // m, in the order drawn; 0 where the film failed
	Failed int       // samples that the method could not hold, or with no clearance left
}

// Quantile returns the least film that a share p of the samples stays under;
// failed samples count as zero film.
func (s *Sampled) Quantile(p float64) float64 {
	if len(s.Films) == 0 || !(p >= 0 && p <= 1) {
		return 0
	}
	sorted := slices.Clone(s.Films)
	slices.Sort(sorted)
	at := p * float64(len(sorted)-1)
	i := min(int(at), len(sorted)-1)
	j := min(i+1, len(sorted)-1)
	return sorted[i] + (at-float64(i))*(sorted[j]-sorted[i])
}

// Sensitivity is how the film's viscosity answers to temperature: the factor by
// which it changes for a temperature dt (K) above the case's.
type Sensitivity func(dt float64) float64

// MonteCarlo draws n samples of the case within its spread and returns their
// least films. The same seed gives the same samples on any machine and any
// number of cores; sample i of two cases with one seed shares its model factor,
// so that positions of one engine can be compared draw by draw.
//
// The film over the clearance depends on viscosity, load, clearance and speed
// only through one number (the package comment's scale of W̄ and the shape of
// the cycle), so the orbits are solved on a curve of that number and the samples
// read it; the curve's own error is below 0.1 % and a test says so. It is not so
// for a shaped bearing: those samples are refused.
//
// progress may be nil. Errors: as [Solve], the context's, or if the case's own
// values cannot be held.
func MonteCarlo(ctx context.Context, c Case, s Spread, viscosity Sensitivity, n int, seed uint64, progress func(done, total int)) (*Sampled, error) {
	if err := c.Check(); err != nil {
		return nil, err
	}
	if !c.Shape.zero() {
		return nil, fmt.Errorf("monte carlo: a measured shape is not sampled; use the mean shape with its own spread of clearance")
	}
	if n < 1 || n > 10_000_000 {
		return nil, &RangeError{Name: "number of samples", Value: float64(n), Low: 1, High: 1e7}
	}
	for _, err := range []error{
		within("spread of clearance", "µm", 1e6*s.Clearance, 0, 1e6*c.Bearing.Clearance),
		within("spread of temperature", "K", s.Temperature, 0, 60),
		within("spread of load", "", s.Load, 0, 1),
		within("spread of the model", "", s.Model, 0, 2),
	} {
		if err != nil {
			return nil, err
		}
	}
	draws := make([]draw, n)
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range draws {
		d := &draws[i]
		d.take(&c, s, viscosity, seed, i)
		if d.ok {
			lo, hi = math.Min(lo, d.logK), math.Max(hi, d.logK)
		}
	}
	out := &Sampled{Films: make([]float64, n)}
	if lo > hi {
		out.Failed = n
		return out, nil
	}
	curve, err := newCurve(ctx, c, lo, hi, progress)
	if err != nil {
		return nil, err
	}
	for i, d := range draws {
		ratio, ok := 0.0, d.ok
		if ok {
			ratio, ok = curve.at(d.logK)
		}
		if !ok {
			out.Failed++
			continue
		}
		out.Films[i] = ratio * d.clearance / 2 * d.model
	}
	return out, nil
}

// draw is one sample: the logarithm of the load scale against the case's, the
// clearance and the model factor.
type draw struct {
	logK, clearance, model float64
	ok                     bool
}

func (d *draw) take(c *Case, s Spread, viscosity Sensitivity, seed uint64, i int) {
	r := rand.New(rand.NewPCG(seed, uint64(i)))
	// Always in this order, so that one seed draws the same for every case.
	model, clearance, temperature, load := r.NormFloat64(), r.NormFloat64(), r.NormFloat64(), r.NormFloat64()
	if s.Position != 0 {
		clearance = rand.New(rand.NewPCG(seed^s.Position*0x9e3779b97f4a7c15, uint64(i))).NormFloat64()
	}
	d.model = math.Exp(logSpread(s.Model) * model)
	d.clearance = c.Bearing.Clearance + s.Clearance*clearance
	factor := 1.0
	if viscosity != nil {
		factor = viscosity(s.Temperature * temperature)
	}
	// W̄ ∝ load c²/μ.
	rel := d.clearance / c.Bearing.Clearance
	d.logK = logSpread(s.Load)*load + 2*math.Log(rel) - math.Log(factor)
	// A clearance below a twentieth of the mean is no bearing any more.
	d.ok = rel > 0.05 && factor > 0 && !math.IsInf(d.logK, 0) && !math.IsNaN(d.logK)
}

// logSpread is σ of the logarithm for a relative standard deviation.
func logSpread(rel float64) float64 { return math.Sqrt(math.Log1p(rel * rel)) }

// curve is the least gap ratio against the logarithm of the load scale, at even
// steps, for a cycle of one shape.
type curve struct {
	from, step float64
	ratio      []float64 // 0 where the film failed
}

// curveStep is the distance between orbits on the curve: e^0.03 in load.
const curveStep = 0.03

// curveTolerance is closer than an orbit's own: every sample reads the curve.
const curveTolerance = 1e-4

func newCurve(ctx context.Context, c Case, lo, hi float64, progress func(done, total int)) (*curve, error) {
	// The ends reach one step further for the four-point rule.
	k := &curve{from: lo - curveStep, step: curveStep}
	n := max(4, int(math.Ceil((hi-k.from)/curveStep))+2)
	if n > 2000 {
		k.step = (hi - lo) / 1990
		k.from = lo - k.step
		n = 1994
	}
	k.ratio = make([]float64, n)
	c.Options.Bare, c.Options.Points = true, 0
	if c.Options.Tolerance == 0 {
		c.Options.Tolerance = curveTolerance
	}
	rc, _ := c.Bearing.radial()
	const block = 16 // neighbours on one worker, each starting from the last
	tick := ticker(progress, n)
	err := parallel(ctx, (n+block-1)/block, 0, func() func(b int) error {
		var w worker
		d := c
		f, err := NewFilm(d)
		return func(b int) error {
			if err != nil {
				return err
			}
			w.forget()
			for i := b * block; i < min(n, (b+1)*block); i++ {
				d.Viscosity = c.Viscosity * math.Exp(-(k.from + float64(i)*k.step))
				r, err := w.solve(&d, f)
				var over *OverloadError
				if err != nil && !errors.As(err, &over) {
					return err
				}
				if err == nil {
					k.ratio[i] = r.MinFilm / rc
				}
				tick()
			}
			return nil
		}
	})
	return k, err
}

// at interpolates log ratio by the cubic through four neighbours.
func (k *curve) at(logK float64) (float64, bool) {
	x := (logK - k.from) / k.step
	i := max(1, min(int(x), len(k.ratio)-3))
	t := x - float64(i)
	r := k.ratio[i-1 : i+3]
	if r[1] <= 0 || r[2] <= 0 {
		return 0, false
	}
	if r[0] <= 0 || r[3] <= 0 {
		return r[1] * math.Pow(r[2]/r[1], t), true
	}
	a, b, c, d := math.Log(r[0]), math.Log(r[1]), math.Log(r[2]), math.Log(r[3])
	m0, m1 := limited(b-a, c-b), limited(c-b, d-c)
	y := c - b
	return math.Exp(b + t*(m0+t*((3*y-2*m0-m1)+t*(m0+m1-2*y)))), true
}

// limited is the slope at a node between two chords: their mean, but where the
// least film jumps from one place of the cycle to another the curve has a kink
// and the flatter chord is taken.
func limited(p, q float64) float64 {
	if math.Abs(p-q) > 0.3*math.Max(math.Abs(p), math.Abs(q)) {
		if math.Abs(p) < math.Abs(q) {
			return p
		}
		return q
	}
	return (p + q) / 2
}
