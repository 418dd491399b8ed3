// SPDX-License-Identifier: Apache-2.0

package film

import "math"

// reynolds solves
//
//	∂θ(H³ ∂θP) + (D/L)² ∂Z(H³ ∂ZP) = −12 (V·n − s·g'),  P >= 0, P = 0 at Z = ±1
//
// by finite volumes in the axes of the line of centres: columns round the
// bearing, clustered at the least film, and even nodes across. Where P would be
// negative the film has ruptured; the set of nodes that carry pressure is found
// by the primal-dual active set method, each pass a banded LDLᵀ cut at a column
// without pressure.
//
// Sources: finite volumes and complementarity are textbook; active set:
// Hintermüller, Ito and Kunisch, SIAM J. Optim. 13 (2002) 865, from memory.
//
// It is scratch memory for one goroutine.
type reynolds struct {
	n, m int     // columns, unknown rows
	k    float64 // (D/L)²
	full bool    // rows over the full width; else over the half with symmetry at Z = 0
	dz   float64
	wz   []float64 // cell widths across, over the width that is meshed
	qz   []float64 // weights of the mean over the width (Simpson)
	gr   *cluster

	phi    []float64 // stations of a half turn
	cn, sn []float64 // cos, sin of the columns, in the axes of the line of centres
	nx, ny []float64 // ∫ n dθ over each cell
	hc     []float64 // H at the columns (by row, if shaped)
	ct     []float64 // θ conductance of the face after column i, row j: ct[i*m+j]
	cz     []float64 // Z conductance between row j and j+1 of column i: cz[i*(m+1)+j]
	src    []float64 // 12 ∫ s·g', taken off the source, per cell; nil if none

	srcStore []float64

	on      []bool // carries pressure
	count   []int  // of each column
	blocked int    // column kept without pressure, or −1
	cut     int
	leap    int   // columns to take in beyond each new node
	fresh   []int // nodes taken in by this pass

	a          []float64 // band, row r: diagonal and the m to its right
	p1, p2, p3 []float64
	p          []float64
	vx, vy     float64 // last solution, axes of the line of centres
	passes     int     // of the last solution
	total      int     // factorizations in all
}

func newReynolds(ld float64, g Grid, full bool) *reynolds {
	n, m := g.Around, g.Across
	r := &reynolds{n: n, m: m, k: 1 / (ld * ld), full: full, gr: newCluster(n), blocked: -1}
	r.dz = 1 / float64(m)
	if full {
		r.m = 2*m - 1
	}
	r.wz, r.qz = make([]float64, r.m), make([]float64, r.m)
	for j := range r.m {
		r.wz[j] = r.dz
		// Simpson over [0, 1] or, halved, over [−1, 1]; the end nodes are zero.
		simpson := 2.
		if (j%2 == 1) != full {
			simpson = 4
		}
		r.qz[j] = simpson / 3 * r.dz
		if full {
			r.qz[j] /= 2
		}
	}
	if !full { // half a cell at the plane of symmetry
		r.wz[0] /= 2
		r.qz[0] = r.dz / 3
	}
	m = r.m
	r.phi = make([]float64, n+1)
	r.cn, r.sn, r.nx, r.ny = make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	r.hc, r.ct, r.cz = make([]float64, n*m), make([]float64, n*m), make([]float64, n*(m+1))
	r.on, r.count, r.fresh = make([]bool, n*m), make([]int, n), make([]int, 0, n*m)
	r.a = make([]float64, (n*m+m+1)*(m+1))
	r.p1, r.p2, r.p3, r.p = make([]float64, n*m+m+1), make([]float64, n*m+m+1), make([]float64, n*m+m+1), make([]float64, n*m)
	return r
}

// kappaOf is the strength of clustering: the width of the narrow gap, √(2δ).
func kappaOf(delta float64) float64 {
	return math.Min(1, math.Max(0.008, 1.2*math.Sqrt(2*delta)))
}

// station returns angle φ of station i, counted over the whole turn in halves:
// even i are columns, odd i faces.
func (r *reynolds) station(i int) float64 {
	if i <= r.n {
		return r.phi[i]
	}
	return 2*math.Pi - r.phi[2*r.n-i]
}

// round builds the coefficients for an aligned circular bearing at eccentricity
// ratio e in [0, 1).
func (r *reynolds) round(e float64) {
	n, m := r.n, r.m
	r.gr.stations(kappaOf(1-e), r.phi)
	r.src = nil
	sinW, cosW := math.Sincos(r.station(2*n - 1)) // face before column 0
	angW := r.station(2*n-1) - 2*math.Pi
	for i := range n {
		a, f := r.station(2*i), r.station(2*i+1)
		s, c := math.Sincos(a)
		sf, cf := math.Sincos(f)
		r.cn[i], r.sn[i] = c, s
		r.nx[i], r.ny[i] = sf-sinW, cosW-cf
		h := 1 - e*c
		// ∫H³ over the cell by Simpson from face to face.
		hw, hf := 1-e*cosW, 1-e*cf
		h3 := ((hw*hw*hw + hf*hf*hf + 4*h*h*h) / 6) * (f - angW)
		b := r.k * h3 / r.dz
		for j := range m {
			r.hc[i*m+j] = h
			r.cz[i*(m+1)+j+1] = b
		}
		r.cz[i*(m+1)] = 0
		if r.full {
			r.cz[i*(m+1)] = b
		}
		// Conductance between columns: 1/∫dθ/H³, Simpson from column to column.
		next := r.station(2*i + 2)
		hn := 1 - e*math.Cos(next)
		g := 6 / ((1/(h*h*h) + 1/(hn*hn*hn) + 4/(hf*hf*hf)) * (next - a))
		for j := range m {
			r.ct[i*m+j] = g * r.wz[j]
		}
		sinW, cosW, angW = sf, cf, f
	}
}

// seed starts the set of nodes with pressure from where the journal approaches.
func (r *reynolds) seed(vx, vy float64) {
	v := math.Hypot(vx, vy)
	for i := range r.n {
		on := vx*r.cn[i]+vy*r.sn[i] > -0.3*v
		r.count[i] = 0
		for j := range r.m {
			r.on[i*r.m+j] = on
		}
		if on {
			r.count[i] = r.m
		}
	}
	r.blocked = -1
	r.leap = r.n * 6 / 100
}

// findCut chooses a column without pressure to cut the ring at, the one that the
// journal leaves fastest; if there is none it blocks that one.
func (r *reynolds) findCut(vx, vy float64) {
	best, any, at := math.Inf(1), false, 0
	for i := range r.n {
		empty := r.count[i] == 0
		v := vx*r.cn[i] + vy*r.sn[i]
		if (empty && !any) || (empty == any && v < best) {
			best, any, at = v, any || empty, i
		}
	}
	r.cut = at
	if !any {
		r.blocked = at
		for j := range r.m {
			r.on[at*r.m+j] = false
		}
		r.count[at] = 0
	}
}

// factor eliminates the band with right-hand sides along; afterwards p1, p2 (and
// p3 if there is a source of the shape) hold the solutions in ring order from
// the cut. Nodes without pressure are unit rows.
func (r *reynolds) factor() {
	n, m := r.n, r.m
	bw := m + 1
	r.total++
	three := r.src != nil
	for c := range n - 1 {
		i := (r.cut + 1 + c) % n
		r.fillColumn(i, c, three)
	}
	rows := (n - 1) * m
	clear(r.a[rows*bw:])
	clear(r.p1[rows:])
	clear(r.p2[rows:])
	clear(r.p3[rows:])
	for c := range n - 1 {
		if r.count[(r.cut+1+c)%n] == 0 {
			continue // unit rows without anything to carry on
		}
		for p := c * m; p < c*m+m; p++ {
			r.eliminate(p, bw, three)
		}
	}
	for c := n - 2; c >= 0; c-- {
		if r.count[(r.cut+1+c)%n] == 0 {
			continue
		}
		for p := c*m + m - 1; p >= c*m; p-- {
			r.substitute(p, bw, three)
		}
	}
}

// eliminate takes pivot p out of the rows that follow.
func (r *reynolds) eliminate(p, bw int, three bool) {
	row := r.a[p*bw : p*bw+bw : p*bw+bw]
	inv := 1 / row[0]
	x1, x2 := r.p1[p], r.p2[p]
	row[0] = inv
	if bw == 9 && !three {
		eliminate8(r.a[p*9:p*9+81], inv, x1, x2, (*[9]float64)(r.p1[p:]), (*[9]float64)(r.p2[p:]))
		return
	}
	for q := 1; q < len(row); q++ {
		v := row[q]
		if v == 0 {
			continue
		}
		l := v * inv
		src := row[q:]
		dst := r.a[(p+q)*bw:]
		dst = dst[:len(src)]
		for t, s := range src {
			dst[t] -= l * s
		}
		r.p1[p+q] -= l * x1
		r.p2[p+q] -= l * x2
		if three {
			r.p3[p+q] -= l * r.p3[p]
		}
	}
}

// eliminate8 is one pivot row of the default mesh, written out: the innermost
// loop of the field method.
func eliminate8(a []float64, inv float64, x1, x2 float64, p1, p2 *[9]float64) {
	row := (*[9]float64)(a)
	if v := row[1]; v != 0 {
		l := v * inv
		d := (*[8]float64)(a[9:])
		d[0] -= l * row[1]
		d[1] -= l * row[2]
		d[2] -= l * row[3]
		d[3] -= l * row[4]
		d[4] -= l * row[5]
		d[5] -= l * row[6]
		d[6] -= l * row[7]
		d[7] -= l * row[8]
		p1[1] -= l * x1
		p2[1] -= l * x2
	}
	if v := row[2]; v != 0 {
		l := v * inv
		d := (*[7]float64)(a[18:])
		d[0] -= l * row[2]
		d[1] -= l * row[3]
		d[2] -= l * row[4]
		d[3] -= l * row[5]
		d[4] -= l * row[6]
		d[5] -= l * row[7]
		d[6] -= l * row[8]
		p1[2] -= l * x1
		p2[2] -= l * x2
	}
	if v := row[3]; v != 0 {
		l := v * inv
		d := (*[6]float64)(a[27:])
		d[0] -= l * row[3]
		d[1] -= l * row[4]
		d[2] -= l * row[5]
		d[3] -= l * row[6]
		d[4] -= l * row[7]
		d[5] -= l * row[8]
		p1[3] -= l * x1
		p2[3] -= l * x2
	}
	if v := row[4]; v != 0 {
		l := v * inv
		d := (*[5]float64)(a[36:])
		d[0] -= l * row[4]
		d[1] -= l * row[5]
		d[2] -= l * row[6]
		d[3] -= l * row[7]
		d[4] -= l * row[8]
		p1[4] -= l * x1
		p2[4] -= l * x2
	}
	if v := row[5]; v != 0 {
		l := v * inv
		d := (*[4]float64)(a[45:])
		d[0] -= l * row[5]
		d[1] -= l * row[6]
		d[2] -= l * row[7]
		d[3] -= l * row[8]
		p1[5] -= l * x1
		p2[5] -= l * x2
	}
	if v := row[6]; v != 0 {
		l := v * inv
		d := (*[3]float64)(a[54:])
		d[0] -= l * row[6]
		d[1] -= l * row[7]
		d[2] -= l * row[8]
		p1[6] -= l * x1
		p2[6] -= l * x2
	}
	if v := row[7]; v != 0 {
		l := v * inv
		d := (*[2]float64)(a[63:])
		d[0] -= l * row[7]
		d[1] -= l * row[8]
		p1[7] -= l * x1
		p2[7] -= l * x2
	}
	if v := row[8]; v != 0 {
		l := v * inv
		d := (*[1]float64)(a[72:])
		d[0] -= l * row[8]
		p1[8] -= l * x1
		p2[8] -= l * x2
	}
}

// substitute solves row p from the rows that follow.
func (r *reynolds) substitute(p, bw int, three bool) {
	row := r.a[p*bw : p*bw+bw : p*bw+bw]
	x1, x2 := r.p1[p], r.p2[p]
	t1, t2 := r.p1[p+1:p+len(row)], r.p2[p+1:p+len(row)]
	for q, v := range row[1:] {
		x1 -= v * t1[q]
		x2 -= v * t2[q]
	}
	if three {
		x3 := r.p3[p]
		for q, v := range row[1:] {
			x3 -= v * r.p3[p+1+q]
		}
		r.p3[p] = x3 * row[0]
	}
	r.p1[p], r.p2[p] = x1*row[0], x2*row[0]
}

// fillColumn writes the equations of column i as the c-th after the cut.
func (r *reynolds) fillColumn(i, c int, three bool) {
	n, m := r.n, r.m
	bw := m + 1
	prev, next := i-1, i+1
	if prev < 0 {
		prev = n - 1
	}
	if next == n {
		next = 0
	}
	on, onNext := r.on[i*m:i*m+m], r.on[next*m:next*m+m]
	last := c == n-2 // the next column is the cut
	ctW, ctE := r.ct[prev*m:prev*m+m], r.ct[i*m:i*m+m]
	cz := r.cz[i*bw : i*bw+bw]
	for j := range m {
		p := c*m + j
		row := r.a[p*bw : p*bw+bw]
		clear(row)
		if !on[j] {
			row[0] = 1
			r.p1[p], r.p2[p], r.p3[p] = 0, 0, 0
			continue
		}
		row[0] = ctW[j] + ctE[j] + cz[j] + cz[j+1]
		if j+1 < m && on[j+1] {
			row[1] = -cz[j+1]
		}
		if !last && onNext[j] {
			row[m] -= ctE[j]
		}
		w := 12 * r.wz[j]
		r.p1[p], r.p2[p] = w*r.nx[i], w*r.ny[i]
		if three {
			r.p3[p] = -r.src[i*m+j]
		}
	}
}

// maxPasses bounds the active set; it settles in 1 to 6.
const maxPasses = 600

// underLoad finds V such that the film carries W̄ = (wx, wy), both in the axes of
// the line of centres. Coefficients and a starting set must be there. It is
// false if the set does not settle.
func (r *reynolds) underLoad(wx, wy float64) bool {
	vx, vy := r.vx, r.vy
	if vx == 0 && vy == 0 {
		vx, vy = wx, wy
	}
	for r.passes = 1; r.passes <= maxPasses; r.passes++ {
		r.findCut(vx, vy)
		r.factor()
		gxx, gxy, gyx, gyy, bx, by := r.response()
		det := gxx*gyy - gxy*gyx
		if !(math.Abs(det) > 0) {
			return false
		}
		ax, ay := wx-bx, wy-by
		vx, vy = (gyy*ax-gxy*ay)/det, (gxx*ay-gyx*ax)/det
		if r.combine(vx, vy) == 0 {
			r.vx, r.vy = vx, vy
			return true
		}
	}
	return false
}

// underMotion finds the pressure for a given V. With pin >= 0 that column stays
// without pressure: the film starts there.
func (r *reynolds) underMotion(vx, vy float64, pin int) bool {
	for r.passes = 1; r.passes <= maxPasses; r.passes++ {
		if pin >= 0 {
			r.blocked = pin
			for j := range r.m {
				r.on[pin*r.m+j] = false
			}
			r.count[pin] = 0
		}
		r.findCut(vx, vy)
		r.factor()
		if r.combine(vx, vy) == 0 {
			r.vx, r.vy = vx, vy
			return true
		}
	}
	return false
}

// response returns ∫⟨P⟩ n dθ of the solutions for V = (1, 0), (0, 1) and for
// the shape alone.
func (r *reynolds) response() (gxx, gxy, gyx, gyy, bx, by float64) {
	n, m := r.n, r.m
	for c := range n - 1 {
		i := (r.cut + 1 + c) % n
		if r.count[i] == 0 {
			continue
		}
		var s1, s2, s3 float64
		q1, q2, q3 := r.p1[c*m:c*m+m], r.p2[c*m:c*m+m], r.p3[c*m:c*m+m]
		for j, q := range r.qz {
			s1 += q * q1[j]
			s2 += q * q2[j]
			s3 += q * q3[j]
		}
		gxx += s1 * r.nx[i]
		gyx += s1 * r.ny[i]
		gxy += s2 * r.nx[i]
		gyy += s2 * r.ny[i]
		bx += s3 * r.nx[i]
		by += s3 * r.ny[i]
	}
	return
}

// combine forms P for V, corrects the set and returns how many nodes changed.
func (r *reynolds) combine(vx, vy float64) int {
	n, m := r.n, r.m
	three := r.src != nil
	top := 0.0
	for c := range n - 1 {
		i := (r.cut + 1 + c) % n
		p := r.p[i*m : i*m+m]
		if r.count[i] == 0 {
			clear(p)
			continue
		}
		q1, q2 := r.p1[c*m:c*m+m], r.p2[c*m:c*m+m]
		for j := range p {
			p[j] = vx*q1[j] + vy*q2[j]
		}
		if three {
			for j := range p {
				p[j] += r.p3[c*m+j]
			}
		}
		for _, v := range p {
			top = max(top, math.Abs(v))
		}
	}
	clear(r.p[r.cut*m : r.cut*m+m])
	return r.correct(vx, vy, top)
}

// correct drops nodes whose pressure is negative and takes in ruptured ones
// that more oil enters than leaves.
func (r *reynolds) correct(vx, vy, top float64) int {
	n, m := r.n, r.m
	changed := 0
	small := 1e-12 * top
	for i := range n {
		prev, next := i-1, i+1
		if prev < 0 {
			prev = n - 1
		}
		if next == n {
			next = 0
		}
		// Most columns without pressure have none beside them either.
		source := vx*r.nx[i] + vy*r.ny[i]
		if r.count[i] == 0 && (i == r.blocked || (source <= 0 && r.src == nil && r.count[prev] == 0 && r.count[next] == 0)) {
			continue
		}
		for j := range m {
			at := i*m + j
			if r.on[at] {
				if r.p[at] < -small {
					r.on[at] = false
					r.count[i]--
					changed++
				}
				continue
			}
			in := 12 * source * r.wz[j]
			if r.src != nil {
				in -= r.src[at]
			}
			in += r.ct[prev*m+j]*r.p[prev*m+j] + r.ct[at]*r.p[next*m+j]
			cz := r.cz[i*(m+1):]
			if j > 0 {
				in += cz[j] * r.p[at-1]
			}
			if j+1 < m {
				in += cz[j+1] * r.p[at+1]
			}
			if in > small*(r.ct[at]+cz[j+1]) {
				r.on[at] = true
				r.count[i]++
				changed++
				if r.leap > 0 {
					r.fresh = append(r.fresh, at)
				}
			}
		}
	}
	r.leapOn()
	return changed
}

// leapOn takes in some columns beyond each node just taken in: the film would
// grow by one column a pass, while what is too much is dropped in one. The leap
// halves each time.
func (r *reynolds) leapOn() {
	for _, at := range r.fresh {
		i, j := at/r.m, at%r.m
		for _, way := range [2]int{1, r.n - 1} {
			c := i
			for range r.leap {
				c = (c + way) % r.n
				if r.on[c*r.m+j] || c == r.blocked {
					break
				}
				r.on[c*r.m+j] = true
				r.count[c]++
			}
		}
	}
	r.fresh = r.fresh[:0]
	r.leap /= 2
}

// peak returns the greatest P, by a parabola through the greatest of the nodes
// around.
func (r *reynolds) peak() float64 {
	n, m := r.n, r.m
	best, at := 0.0, 0
	for i, v := range r.p {
		if v > best {
			best, at = v, i
		}
	}
	if best == 0 {
		return 0
	}
	i, j := at/m, at%m
	prev, next := (i+n-1)%n, (i+1)%n
	return parabolaTop(-turn(r.station(2*i)-r.station(2*prev)), turn(r.station(2*next)-r.station(2*i)),
		r.p[prev*m+j], best, r.p[next*m+j])
}

func turn(a float64) float64 {
	if a < 0 {
		return a + 2*math.Pi
	}
	return a
}

// parabolaTop returns the vertex of the parabola through (xa, ya), (0, y), (xb, yb).
func parabolaTop(xa, xb, ya, y, yb float64) float64 {
	da, db := (ya-y)/xa, (yb-y)/xb
	c := (db - da) / (xb - xa)
	if !(c < 0) {
		return y
	}
	b := da - c*xa
	return y - b*b/(4*c)
}

// sideFlow returns the flow out of both ends over 2 ω c R L: what leaves is what
// the last full faces carry and what the half cells at the ends displace.
func (r *reynolds) sideFlow() float64 {
	n, m := r.n, r.m
	out := 0.0
	for i := range n {
		if r.count[i] == 0 {
			continue
		}
		out += r.endFlow(i, m-1, r.cz[i*(m+1)+m])
		if r.full {
			out += r.endFlow(i, 0, r.cz[i*(m+1)])
		}
	}
	if r.full {
		out /= 2
	}
	return out / 24
}

func (r *reynolds) endFlow(i, j int, cz float64) float64 {
	at := i*r.m + j
	if !r.on[at] {
		return 0
	}
	f := cz*r.p[at] + 6*(r.vx*r.nx[i]+r.vy*r.ny[i])*r.dz
	if r.src != nil {
		f -= r.src[at] / 2
	}
	return max(f, 0)
}
