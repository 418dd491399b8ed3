// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"math"
)

// Summary describes readings: their count, mean, standard deviation (n−1),
// least and greatest, and lag-1 autocorrelation.
type Summary struct {
	N            int
	Mean, StdDev float64
	Min, Max     float64
	// Lag1 is near 0 for readings that do not drift; 0 where undefined.
	Lag1 float64
}

// Summarise describes readings in the order in which they were taken. The mean
// is summed with compensation and then corrected once, the squares are taken
// about it, so readings that differ in their last digits alone keep them.
//
// It returns an error wrapping [ErrInput] for none, or one that is not finite.
//
// Held against the certified values of the NIST Statistical Reference Datasets.
func Summarise(readings []float64) (Summary, error) {
	if len(readings) == 0 {
		return Summary{}, fmt.Errorf("%w: no readings", ErrInput)
	}
	s := Summary{N: len(readings), Min: math.Inf(1), Max: math.Inf(-1)}
	for i, x := range readings {
		if !finite(x) {
			return Summary{}, fmt.Errorf("%w: reading %d is %g", ErrInput, i+1, x)
		}
		s.Min, s.Max = math.Min(s.Min, x), math.Max(s.Max, x)
	}
	n := float64(s.N)
	// Offsets from the first reading are small and nearly exact.
	var offset, squares, lagged compensated
	for _, x := range readings {
		offset.add(x - readings[0])
	}
	mean := offset.sum() / n
	s.Mean = readings[0] + mean
	for i, x := range readings {
		d := x - readings[0] - mean
		squares.add(d * d)
		if i > 0 {
			lagged.add(d * (readings[i-1] - readings[0] - mean))
		}
	}
	if s.N > 1 && squares.sum() > 0 {
		s.StdDev = math.Sqrt(squares.sum() / (n - 1))
		s.Lag1 = lagged.sum() / squares.sum()
	}
	return s, nil
}

// compensated sums with Neumaier's correction.
type compensated struct{ total, lost float64 }

func (c *compensated) add(x float64) {
	t := c.total + x
	if math.Abs(c.total) >= math.Abs(x) {
		c.lost += c.total - t + x
	} else {
		c.lost += x - t + c.total
	}
	c.total = t
}

func (c *compensated) sum() float64 { return c.total + c.lost }
