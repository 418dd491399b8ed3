// SPDX-License-Identifier: Apache-2.0

package demo

import "math"

// marks are two bolt heads on a cap, with a line of paint across each.
type marks struct{ shift float64 } // so that no two look the same

func (m marks) at(x, y float64) rgb {
	// The cap: cast, with a machined boss about each bolt.
	d := within(x, y, 0.15, 0.35, 2.85, 1.65, 0.28)
	c := hex(0x23282c).times(0.7 + 0.4*noise(2*x, 2*y, 82))
	if d > -0.006 {
		cast := hex(0x6d7377).times(0.72 + 0.5*rough(6*x, 6*y, 81)).times(1.05 - 0.25*y/2)
		c = c.mix(cast, soft(d))
	}
	for i, cx := range []float64{0.78, 2.22} {
		c = bolt(c, x-cx, y-1, m.shift+0.5*float64(i), uint32(83+i))
	}
	return c
}

// bolt is a head with a flange, seen from above, at the middle of (x, y).
func bolt(c rgb, x, y, turned float64, seed uint32) rgb {
	r := math.Sqrt(x*x + y*y)
	if r > 0.61 {
		return c
	}
	a := math.Atan2(y, x)
	c = c.times(1 - 0.4*step(0.60, 0.50, r))
	rings := 0.04 * math.Sin(190*r)
	c = c.mix(hex(0xaeb4b8).plus(rings).times(0.9-0.12*y), soft(0.52-r))
	flange := hex(0x7f868b).times(0.95 + 0.22*math.Cos(a+2.2))
	c = c.times(1-0.35*step(0.50, 0.44, r)).mix(flange, soft(0.43-r))
	// Six flats: the distance to the nearest one.
	side := math.Mod(a-turned+4*math.Pi, math.Pi/3) - math.Pi/6
	flat := 0.30 - r*math.Cos(side)
	head := hex(0x8d9499).times(0.86 + 0.12*math.Cos(a+2.2) + 0.10*(rough(9*x, 9*y, seed)-0.5))
	c = c.times(1-0.3*step(-0.04, 0.01, flat)).mix(head, soft(flat)).mix(hex(0xc6ccd0), 0.6*bump(flat, 0.022, 0.012))
	c = c.mix(hex(0x6b7277), 0.7*soft(0.09-r))
	// The line goes over the head on to the cap: unbroken.
	angle := -0.9 + 0.5*turned
	along, across := x*math.Cos(angle)+y*math.Sin(angle), -x*math.Sin(angle)+y*math.Cos(angle)
	brush := 0.036 + 0.016*(noise(26*along, 0, seed+5)-0.5)
	paint := hex(0xf0c419).times(0.92 + 0.25*(noise(9*along, 60*across, seed+6)-0.5))
	line := math.Min(brush-math.Abs(across), math.Min(along-0.02, 0.60-along))
	return c.mix(paint, 0.95*soft(line))
}

// pleats are a filter's, laid open; more is how much shines in them.
type pleats struct{ copper, grey bool }

func (p pleats) at(x, y float64) rgb {
	return laid(x, y, within(x, y, 0.10, 0.12, 2.90, 1.78, 0.02), func() rgb { return p.paper(x, y) })
}

func (p pleats) paper(x, y float64) rgb {
	fold := math.Mod(x*7.5, 1)
	valley := math.Abs(2*fold - 1)
	paper := hex(0xc99a5b).times(0.45 + 0.55*step(0, 1, valley) + 0.12*step(0.5, 1, fold))
	oil := rough(1.4*x+7, 1.1*y, 91)
	paper = paper.mix(hex(0x4a2f17), 0.75*step(0.35, 0.75, oil))
	paper = paper.plus(0.03 * (noise(120*x, 40*y, 92) - 0.5))
	if p.grey {
		paper = specks(paper, x, y, 30, 0.955, hex(0xb9bdbf), 93)
	}
	if p.copper {
		paper = specks(paper, x, y, 17, 0.975, hex(0xe08a4c), 97)
	}
	return paper
}

// specks are bright flakes, one in a few cells of a grid.
func specks(c rgb, x, y, cells, rare float64, bright rgb, seed uint32) rgb {
	ix, iy := math.Floor(x*cells), math.Floor(y*cells)
	if chance(int32(ix), int32(iy), seed) < rare {
		return c
	}
	ox, oy := 0.3+0.4*chance(int32(ix), int32(iy), seed+1), 0.3+0.4*chance(int32(ix), int32(iy), seed+2)
	size := 0.10 + 0.18*chance(int32(ix), int32(iy), seed+3)
	dx, dy := x*cells-ix-ox, y*cells-iy-oy
	r := math.Hypot(dx*1.5, dy) + 0.12*math.Sin(5*math.Atan2(dy, dx))
	return c.mix(bright, step(size+0.05, size-0.05, r))
}

// magnet is a drain plug from above, with what its magnet has caught.
type magnet struct{}

func (magnet) at(x, y float64) rgb {
	r := math.Hypot(x-1.5, y-0.96)
	return laid(x, y, 0.86-r, func() rgb { return plug(x, y, r) })
}

// plug is its face, r from its middle.
func plug(x, y, r float64) rgb {
	dx, dy := x-1.5, y-0.96
	a := math.Atan2(dy, dx)
	washer := hex(0xb98a5a).times(0.8 + 0.25*math.Cos(a+2.2)).plus(0.03 * math.Sin(120*r))
	thread := hex(0x868d92).times(0.7 + 0.3*math.Cos(a+2.2) + 0.10*math.Sin(150*r+a))
	c := washer.mix(thread, soft(0.66-r))
	core := hex(0x4d5357).times(0.9 + 0.2*math.Cos(a+2.2))
	c = c.mix(core, soft(0.42-r))
	// Fine steel stands up along the field, in a dark paste.
	hair := noise(46*a/math.Pi, 3*r, 101)
	fuzz := 0.30 + 0.16*rough(6*a/math.Pi, 4*r, 102) + 0.08*hair
	paste := hex(0x2a2b2c).plus(0.16 * (noise(90*dx, 90*dy, 103) - 0.4)).plus(0.10 * step(0.6, 0.9, hair))
	c = c.mix(paste, 0.96*step(fuzz+0.02, fuzz-0.02, r))
	if r < fuzz {
		c = specks(c, x, y, 26, 0.93, hex(0xa9adb0), 104)
	}
	return c
}
