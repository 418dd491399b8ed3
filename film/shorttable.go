// SPDX-License-Identifier: Apache-2.0

package film

import (
	"math"
	"sync"
)

// shortTable is the short film's mobility from its exact integrals, as f and g
// of [mobilityTable] with a = 0. On the load line the narrow gap makes a term in
// |η|³ steep, where polynomials in w converge slowly; these are in |η| itself, on
// the same rows of d, and want no root and no division.
type shortTable struct {
	rows [uRows]shortRow
	slow *mobilityTable // for pressure
}

const shortTerms = 10

// shortRow holds the coefficients of f, then of g, in rising powers of |η|.
type shortRow [2 * shortTerms]float64

// theShortTable is made when first asked for, within 5e-5 of the integrals in
// velocity, which a test holds.
var theShortTable = sync.OnceValue(func() *shortTable {
	var values [uNodes][wNodes]mobilityValues
	for i := range uNodes {
		for j := range wNodes {
			xi, eta := nodePosition(i, j)
			mx, my, _ := shortMobility(xi, eta, 1, 0)
			values[i][j] = mobilityValues{0, 0, 6 * shortPeak(xi, eta, mx/2, my/2) * math.Sqrt(1-xi), 1}
		}
	}
	t := &shortTable{slow: newMobilityTable(0, &values)}
	for r := range uRows - 1 {
		t.rows[r] = newShortRow(rowD(r))
	}
	// At d = 2 there is no room left across: go on as before it.
	last, a, b := &t.rows[uRows-1], &t.rows[uRows-2], &t.rows[uRows-3]
	for k := range last {
		last[k] = 2*a[k] - b[k]
	}
	return t
})

// newShortRow solves one row at Chebyshev points of |η|, from the load line to
// the greatest tabulated eccentricity.
func newShortRow(d float64) (row shortRow) {
	xi, root := 1-d, math.Sqrt(d*(2-d)) // 1−ξ² = d (2−d)
	// In |η|/√(1−ξ²), which is of order one in every row.
	high := math.Sqrt(1 - min(1, (1-fillLimit*fillLimit)/(root*root)))
	var f, g [shortTerms]float64
	for j := range shortTerms {
		eta := root * high * (0.5 - 0.5*math.Cos(math.Pi*(float64(j)+0.5)/shortTerms))
		mx, my, _ := shortMobility(xi, eta, 1, 0)
		m := math.Sqrt(d) * d / math.Pi
		f[j], g[j] = mx/(d*m), -my/(eta*m)
	}
	copy(row[:shortTerms], fitPolynomial(f[:], 0, high, shortTerms))
	copy(row[shortTerms:], fitPolynomial(g[:], 0, high, shortTerms))
	scale := 1.0
	for k := range shortTerms {
		row[k], row[shortTerms+k] = row[k]*scale, row[shortTerms+k]*scale
		scale /= root
	}
	return row
}

// velocity is that of [mobilityTable.velocity]; invC is 1/(π (L/D)²).
//
//go:norace
func (t *shortTable) velocity(x, y, ux, uy, w, invC float64) (vx, vy float64, ok bool) {
	e2 := x*x + y*y
	if !(e2 < mapLimit*mapLimit) {
		return 0, 0, false
	}
	xi, eta := x*ux+y*uy, y*ux-x*uy
	d := 1 - xi
	z := math.Abs(eta)
	i, r := rowAt(d)
	a, b := &t.rows[i], &t.rows[i+1]
	v := z * z
	v2 := v * v
	f0 := (a[0] + z*a[1] + v*(a[2]+z*a[3])) + v2*((a[4]+z*a[5]+v*(a[6]+z*a[7]))+v2*(a[8]+z*a[9]))
	f1 := (b[0] + z*b[1] + v*(b[2]+z*b[3])) + v2*((b[4]+z*b[5]+v*(b[6]+z*b[7]))+v2*(b[8]+z*b[9]))
	g0 := (a[10] + z*a[11] + v*(a[12]+z*a[13])) + v2*((a[14]+z*a[15]+v*(a[16]+z*a[17]))+v2*(a[18]+z*a[19]))
	g1 := (b[10] + z*b[11] + v*(b[12]+z*b[13])) + v2*((b[14]+z*b[15]+v*(b[16]+z*b[17]))+v2*(b[18]+z*b[19]))
	m := math.Sqrt(d) * d * (invC * 0.5 * w)
	dm, em, r1 := d*m, -eta*m, 1-r
	vxi, veta := (r1*f0+r*f1)*dm, (r1*g0+r*g1)*em
	return vxi*ux - veta*uy, vxi*uy + veta*ux, true
}

// shortMap is the short film by its table. Like [MapFilm] it serves any number
// of goroutines.
type shortMap struct {
	t    *shortTable
	invC float64
}

// newShortMap returns the short film by the table of its exact integrals,
// several times faster than [ShortFilm].
func newShortMap(ld float64) (*shortMap, error) {
	if err := within("width over diameter", "", ld, WidthRatioMin, WidthRatioMax); err != nil {
		return nil, err
	}
	return &shortMap{t: theShortTable(), invC: 1 / (math.Pi * ld * ld)}, nil
}

// Method returns [Short].
func (f *shortMap) Method() Method { return Short }

// Limit returns the greatest eccentricity ratio.
func (f *shortMap) Limit() float64 { return mapLimit }

// Gap returns 1−|ε|.
func (f *shortMap) Gap(x, y float64) (h, angle float64) { return roundGap(x, y) }

// Velocity returns V = M |W̄|/2; see [Film].
func (f *shortMap) Velocity(s *State) (vx, vy float64, ok bool) {
	w := math.Sqrt(s.Wx*s.Wx + s.Wy*s.Wy)
	if w == 0 {
		return 0, 0, s.X*s.X+s.Y*s.Y < mapLimit*mapLimit
	}
	return f.t.velocity(s.X, s.Y, s.Wx/w, s.Wy/w, w, f.invC)
}

// Detail returns pressure, flow and gap; see [Film]. The flow is all that the
// journal displaces on the approaching half.
func (f *shortMap) Detail(s *State) (Detail, bool) {
	vx, vy, ok := f.Velocity(s)
	if !ok {
		return Detail{}, false
	}
	return f.t.slow.detail(s, vx, vy), true
}
