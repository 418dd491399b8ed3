// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"math"
	"sync"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mat"
)

// AngleReading is one diameter (mm) across the direction Angle (°).
type AngleReading struct{ Angle, Diameter float64 }

// Roundness is what diameters at several angles in one plane say.
type Roundness struct {
	N int
	// Diameter is the mean diameter.
	Diameter Measurement
	// Ovality is the greatest less the least diameter of the fitted oval, never
	// negative. Even a round journal shows some: see RoundOvality.
	Ovality Measurement
	// Direction (°, 0 to 180) of the greatest diameter and its standard
	// uncertainty, 52° (any direction alike) at most.
	Direction, UDirection float64
	// Range is the greatest less the least reading. RoundRange is what it would
	// be on average for a perfectly round journal read as often, RoundOvality
	// what the fitted ovality would be: both only from the readings' spread.
	Range, RoundRange, RoundOvality float64
	// PRound is the chance that a round journal shows at least this ovality.
	PRound float64
	// Residual is the scatter about the oval, N−3 degrees of freedom.
	Residual float64
	// U1 is the standard uncertainty of one reading that was used, with its
	// degrees of freedom; FromStudy says that it is the study's repeatability.
	U1               float64
	DegreesOfFreedom float64
	FromStudy        bool
}

// FitRoundness fits an oval to diameters at several angles by least squares:
//
//	d(θ) = D + a·cos 2θ + b·sin 2θ,  ovality = 2·√(a²+b²)
//
// A diameter repeats after 180°, so this is the first harmonic it can have. At
// least three readings at three different directions are needed. One
// reading's spread is the repeatability given, unless there are six or more
// degrees of freedom left in the fit, or no repeatability (StdDev 0) and at
// least one. What all readings share (the gauge's setting) is not in here.
//
// Ovality's spread is the first-order one, 2·u(amplitude); near zero the
// ovality is biased upwards, by RoundOvality for a round journal.
//
// It returns an error wrapping [ErrInput].
func FitRoundness(readings []AngleReading, r Repeatability) (Roundness, error) {
	n := len(readings)
	if n < 3 {
		return Roundness{}, fmt.Errorf("%w: %d diameters, an oval needs at least three", ErrInput, n)
	}
	design := mat.NewDense(n, 3, nil)
	d := mat.NewVecDense(n, nil)
	for i, x := range readings {
		if !finite(x.Angle) || !finite(x.Diameter) {
			return Roundness{}, fmt.Errorf("%w: diameter %g mm at %g°", ErrInput, x.Diameter, x.Angle)
		}
		sin, cos := math.Sincos(2 * x.Angle * math.Pi / 180)
		design.SetRow(i, []float64{1, cos, sin})
		d.SetVec(i, x.Diameter-readings[0].Diameter) // offsets keep the small digits
	}
	var β mat.VecDense
	var qr mat.QR
	qr.Factorize(design)
	if qr.Cond() > 1e3 {
		return Roundness{}, fmt.Errorf("%w: the directions are too few or too close together to tell an oval", ErrInput)
	}
	if err := qr.SolveVecTo(&β, false, d); err != nil {
		return Roundness{}, fmt.Errorf("%w: %w", ErrInput, err)
	}
	var inverse mat.Dense
	var normal mat.Dense
	normal.Mul(design.T(), design)
	if err := inverse.Inverse(&normal); err != nil {
		return Roundness{}, fmt.Errorf("%w: %w", ErrInput, err)
	}
	fit := Roundness{N: n}
	fit.Residual = residual(design, &β, d)
	if err := fit.spreadOf(r); err != nil {
		return Roundness{}, err
	}
	fit.describe(readings, &β, &inverse)
	return fit, nil
}

// residual is √(Σ(d−fit)²/(n−3)), 0 with nothing left.
func residual(design *mat.Dense, β, d *mat.VecDense) float64 {
	var e mat.VecDense
	e.MulVec(design, β)
	e.SubVec(d, &e)
	n, _ := design.Dims()
	if n <= 3 {
		return 0
	}
	return mat.Norm(&e, 2) / math.Sqrt(float64(n-3))
}

// spreadOf chooses the standard uncertainty of one reading.
func (f *Roundness) spreadOf(r Repeatability) error {
	left := f.N - 3
	switch {
	case math.IsNaN(r.StdDev) || r.StdDev < 0 || math.IsInf(r.StdDev, 0):
		return fmt.Errorf("%w: repeatability %g", ErrInput, r.StdDev)
	case left >= MinRepeats, r.StdDev == 0 && left > 0:
		f.U1, f.DegreesOfFreedom = f.Residual, float64(left)
	case r.StdDev == 0:
		return fmt.Errorf("%w: three diameters and no repeatability of the gauge give no spread", ErrInput)
	default:
		f.U1, f.DegreesOfFreedom, f.FromStudy = r.StdDev, r.DegreesOfFreedom, true
		f.Diameter.Assumed, f.Ovality.Assumed = r.Assumed, r.Assumed
		if f.DegreesOfFreedom == 0 {
			f.DegreesOfFreedom = math.Inf(1)
		}
	}
	return nil
}

func (f *Roundness) describe(readings []AngleReading, β *mat.VecDense, inverse *mat.Dense) {
	a, b := β.AtVec(1), β.AtVec(2)
	amplitude := math.Hypot(a, b)
	f.Diameter.Value = readings[0].Diameter + β.AtVec(0)
	f.Diameter.U = f.U1 * math.Sqrt(inverse.At(0, 0))
	vaa, vbb, vab := inverse.At(1, 1), inverse.At(2, 2), inverse.At(1, 2)
	cos, sin := 1.0, 0.0
	if amplitude > 0 {
		cos, sin = a/amplitude, b/amplitude
	}
	along := f.U1 * math.Sqrt(cos*cos*vaa+sin*sin*vbb+2*cos*sin*vab)
	across := f.U1 * math.Sqrt(math.Max(0, sin*sin*vaa+cos*cos*vbb-2*cos*sin*vab))
	f.Ovality.Value, f.Ovality.U = 2*amplitude, 2*along
	f.Direction = math.Mod(math.Atan2(b, a)/2*180/math.Pi+180, 180)
	f.UDirection = anyDirection
	if amplitude > 0 {
		f.UDirection = math.Min(anyDirection, across/amplitude/2*180/math.Pi)
	}
	low, high := readings[0].Diameter, readings[0].Diameter
	for _, x := range readings {
		low, high = math.Min(low, x.Diameter), math.Max(high, x.Diameter)
	}
	f.Range, f.RoundRange = high-low, f.U1*RangeFactor(f.N)
	f.RoundOvality = 2 * f.U1 * rayleighMean(vaa, vbb, vab)
	f.PRound = f.pRound(a, b, vaa, vbb, vab)
}

// anyDirection is the standard uncertainty (°) of a direction that may be any.
var anyDirection = 180 / math.Sqrt(12)

// pRound tests a = b = 0: χ² with 2 degrees of freedom for a known spread, F
// for one with few.
func (f *Roundness) pRound(a, b, vaa, vbb, vab float64) float64 {
	if f.U1 == 0 {
		if a == 0 && b == 0 {
			return 1
		}
		return 0
	}
	det := vaa*vbb - vab*vab
	q := (a*a*vbb - 2*a*b*vab + b*b*vaa) / det / square(f.U1)
	if math.IsInf(f.DegreesOfFreedom, 1) {
		return math.Exp(-q / 2)
	}
	return survivalF(q/2, 2, f.DegreesOfFreedom)
}

// rayleighMean is the mean length of a normal vector about zero with the given
// covariance, by quadrature over its direction: √(π/2)·mean over ψ of
// √(vaa·cos²ψ + vbb·sin²ψ), in the principal axes.
func rayleighMean(vaa, vbb, vab float64) float64 {
	mid, half := (vaa+vbb)/2, math.Hypot((vaa-vbb)/2, vab)
	mean := quad.Fixed(func(ψ float64) float64 {
		return math.Sqrt(math.Max(0, mid+half*math.Cos(2*ψ)))
	}, 0, math.Pi/2, 60, quad.Legendre{}, 0) / (math.Pi / 2)
	return math.Sqrt(math.Pi/2) * mean
}

// RangeFactor returns d₂: the mean of the greatest less the least of n normal
// readings, over their standard deviation. 0 for fewer than two.
//
//	d₂ = ∫ 1 − Φ(z)ⁿ − (1−Φ(z))ⁿ dz
//
// Source: L. H. C. Tippett, Biometrika 17 (1925) 364-387; tabulated as d₂ for
// control charts, e.g. ISO 7870-2.
func RangeFactor(n int) float64 {
	if n < 2 {
		return 0
	}
	if n < len(rangeFactors) {
		return rangeFactors[n]()
	}
	return rangeFactor(n)
}

// rangeFactors are those of the numbers of readings that one part has, each
// integrated once.
var rangeFactors = func() (known [64]func() float64) {
	for n := range known {
		known[n] = sync.OnceValue(func() float64 { return rangeFactor(n) })
	}
	return known
}()

func rangeFactor(n int) float64 {
	N := float64(n)
	sum := 0.0
	for k := range 20 { // even in z
		a := float64(k)
		sum += quad.Fixed(func(z float64) float64 {
			up := phi(-z)
			return 1 - math.Pow(1-up, N) - math.Pow(up, N)
		}, a, a+1, 20, quad.Legendre{}, 0)
	}
	return 2 * sum
}
