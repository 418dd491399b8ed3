// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Outlier is what Grubbs' test says about the reading that lies farthest from
// the mean. It is shown, never acted upon: a reading is only left out by a
// person who says why.
type Outlier struct {
	Index    int     // of the farthest reading, from 0
	Value    float64 // as read
	G        float64 // |value − mean| / s
	Critical float64 // of G at Alpha
	Alpha    float64
	PValue   float64 // at most this: Bonferroni's bound, exact for a large G
	Suspect  bool    // G is above Critical
}

// GrubbsCritical returns the two-sided critical value of Grubbs' test for n
// readings, n ≥ 3, at significance alpha in (0, 1):
//
//	G = (n−1)/√n · √(t²/(n−2+t²)),  t = t(1 − α/2n; n−2)
//
// NaN outside. Source: F. E. Grubbs, Technometrics 11 (1969) 1-21; NIST/SEMATECH
// e-Handbook of Statistical Methods, 1.3.5.17.1; formula from memory.
func GrubbsCritical(n int, alpha float64) float64 {
	if n < 3 || !(alpha > 0 && alpha < 1) {
		return math.NaN()
	}
	N := float64(n)
	t := -distuv.StudentsT{Mu: 0, Sigma: 1, Nu: N - 2}.Quantile(alpha / (2 * N))
	return (N - 1) / math.Sqrt(N) * math.Sqrt(t*t/(N-2+t*t))
}

// Grubbs tests the reading farthest from the mean at significance alpha, two
// sided. Readings are taken as normal; with none differing nothing is suspect.
//
// It returns an error wrapping [ErrInput] for fewer than three readings, one
// that is not finite, or alpha outside (0, 1).
func Grubbs(readings []float64, alpha float64) (Outlier, error) {
	if len(readings) < 3 || !(alpha > 0 && alpha < 1) {
		return Outlier{}, fmt.Errorf("%w: Grubbs' test needs three readings (has %d) and a significance between 0 and 1 (has %g)", ErrInput, len(readings), alpha)
	}
	s, err := Summarise(readings)
	if err != nil {
		return Outlier{}, err
	}
	o := Outlier{Alpha: alpha, Critical: GrubbsCritical(s.N, alpha), PValue: 1}
	for i, x := range readings {
		if math.Abs(x-s.Mean) > math.Abs(readings[o.Index]-s.Mean) {
			o.Index = i
		}
	}
	o.Value = readings[o.Index]
	if s.StdDev == 0 {
		return o, nil
	}
	o.G = math.Abs(o.Value-s.Mean) / s.StdDev
	o.Suspect = o.G > o.Critical
	o.PValue = grubbsP(s.N, o.G)
	return o, nil
}

// grubbsP inverts the critical value: 2n·P(T > t).
func grubbsP(n int, g float64) float64 {
	N := float64(n)
	rest := (N-1)*(N-1) - N*g*g
	if rest <= 0 {
		return 0 // as far out as n readings can be
	}
	t := g * math.Sqrt(N*(N-2)/rest)
	return math.Min(1, 2*N*distuv.StudentsT{Mu: 0, Sigma: 1, Nu: N - 2}.CDF(-t))
}
