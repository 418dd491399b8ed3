// SPDX-License-Identifier: Apache-2.0

package film

import (
	"fmt"
	"math"
)

// Grid is the mesh of the field method: Around columns round the bearing, Across
// nodes over the half width (twice as many where the shape is not symmetric).
type Grid struct{ Around, Across int }

// DefaultGrid is the mesh of the field method where none is named: within
// 0.5 % in the load for L/D up to 1, see docs/film.md.
var DefaultGrid = Grid{Around: 96, Across: 8}

// Check returns an error unless the mesh is one that the solver takes: Around a
// multiple of 4 from 24 to 1024, Across even from 2 to 64.
func (g Grid) Check() error {
	if g.Around < 24 || g.Around > 1024 || g.Around%4 != 0 || g.Across < 2 || g.Across > 64 || g.Across%2 != 0 {
		return fmt.Errorf("grid %d × %d: around must be a multiple of 4 from 24 to 1024, across even from 2 to 64", g.Around, g.Across)
	}
	return nil
}

// clusterLevels is how many strengths of clustering are tabulated.
const clusterLevels = 44

// cluster tabulates the angle φ from the line of centres at 2n even stations
// (columns and the faces between them) for rising strengths of clustering.
//
// The density of stations is half even and half a Poisson kernel,
//
//	s = φ/2 + atan(tan(φ/2)/κ),
//
// so that near the least film they stand 2/(1+1/κ) as far apart as evenly and
// on the far side never more than twice. κ = 1 is even.
type cluster struct {
	n   int
	phi [][]float64 // per level: stations 0 (φ = 0) to n (φ = π)
	wgt [][]float64 // and the width of a cell about each, 2 dφ/ds · π/n
}

// kappa at level l falls from 1 by a fixed ratio.
const clusterRatio = 0.89

func newCluster(n int) *cluster {
	c := &cluster{n: n}
	kappa := 1.0
	for range clusterLevels {
		row, wgt := make([]float64, n+1), make([]float64, n+1)
		for i := range row {
			row[i] = clusterAngle(math.Pi*float64(i)/float64(n), kappa)
			sin, cos := math.Sincos(row[i] / 2)
			// ds/dφ = ½ (1 + κ/(sin²(φ/2) + κ² cos²(φ/2)))
			wgt[i] = 4 * math.Pi / float64(n) / (1 + kappa/(sin*sin+kappa*kappa*cos*cos))
		}
		c.phi, c.wgt = append(c.phi, row), append(c.wgt, wgt)
		kappa *= clusterRatio
	}
	return c
}

// clusterAngle solves s = φ/2 + atan(tan(φ/2)/κ) on [0, π] by bisection.
func clusterAngle(s, kappa float64) float64 {
	lo, hi := 0.0, math.Pi
	for range 60 {
		mid := (lo + hi) / 2
		if mid/2+math.Atan2(math.Sin(mid/2), kappa*math.Cos(mid/2)) < s {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// stations fills phi[0..n] and wgt[0..n] for strength κ, between the tabulated
// levels. Summed over the columns with wgt, a smooth function of the whole turn
// is integrated by the trapezoid rule in s: to all orders.
func (c *cluster) stations(kappa float64, phi, wgt []float64) {
	l := math.Log(kappa) / math.Log(clusterRatio)
	l = math.Max(0, math.Min(l, clusterLevels-1.001))
	i := int(l)
	t := l - float64(i)
	a, b := c.phi[i], c.phi[i+1]
	for j := range phi {
		phi[j] = a[j] + t*(b[j]-a[j])
	}
	a, b = c.wgt[i], c.wgt[i+1]
	for j := range wgt {
		wgt[j] = a[j] + t*(b[j]-a[j])
	}
}
