// SPDX-License-Identifier: Apache-2.0

package film

import "math"

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
//
//go:norace
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
//
//go:norace
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
//
//go:norace
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
