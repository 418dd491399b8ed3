// SPDX-License-Identifier: Apache-2.0

package mesh

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// Reading is one indicator reading at an angle of the gear.
type Reading struct {
	Angle float64 // degrees
	Value float64 // mm, as the indicator shows it
}

// Result is the backlash around the gear, mm in the transverse plane at the
// pitch circle unless a field says otherwise.
type Result struct {
	Min, Mean, Max float64
	NormalMean     float64 // j_bn
	// RunoutAmplitude is how far the backlash swings once a turn either side of
	// the mean, and RunoutAngle where it is greatest, degrees in [0, 360). NaN:
	// the readings don't stand at three different angles.
	RunoutAmplitude, RunoutAngle float64
	// Scale is j_t over the reading: it brings an uncertainty along.
	Scale float64
}

// Measure returns the backlash around the gear from readings.
//
// Min and Max are those of the readings, Mean their average. The run-out is the
// first harmonic, by least squares:
//
//	j(φ) = c + a·cos φ + b·sin φ,  amplitude √(a²+b²),  angle atan2(b, a)
//
// A reading is from 0 to 5 mm. It returns an error if there is none or one
// can't be, or the error of [Setup.Check].
func Measure(s Setup, readings []Reading) (Result, error) {
	if err := s.Check(); err != nil {
		return Result{}, err
	}
	if len(readings) == 0 {
		return Result{}, errors.New("no readings; take some around the gear")
	}
	j := make([]float64, len(readings))
	k := s.factor()
	r := Result{Min: math.Inf(1), Max: math.Inf(-1), Scale: k}
	for i, x := range readings {
		if !(x.Value >= 0 && x.Value <= 5) || math.IsNaN(x.Angle) || math.IsInf(x.Angle, 0) {
			return Result{}, fmt.Errorf("reading %d: %g mm at %g° is not between 0 and 5 mm; is the indicator's zero at one flank?", i+1, x.Value, x.Angle)
		}
		j[i] = x.Value * k
		r.Min, r.Max = math.Min(r.Min, j[i]), math.Max(r.Max, j[i])
	}
	r.Mean = stat.Mean(j, nil)
	r.NormalMean = NormalBacklash(r.Mean, s.PressureAngle, s.Helix)
	r.RunoutAmplitude, r.RunoutAngle = firstHarmonic(readings, j)
	return r, nil
}

// firstHarmonic returns amplitude and angle in [0, 360), NaN if three angles
// are not there to tell them apart.
func firstHarmonic(readings []Reading, j []float64) (amplitude, angle float64) {
	n := len(j)
	a := mat.NewDense(n, 3, nil)
	for i, x := range readings {
		sin, cos := math.Sincos(radians(math.Mod(x.Angle, 360)))
		a.SetRow(i, []float64{1, cos, sin})
	}
	var svd mat.SVD
	if n < 3 || !svd.Factorize(a, mat.SVDThin) || svd.Rank(1e-9) < 3 {
		return math.NaN(), math.NaN()
	}
	var x mat.Dense
	svd.SolveTo(&x, mat.NewDense(n, 1, j), 3)
	c, s := x.At(1, 0), x.At(2, 0)
	angle = math.Atan2(s, c) * 180 / math.Pi
	if angle < 0 {
		angle += 360
	}
	if angle >= 360 { // a tiny negative angle rounds up to the full turn
		angle = 0
	}
	return math.Hypot(c, s), angle
}

// ToMiddle returns how far the centres must move apart, in mm, to bring the
// mean to the middle of the limits min and max in mm; see [CentreChange].
func (r Result) ToMiddle(s Setup, min, max float64) float64 {
	return CentreChange((min+max)/2-r.Mean, s.PressureAngle, s.Helix)
}
