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
	wgt    []float64 // width of a cell about each
	cn, sn []float64 // cos, sin of the columns, in the axes of the line of centres
	nx, ny []float64 // n times the width of the cell
	hc     []float64 // H at the columns (by row, if shaped)
	ct     []float64 // θ conductance of the face after column i, row j: ct[i*m+j]
	cz     []float64 // Z conductance between row j and j+1 of column i: cz[i*(m+1)+j]
	src    []float64 // 12 s·g' times the cell's width, taken off the source; nil if none

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
	r.phi, r.wgt = make([]float64, n+1), make([]float64, n+1)
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

// width returns the width of the cell about a station. Source, load and the flow
// across all sum values at the columns times this: a cell's mean pressure times
// its exact ∫ n dθ would be of second order only.
func (r *reynolds) width(i int) float64 {
	if i <= r.n {
		return r.wgt[i]
	}
	return r.wgt[2*r.n-i]
}

// round builds the coefficients for an aligned circular bearing at eccentricity
// ratio e in [0, 1).
func (r *reynolds) round(e float64) {
	n, m := r.n, r.m
	r.gr.stations(kappaOf(1-e), r.phi, r.wgt)
	r.src = nil
	for i := range n {
		a, w := r.station(2*i), r.width(2*i)
		s, c := math.Sincos(a)
		r.cn[i], r.sn[i] = c, s
		r.nx[i], r.ny[i] = c*w, s*w
		h := 1 - e*c
		b := r.k * (h * h * h * w) / r.dz
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
		hf, hn := 1-e*math.Cos(r.station(2*i+1)), 1-e*math.Cos(next)
		g := 6 / ((1/(h*h*h) + 1/(hn*hn*hn) + 4/(hf*hf*hf)) * (next - a))
		for j := range m {
			r.ct[i*m+j] = g * r.wz[j]
		}
	}
}
