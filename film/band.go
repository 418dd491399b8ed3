// SPDX-License-Identifier: Apache-2.0

package film

// factor eliminates the band with right-hand sides along; afterwards p1, p2 (and
// p3 if there is a source of the shape) hold the solutions in ring order from
// the cut. Nodes without pressure are unit rows.
//
//go:norace
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
//
//go:norace
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
//
//go:norace
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
//
//go:norace
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
//
//go:norace
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
