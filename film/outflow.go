// SPDX-License-Identifier: Apache-2.0

package film

import "math"

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
