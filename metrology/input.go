// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"
)

// Evaluation says how an input's spread was found (JCGM 100:2008, 4.2 and 4.3).
type Evaluation string

const (
	TypeA Evaluation = "A" // from repeated readings
	TypeB Evaluation = "B" // from anything else
)

// Shape is the distribution of an input.
type Shape string

const (
	// Normal about Value with standard deviation U.
	Normal Shape = "normal"
	// Student: t with DegreesOfFreedom, shifted to Value, scaled by U
	// (JCGM 101:2008, 6.4.9). Its standard deviation is larger than U.
	Student Shape = "student"
	// Rectangular: Value ± HalfWidth (6.4.2).
	Rectangular Shape = "rectangular"
	// Trapezoid: curvilinear, Value ± HalfWidth with each end known to
	// ± Inexact (6.4.3).
	Trapezoid Shape = "trapezoid"
	// Triangular: Value ± HalfWidth, symmetric (6.4.5).
	Triangular Shape = "triangular"
	// Arcsine: a sine between Value ± HalfWidth met at any time (6.4.6).
	Arcsine Shape = "arcsine"
	// Convolved: normal NormalU plus rectangular HalfWidth, a [Measurement].
	Convolved Shape = "normal and rectangular"
)

// Input is one line of a budget. Make one with [NormalInput], [StudentInput],
// [RectangularInput], [TrapezoidInput], [TriangularInput], [ArcsineInput] or
// [MeasurementInput], which keep U and the shape's own figures in step.
type Input struct {
	Name  string
	Value float64
	// U is the standard uncertainty that the budget uses.
	U float64
	// DegreesOfFreedom of U; 0 means infinitely many.
	DegreesOfFreedom float64
	Type             Evaluation
	Shape            Shape
	HalfWidth        float64
	Inexact          float64
	NormalU          float64
	Assumed          bool
}

// NormalInput is known by a standard uncertainty u alone.
func NormalInput(name string, value, u float64) Input {
	return Input{Name: name, Value: value, U: u, Type: TypeB, Shape: Normal}
}

// StudentInput is a mean of readings with standard uncertainty u and ν
// degrees of freedom.
func StudentInput(name string, value, u, ν float64) Input {
	return Input{Name: name, Value: value, U: u, DegreesOfFreedom: ν, Type: TypeA, Shape: Student}
}

// RectangularInput lies anywhere within ± half alike: u = half/√3.
func RectangularInput(name string, value, half float64) Input {
	return Input{Name: name, Value: value, U: half / math.Sqrt(3), Type: TypeB, Shape: Rectangular, HalfWidth: half}
}

// TrapezoidInput is rectangular with ends known to ± inexact only:
// u² = half²/3 + inexact²/9 (JCGM 101:2008, 6.4.3.3).
func TrapezoidInput(name string, value, half, inexact float64) Input {
	return Input{Name: name, Value: value, U: math.Sqrt(half*half/3 + inexact*inexact/9),
		Type: TypeB, Shape: Trapezoid, HalfWidth: half, Inexact: inexact}
}

// TriangularInput is likeliest in the middle: u = half/√6.
func TriangularInput(name string, value, half float64) Input {
	return Input{Name: name, Value: value, U: half / math.Sqrt(6), Type: TypeB, Shape: Triangular, HalfWidth: half}
}

// ArcsineInput swings between ± half: u = half/√2.
func ArcsineInput(name string, value, half float64) Input {
	return Input{Name: name, Value: value, U: half / math.Sqrt2, Type: TypeB, Shape: Arcsine, HalfWidth: half}
}

// MeasurementInput is a reading with both its spreads. Which side a censored
// reading is open to is not seen by a budget.
func MeasurementInput(name string, m Measurement) Input {
	return Input{Name: name, Value: m.Value, U: m.StandardUncertainty(), Type: TypeB, Shape: Convolved,
		HalfWidth: m.HalfWidth, NormalU: m.U, Assumed: m.Assumed}
}

// WithDegreesOfFreedom says how well U itself is known, for example 50 for a
// half width that is known to 10 % (JCGM 100:2008, G.4.2).
func (in Input) WithDegreesOfFreedom(ν float64) Input {
	in.DegreesOfFreedom = ν
	return in
}

// Validate returns an error wrapping [ErrInput] that names the input.
func (in Input) Validate() error {
	bad := func(what string, x float64) error {
		return fmt.Errorf("%w %q: %s is %g", ErrInput, in.Name, what, x)
	}
	switch {
	case !finite(in.Value):
		return bad("the value", in.Value)
	case !finite(in.U) || in.U < 0:
		return bad("the standard uncertainty", in.U)
	case math.IsNaN(in.DegreesOfFreedom) || in.DegreesOfFreedom < 0:
		return bad("degrees of freedom", in.DegreesOfFreedom)
	case !finite(in.HalfWidth) || in.HalfWidth < 0:
		return bad("the half width", in.HalfWidth)
	case !(in.Inexact >= 0 && in.Inexact <= in.HalfWidth):
		return bad("the inexactness of the half width", in.Inexact)
	case in.Shape == Student && in.DegreesOfFreedom == 0:
		return bad("degrees of freedom of a t distribution", 0)
	}
	if in.sampler() == nil {
		return fmt.Errorf("%w %q: unknown shape %q", ErrInput, in.Name, in.Shape)
	}
	return nil
}

// degreesOfFreedom with infinity for 'not limited'.
func (in Input) degreesOfFreedom() float64 {
	if in.DegreesOfFreedom == 0 {
		return math.Inf(1)
	}
	return in.DegreesOfFreedom
}

// sampler returns a function that draws one value, or nil for an unknown shape.
func (in Input) sampler() func(*rand.Rand) float64 {
	v, u, a, d := in.Value, in.U, in.HalfWidth, in.Inexact
	switch in.Shape {
	case Normal:
		return func(r *rand.Rand) float64 { return v + u*r.NormFloat64() }
	case Student:
		ν := in.degreesOfFreedom()
		return func(r *rand.Rand) float64 {
			return v + u*r.NormFloat64()/math.Sqrt(distuv.ChiSquared{K: ν, Src: r}.Rand()/ν)
		}
	case Rectangular:
		return func(r *rand.Rand) float64 { return v + a*(2*r.Float64()-1) }
	case Trapezoid: // JCGM 101:2008, 6.4.3.4
		return func(r *rand.Rand) float64 {
			half := a + d*(2*r.Float64()-1)
			return v + half*(2*r.Float64()-1)
		}
	case Triangular:
		return func(r *rand.Rand) float64 { return v + a*(r.Float64()-r.Float64()) }
	case Arcsine: // JCGM 101:2008, 6.4.6.4
		return func(r *rand.Rand) float64 { return v + a*math.Sin(2*math.Pi*r.Float64()) }
	case Convolved:
		return func(r *rand.Rand) float64 { return v + in.NormalU*r.NormFloat64() + a*(2*r.Float64()-1) }
	}
	return nil
}
