// SPDX-License-Identifier: Apache-2.0

package film

import "math"

// Shape is the measured departure of journal and bore from two aligned
// cylinders, in metres. Ovality is the greatest less the least diameter, taper
// the diameter at the front less that at the rear, barrel the diameter at the
// middle less the mean of the ends. Front is Z = +1. The clearance of [Bearing]
// stays the mean one.
type Shape struct {
	BoreOvality      float64
	BoreOvalityAt    float64 // rad, where the bore is widest, in the bearing's frame
	JournalOvality   float64
	JournalOvalityAt float64 // rad, where the journal is thickest, from the bearing's x at angle 0
	JournalTaper     float64
	JournalBarrel    float64
	BoreTaper        float64
	TiltX, TiltY     float64 // m, the journal's axis at the front less at the rear
}

func (s Shape) zero() bool { return s == Shape{} }

// symmetric says whether the gap is the same on both sides of the mid plane.
func (s Shape) symmetric() bool {
	return s.JournalTaper == s.BoreTaper && s.TiltX == 0 && s.TiltY == 0
}

// check bounds every departure by the clearance: beyond it the parts bind.
func (s Shape) check(b Bearing) error {
	for _, v := range []struct {
		name string
		m    float64
	}{
		{"bore ovality", s.BoreOvality}, {"journal ovality", s.JournalOvality},
		{"journal taper", s.JournalTaper}, {"journal barrel", s.JournalBarrel},
		{"bore taper", s.BoreTaper}, {"tilt in x", s.TiltX}, {"tilt in y", s.TiltY},
		{"bore ovality's angle", s.BoreOvalityAt * 1e-9}, {"journal ovality's angle", s.JournalOvalityAt * 1e-9},
	} {
		if err := within(v.name, "µm", 1e6*v.m, -1e6*b.Clearance, 1e6*b.Clearance); err != nil {
			return err
		}
	}
	return nil
}

// gap is the shape over the radial clearance, g in H = 1 − ε·n + g, with the
// journal turned by turn from the frame:
//
//	g = ¼Ob cos 2(θ−θb) − ¼Oj cos 2(θ−θj−turn) − ¼(Tj−Tb) Z − ½B(⅓−Z²) − ½Z t·n
//
// A diameter that varies by O varies its radius by ±¼O about the mean.
type gap struct {
	bore, boreS, boreC          float64 // ¼Ob/c and cos, sin of 2θb
	journal, journalS, journalC float64 // the same with 2(θj+turn)
	taper, barrel, tx, ty       float64
}

func (s Shape) gap(rc, turn float64) gap {
	bs, bc := math.Sincos(2 * s.BoreOvalityAt)
	js, jc := math.Sincos(2 * (s.JournalOvalityAt + turn))
	return gap{
		bore: s.BoreOvality / 4 / rc, boreS: bs, boreC: bc,
		journal: s.JournalOvality / 4 / rc, journalS: js, journalC: jc,
		taper: (s.JournalTaper - s.BoreTaper) / 4 / rc, barrel: s.JournalBarrel / 2 / rc,
		tx: s.TiltX / 2 / rc, ty: s.TiltY / 2 / rc,
	}
}

// around is the part of g that depends on θ alone, given cos θ and sin θ.
func (g *gap) around(c, s float64) float64 {
	c2, s2 := c*c-s*s, 2*s*c
	return g.bore*(c2*g.boreC+s2*g.boreS) - g.journal*(c2*g.journalC+s2*g.journalS)
}

// across is the rest, at height z.
func (g *gap) across(c, s, z float64) float64 {
	return -g.taper*z - g.barrel*(1./3-z*z) - z*(g.tx*c+g.ty*s)
}

// drift is g' as the film sees it: what is fixed to the bearing counts once, what
// turns with the journal counts the other way, since its own motion takes off
// twice.
func (g *gap) drift(c, s, z float64) float64 {
	c2, s2 := c*c-s*s, 2*s*c
	return 2*g.bore*(c2*g.boreS-s2*g.boreC) + 2*g.journal*(c2*g.journalS-s2*g.journalC) - z*(g.ty*c-g.tx*s)
}

// shaped builds the coefficients for a shape at position (x, y) with spin s;
// columns are clustered at the line of centres (ux, uy). It is false where the
// surfaces touch.
//
//go:norace
func (r *reynolds) shaped(g *gap, x, y, ux, uy, delta, spin float64) bool {
	n, m := r.n, r.m
	r.gr.stations(kappaOf(delta), r.phi, r.wgt)
	if r.srcStore == nil {
		r.srcStore = make([]float64, n*m)
	}
	r.src = r.srcStore
	angles := func(i int) (c, s, a float64) {
		a = r.station(((i % (2 * n)) + 2*n) % (2 * n))
		sin, cos := math.Sincos(a)
		return cos*ux - sin*uy, sin*ux + cos*uy, a
	}
	h := func(c, s, z float64) float64 { return 1 - x*c - y*s + g.around(c, s) + g.across(c, s, z) }
	ok := true
	for i := range n {
		c, s, a := angles(2 * i)
		cE, sE, _ := angles(2*i + 1)
		cN, sN, aN := angles(2*i + 2)
		if aN < a {
			aN += 2 * math.Pi
		}
		w := r.width(2 * i)
		// Load and motion are kept in the axes of the line of centres.
		r.cn[i], r.sn[i] = c*ux+s*uy, -c*uy+s*ux
		r.nx[i], r.ny[i] = r.cn[i]*w, r.sn[i]*w
		for j := range m {
			z := r.height(j)
			hc, he, hn := h(c, s, z), h(cE, sE, z), h(cN, sN, z)
			if !(hc > 0 && he > 0) {
				return false
			}
			at := i*m + j
			r.hc[at] = hc
			r.ct[at] = 6 / ((1/(hc*hc*hc) + 1/(hn*hn*hn) + 4/(he*he*he)) * (aN - a)) * r.wz[j]
			if !(hn > 0) {
				ok = false
			}
			r.src[at] = 12 * spin * g.drift(c, s, z) * w * r.wz[j]
		}
		for j := range m + 1 {
			if j == 0 && !r.full {
				r.cz[i*(m+1)] = 0
				continue
			}
			hc := h(c, s, r.height(j)-r.dz/2)
			if !(hc > 0) {
				return false
			}
			r.cz[i*(m+1)+j] = r.k / r.dz * hc * hc * hc * w
		}
	}
	return ok
}

// height is Z of row j; row −½ below 0 is the face before it.
func (r *reynolds) height(j int) float64 {
	if r.full {
		return -1 + float64(j+1)*r.dz
	}
	return float64(j) * r.dz
}

// couette returns ∫ dθ/H, mean over the width, by the trapezoid rule
// around and Simpson's across. The end rows count with their neighbours' weights.
func (r *reynolds) couette() float64 {
	sum, weight := 0.0, 0.0
	for j, q := range r.qz {
		row := 0.0
		for i := range r.n {
			row += r.width(2*i) / r.hc[i*r.m+j]
		}
		sum += q * row
		weight += q
	}
	return sum / weight
}

// least returns the least H and the angle of it: over 96 angles and the heights
// where it can be least, then a parabola.
func (g *gap) least(x, y float64) (h, angle float64) {
	const n = 96
	best, at, atZ := math.Inf(1), 0, 0.0
	for i := range n {
		c, s := leastCos[i], leastSin[i]
		a := 1 - x*c - y*s + g.around(c, s)
		for _, z := range [...]float64{-1, 0, 1} {
			if v := a + g.across(c, s, z); v < best {
				best, at, atZ = v, i, z
			}
		}
		// A barrel with a taper is least between: where −T − tilt + 2 B Z = 0.
		if g.barrel > 0 {
			if z := (g.taper + g.tx*c + g.ty*s) / (2 * g.barrel); z > -1 && z < 1 {
				if v := a + g.across(c, s, z); v < best {
					best, at, atZ = v, i, z
				}
			}
		}
	}
	value := func(i int) float64 {
		i = (i + n) % n
		c, s := leastCos[i], leastSin[i]
		return 1 - x*c - y*s + g.around(c, s) + g.across(c, s, atZ)
	}
	yl, yr := value(at-1), value(at+1)
	step := 2 * math.Pi / n
	shift := 0.0
	if d := yl - 2*best + yr; d > 0 {
		shift = (yl - yr) / (2 * d)
		best -= (yl - yr) * (yl - yr) / (8 * d)
	}
	return best, (float64(at) + shift) * step
}

var leastCos, leastSin = func() (c, s [96]float64) {
	for i := range c {
		s[i], c[i] = math.Sincos(2 * math.Pi * float64(i) / 96)
	}
	return
}()
