// SPDX-License-Identifier: Apache-2.0

package film

import "math"

// mobilityTable interpolates the mobility of one width ratio.
//
// With load along ŵ, ξ = ε·ŵ, η = ε·(ẑ×ŵ), d = 1−ξ and a = 0.35 (L/D)² the
// mobility M = 2V/|W̄| is written
//
//	M_ξ =  f d^(3/2) (d + a)/C,   M_η = −g η d^(1/2) (d + a)/C,   C = π (L/D)²
//
// where the powers are the ends of what a film can be: d^(5/2) while it is short,
// d^(3/2) when the narrow gap has become long for its length. f and g lie
// between 0.9 and 2.2. They are nearly straight lines in
//
//	w = (1−ε²)/(1−ξ²),  from 1 on the load line to 0 at the wall,
//
// so they are polynomials in w whose coefficients are cubic splines in
// u = d^(1/4), which spreads the narrow gap; the splines are tabulated finely
// enough for straight lines between rows.
type mobilityTable struct {
	a, invC float64
	rows    [uRows]mobilityRow
	extra   [uNodes][2][wNodes]float64 // pressure and flow, polynomials in w
}

const (
	uNodes = 32
	wNodes = 8 // tabulated
	wTerms = 8 // of the polynomials of f and g

	// Rows of the fast table stand evenly within each power of two of d, from
	// 2^−12 to 2: a float64 is its own index, without a root to wait for.
	rowShift = 52 - 5 // 32 rows to each
	rowLow   = (1023 - 12) << 52
	uRows    = 13<<5 + 1
	dMin     = 4e-4
	dMax     = 1.998
	mapLimit = 0.9995
	// The tables are filled to this eccentricity, beyond the limit, so that the
	// interpolation has support.
	fillLimit = 0.9999
)

var (
	uMin = math.Pow(dMin, 0.25)
	uMax = math.Pow(dMax, 0.25)
)

// mobilityRow holds the coefficients of f, then of g, in rising powers of w.
type mobilityRow [2 * wTerms]float64

// velocity returns V at (x, y) for the load w along the unit vector (ux, uy);
// false beyond the limit. It is the innermost loop of every sweep.
//
//go:norace
func (t *mobilityTable) velocity(x, y, ux, uy, w float64) (vx, vy float64, ok bool) {
	e2 := x*x + y*y
	if !(e2 < mapLimit*mapLimit) {
		return 0, 0, false
	}
	xi, eta := x*ux+y*uy, y*ux-x*uy
	d := 1 - xi
	s := math.Sqrt(d)
	z := (1 - e2) / (d * (1 + xi)) // w of the comment above
	i, r := rowAt(d)
	a, b := &t.rows[i], &t.rows[i+1]
	// Powers in pairs (Estrin's scheme): a third of the chain of products.
	v := z * z
	v2 := v * v
	f0 := (a[0] + z*a[1] + v*(a[2]+z*a[3])) + v2*(a[4]+z*a[5]+v*(a[6]+z*a[7]))
	f1 := (b[0] + z*b[1] + v*(b[2]+z*b[3])) + v2*(b[4]+z*b[5]+v*(b[6]+z*b[7]))
	g0 := (a[8] + z*a[9] + v*(a[10]+z*a[11])) + v2*(a[12]+z*a[13]+v*(a[14]+z*a[15]))
	g1 := (b[8] + z*b[9] + v*(b[10]+z*b[11])) + v2*(b[12]+z*b[13]+v*(b[14]+z*b[15]))
	m := s * (d + t.a) * (t.invC * 0.5 * w)
	dm, em, r1 := d*m, -eta*m, 1-r
	vxi, veta := (r1*f0+r*f1)*dm, (r1*g0+r*g1)*em
	return vxi*ux - veta*uy, vxi*uy + veta*ux, true
}

// rowAt returns the row below d and how far d is on the way to the next.
func rowAt(d float64) (i int64, r float64) {
	bits := int64(math.Float64bits(d)) - rowLow
	i = bits >> rowShift
	if uint64(i) > uRows-2 {
		if i < 0 {
			return 0, 0
		}
		i = uRows - 2
	}
	return i, float64(bits-i<<rowShift) * (1.0 / (1 << rowShift))
}

// rowD is the d of a row.
func rowD(r int) float64 { return math.Float64frombits(uint64(rowLow + r<<rowShift)) }

// place returns u's cell, the fraction of it and w, for the slow tables.
func (t *mobilityTable) place(xi, e2 float64) (i int, x, w float64) {
	d := 1 - xi
	w = math.Max(0, math.Min(1, (1-e2)/math.Max(d*(1+xi), 1e-300)))
	x = (math.Sqrt(math.Sqrt(d)) - uMin) * (uNodes - 1) / (uMax - uMin)
	i = max(0, min(int(x), uNodes-2))
	return i, math.Max(0, math.Min(1, x-float64(i))), w
}

// pressureAndFlow returns the greatest P over |W̄| and the side flow over
// 2 ω c R L |V|.
func (t *mobilityTable) pressureAndFlow(xi, e2 float64) (p, q float64) {
	i, x, w := t.place(xi, e2)
	var v [2]float64
	for k := range v {
		a, b := 0.0, 0.0
		for n := wNodes - 1; n >= 0; n-- {
			a = a*w + t.extra[i][k][n]
			b = b*w + t.extra[i+1][k][n]
		}
		v[k] = a + x*(b-a)
	}
	return v[0] / math.Sqrt(1-xi), math.Max(0, math.Min(1, v[1]))
}

// nodeU returns d at u-node i.
func nodeD(i int) float64 {
	u := uMin + (uMax-uMin)*float64(i)/(uNodes-1)
	return u * u * u * u
}

// nodeW returns the j-th Chebyshev point in w at u-node i: from the greatest
// tabulated eccentricity to the load line.
func nodeW(i, j int) float64 {
	lo := wLow(i)
	return lo + (1-lo)*(0.5-0.5*math.Cos(math.Pi*(float64(j)+0.5)/wNodes))
}

func wLow(i int) float64 {
	xi := 1 - nodeD(i)
	return math.Max((1-fillLimit*fillLimit)/(1-xi*xi), 0.002)
}

// nodePosition returns ξ and η > 0 of a node.
func nodePosition(i, j int) (xi, eta float64) {
	xi = 1 - nodeD(i)
	e2 := 1 - nodeW(i, j)*(1-xi*xi)
	return xi, math.Sqrt(math.Max(0, e2-xi*xi))
}

// mobilityValues are the scaled quantities at one node: f, g, P√d/|W̄|, q.
type mobilityValues [4]float64

// newMobilityTable makes the table from values at the nodes.
func newMobilityTable(ld float64, values *[uNodes][wNodes]mobilityValues) *mobilityTable {
	t := &mobilityTable{a: 0.35 * ld * ld, invC: 1 / math.Pi}
	if ld > 0 {
		t.invC /= ld * ld
	}
	var coef [2 * wTerms][uNodes]float64
	for i := range uNodes {
		for k := range 4 {
			var v [wNodes]float64
			for j := range v {
				v[j] = values[i][j][k]
			}
			if k < 2 {
				for n, c := range fitPolynomial(v[:], wLow(i), 1, wTerms) {
					coef[k*wTerms+n][i] = c
				}
			} else {
				copy(t.extra[i][k-2][:], fitPolynomial(v[:], wLow(i), 1, wNodes))
			}
		}
	}
	for k := range coef {
		cells := splineCells(coef[k][:])
		for r := range t.rows {
			d := rowD(r)
			x := max(0, (math.Sqrt(math.Sqrt(d))-uMin)*(uNodes-1)/(uMax-uMin))
			i := min(int(x), uNodes-2)
			x -= float64(i)
			c := &cells[i]
			t.rows[r][k] = c[0] + x*(c[1]+x*(c[2]+x*c[3]))
		}
	}
	return t
}

// fitPolynomial returns the coefficients, in rising powers of w, of the first
// terms of the Chebyshev series through the values at Chebyshev points of
// [lo, hi]: near the best fit of that degree.
func fitPolynomial(v []float64, lo, hi float64, terms int) []float64 {
	out := make([]float64, terms)
	// T_k as polynomials in z = 1 − 2(w−lo)/(hi−lo), which is cos at the points.
	a, b := 1+2*lo/(hi-lo), -2/(hi-lo) // z = a + b w
	prev, cur := make([]float64, terms+1), make([]float64, terms+1)
	prev[0] = 1
	cur[0], cur[1] = a, b
	for k := range terms {
		c := 0.0
		for j := range v {
			c += v[j] * math.Cos(float64(k)*math.Pi*(float64(j)+0.5)/float64(len(v)))
		}
		c *= 2 / float64(len(v))
		if k == 0 {
			c /= 2
		}
		for n := range out {
			out[n] += c * prev[n]
		}
		next := make([]float64, terms+1)
		for n := range next {
			next[n] = 2*a*cur[n] - prev[n]
			if n > 0 {
				next[n] += 2 * b * cur[n-1]
			}
		}
		prev, cur = cur, next
	}
	return out
}

// splineCells returns the cubics of the not-a-knot spline through even nodes,
// in powers of the fraction of each cell.
func splineCells(y []float64) [][4]float64 {
	n := len(y)
	s := splineSlopes(y)
	cells := make([][4]float64, n-1)
	for i := range cells {
		d := y[i+1] - y[i]
		cells[i] = [4]float64{y[i], s[i], 3*d - 2*s[i] - s[i+1], s[i] + s[i+1] - 2*d}
	}
	return cells
}

// splineSlopes solves s[i−1] + 4 s[i] + s[i+1] = 3 (y[i+1] − y[i−1]) with
// not-a-knot ends s0 + 2 s1 = (5 (y1−y0) + (y2−y1))/2 and its mirror.
func splineSlopes(y []float64) []float64 {
	n := len(y)
	lower, diag, upper, rhs := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	for i := 1; i < n-1; i++ {
		lower[i], diag[i], upper[i], rhs[i] = 1, 4, 1, 3*(y[i+1]-y[i-1])
	}
	diag[0], upper[0], rhs[0] = 1, 2, (5*(y[1]-y[0])+(y[2]-y[1]))/2
	diag[n-1], lower[n-1], rhs[n-1] = 1, 2, (5*(y[n-1]-y[n-2])+(y[n-2]-y[n-3]))/2
	for i := 1; i < n; i++ {
		f := lower[i] / diag[i-1]
		diag[i] -= f * upper[i-1]
		rhs[i] -= f * rhs[i-1]
	}
	for i := n - 1; i >= 0; i-- {
		if i < n-1 {
			rhs[i] -= upper[i] * rhs[i+1]
		}
		rhs[i] /= diag[i]
	}
	return rhs
}
