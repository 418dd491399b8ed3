// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"math"
	"slices"

	"witnessmark/internal/job"
)

// shells are two half shells side by side on the bench, the upper one left,
// seen into their running faces.
type shells struct{ upper, lower look }

// look is what a running face looks like.
type look struct {
	severity     int
	flaked, edge bool
}

func lookOf(w job.WearSeen) look {
	return look{w.Severity, slices.Contains(w.Features, "flaked"), slices.Contains(w.Features, "edge_loaded")}
}

func (s shells) at(x, y float64) rgb {
	i, l := 0, s.upper
	if x > 1.5 {
		i, l = 1, s.lower
	}
	x0 := 0.18 + 1.42*float64(i)
	return laid(x, y, within(x, y, x0, 0.16, x0+1.22, 1.76, 0.03), func() rgb {
		return l.face((x-x0)/1.22, (y-0.16)/1.6, i == 0, uint32(11+20*i))
	})
}

var (
	overlay = hex(0x8f9294)
	copper  = hex(0xb9744a)
	steel   = hex(0xb4bac0)
)

// face is the running face: u from 0 to 1 along the shaft, v around the bore
// from one parting line to the other, the crown in the middle.
func (l look) face(u, v float64, upper bool, seed uint32) rgb {
	turn := math.Pi * (v - 0.5)
	streaks := noise(70*u, 1.2*v, seed) - 0.5 // they run around
	c := overlay.plus(0.05*streaks + 0.05*(noise(11*u, 11*v, seed)-0.5))
	band := bump(v, 0.5+0.02*(noise(5*u, 0, seed)-0.5), 0.17+0.05*float64(l.severity))
	switch {
	case l.severity >= 3:
		bare := step(0.42, 0.58, band*(0.62+0.75*(rough(5*u, 6*v, seed+3)-0.5)))
		c = c.mix(hex(0xb6babc), band).mix(copper.plus(0.10*streaks), bare)
	case l.severity == 2:
		c = c.mix(hex(0xc3c6c8), 0.9*band).plus(0.05 * band * streaks)
	case l.severity == 1:
		c = c.mix(hex(0xb2b6b9), 0.85*band)
	}
	if l.edge { // the rear edge has carried
		c = c.mix(hex(0xd4d7d9), 0.95*step(0.80, 0.97, u+0.03*noise(0, 12*v, seed))*bump(v, 0.5, 0.33))
	}
	if l.flaked {
		c = flake(c, u, v, seed)
	}
	// Light falls from the upper left into the hollow.
	light := 0.62 + 0.42*math.Cos(turn-0.55) + 0.10*bump(turn, -0.15, 0.16)*float64(min(l.severity+1, 3))
	c = c.times(light)
	return fittings(c, u, v, upper)
}

// flake is where the lining has broken out, with a sharp dark rim.
func flake(c rgb, u, v float64, seed uint32) rgb {
	r := math.Hypot((u-0.72)*1.3, (v-0.45)*1.7) - 0.07*rough(9*u, 9*v, seed+9) - 0.045
	c = c.mix(hex(0x2c2724), 0.85*bump(r, 0.006, 0.012))
	return c.mix(hex(0x7d5a45).plus(0.3*(rough(30*u, 30*v, seed)-0.5)), soft(-r))
}

// fittings are what every shell has: an oil hole and a tang, and parting faces
// that shine.
func fittings(c rgb, u, v float64, upper bool) rgb {
	if upper {
		r := math.Hypot((u-0.5)*1.22, (v-0.5)*1.6)
		c = c.mix(hex(0xd8dadb), 0.5*bump(r, 0.072, 0.012)).mix(hex(0x15191c), soft(0.062-r))
	}
	if d := within(u, v, 0.68, -0.1, 0.82, 0.05, 0.01); d > -0.02 {
		c = c.mix(hex(0x3c4246), soft(d))
	}
	rim := max(step(0.018, 0.006, v), step(0.982, 0.994, v))
	return c.mix(steel.times(1.1), 0.85*rim).times(1 - 0.35*max(step(0.012, 0, u), step(0.988, 1, u)))
}
