// SPDX-License-Identifier: Apache-2.0

package film

import (
	"math"
	"sync"
)

// shortFold is k of the short film's table; see [mobilityTable].
const shortFold = 0.6

// shortTable is the table of the short film, from its exact integrals: within
// 2e-5 of them in velocity, which a test holds. Pressure and flow stand beside
// it as they do for a film of finite length.
var shortTable = sync.OnceValue(func() *mobilityTable {
	var values [uNodes][wNodes]mobilityValues
	for i := range uNodes {
		for j := range wNodes {
			xi, eta := nodePosition(i, j)
			mx, my, _ := shortMobility(xi, eta, 1, 0)
			values[i][j] = mobilityValues{0, 0, 6 * shortPeak(xi, eta, mx/2, my/2) * math.Sqrt(1-xi), 1}
		}
	}
	t := newMobilityTable(0, &values)
	t.fold = shortFold
	for r := range t.rows {
		t.rows[r] = shortRow(math.Float64frombits(uint64(rowLow + r<<rowShift)))
	}
	return t
})

// shortRow returns the coefficients of f and g in y, solved at Chebyshev points
// between the load line and the greatest tabulated eccentricity.
func shortRow(d float64) (row mobilityRow) {
	d = min(d, 1.9998)                  // at 2 there is no room left across
	xi, root := 1-d, math.Sqrt(d*(2-d)) // 1−ξ² = d (2−d)
	v := math.Sqrt(1 - min(1, (1-fillLimit*fillLimit)/(root*root)))
	high := (1 + shortFold) * v / (v + shortFold)
	var f, g [wNodes]float64
	for j := range wNodes {
		y := high * (0.5 - 0.5*math.Cos(math.Pi*(float64(j)+0.5)/wNodes))
		eta := root * shortFold * y / (1 + shortFold - y)
		mx, my, _ := shortMobility(xi, eta, 1, 0)
		m := math.Sqrt(d) * d / math.Pi
		f[j], g[j] = mx/(d*m), -my/(eta*m)
	}
	copy(row[:wTerms], fitPolynomial(&f, 0, high, wTerms))
	copy(row[wTerms:], fitPolynomial(&g, 0, high, wTerms))
	return row
}
