// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"fmt"
	"math"
)

// Steel, where nothing else is given.
const (
	SteelModulus = 205000 // E, MPa, as VDI 2230's examples
	SteelPoisson = 0.3
)

// Head is the form of a bolt's head, for its share of the compliance.
type Head int

// Heads and their substitute lengths l_SK (VDI 2230, 5.1.1, from memory).
const (
	Hexagon Head = iota // 0.5·d
	Socket              // 0.4·d
)

// Mate is what the thread is screwed into.
type Mate int

// Mates and their substitute lengths l_M (VDI 2230, 5.1.1, from memory).
const (
	Tapped Mate = iota // a tapped hole: 0.33·d
	Nut                // a nut: 0.4·d
)

// Segment is a cylindrical length of the bolt between head and engaged thread.
type Segment struct {
	Length   float64 // mm
	Diameter float64 // mm; 0: free thread, d3 for stretch and the stress area for strength
}

// Bolt is the shape that stretches and twists.
type Bolt struct {
	Thread   Thread
	Segments []Segment
	Head     Head
	Mate     Mate
	Modulus  float64 // E, MPa; 0: SteelModulus
	// Engaged is the length of thread in the mate, mm; 0, or half a diameter and
	// more: 0.5·d, which is as far as the load reaches (VDI 2230).
	Engaged float64
	// MateModulus is E of the tapped part or nut, MPa; 0: as the bolt.
	MateModulus float64
}

// Compliance is how a bolt yields to load, elastically.
type Compliance struct {
	Segments float64 // Σ l/(E·A), mm/N
	Head     float64 // l_SK/(E·A_N), mm/N
	Engaged  float64 // 0.5·d/(E·A_d3), mm/N
	Mate     float64 // l_M/(E_M·A_N), mm/N
	Twist    float64 // Σ l/(G·I_p) of segments and engaged thread, rad/(N·mm)
}

// Total returns δ_S in mm/N, all that lies in the bolt's load path outside the
// clamped parts: what a turn of the head has to overcome.
func (c Compliance) Total() float64 { return c.Segments + c.Head + c.Engaged + c.Mate }

// Stretch returns what a micrometer over the bolt's ends sees, in mm/N: Total
// without the mating thread, which gives way but is not part of the bolt.
func (c Compliance) Stretch() float64 { return c.Segments + c.Head + c.Engaged }

// Compliance returns how the bolt stretches and twists:
//
//	δ_S = l_SK/(E·A_N) + Σ l_i/(E·A_i) + 0.5·d/(E·A_d3) + l_M/(E_M·A_N)
//	φ/M = Σ l_i/(G·I_i) + 0.5·d/(G·I_d3),  I = π·d⁴/32, G = E/(2(1+ν))
//
// It returns an error if there is no segment, or one has no length or a
// diameter above twice the thread's.
//
// Source: VDI 2230:2015, 5.1.1 (equations for δ_S), from memory; the twist is
// St Venant's for round bars.
func (b Bolt) Compliance() (Compliance, error) {
	if err := b.check(); err != nil {
		return Compliance{}, err
	}
	e, em := b.modulus(), b.MateModulus
	if em == 0 {
		em = e
	}
	g := e / (2 * (1 + SteelPoisson))
	d, d3 := b.Thread.Diameter, b.Thread.CoreDiameter()
	c := Compliance{
		Head:    pick(b.Head == Socket, 0.4, 0.5) * d / (e * circleArea(d)),
		Engaged: b.engaged() / (e * circleArea(d3)),
		Mate:    pick(b.Mate == Nut, 0.4, 0.33) * d / (em * circleArea(d)),
		Twist:   b.engaged() / (g * polar(d3)),
	}
	for _, s := range b.Segments {
		ds := s.Diameter
		if ds == 0 {
			ds = d3
		}
		c.Segments += s.Length / (e * circleArea(ds))
		c.Twist += s.Length / (g * polar(ds))
	}
	return c, nil
}

// SmallestDiameter returns d0 in mm, the diameter of the smallest loaded
// section: the stress area's, or a waisted shank's if that is smaller.
func (b Bolt) SmallestDiameter() float64 {
	d0 := b.Thread.StressDiameter()
	for _, s := range b.Segments {
		if s.Diameter > 0 {
			d0 = math.Min(d0, s.Diameter)
		}
	}
	return d0
}

func (b Bolt) engaged() float64 {
	half := 0.5 * b.Thread.Diameter
	if b.Engaged == 0 {
		return half
	}
	return math.Min(b.Engaged, half)
}

func (b Bolt) modulus() float64 {
	if b.Modulus == 0 {
		return SteelModulus
	}
	return b.Modulus
}

func (b Bolt) check() error {
	if err := b.Thread.Check(); err != nil {
		return err
	}
	if len(b.Segments) == 0 {
		return fmt.Errorf("bolt: no segments; give each length between head and engaged thread with its diameter")
	}
	d := b.Thread.Diameter
	for i, s := range b.Segments {
		what := fmt.Sprintf("bolt: segment %d", i+1)
		err := above(what+": length", s.Length, "mm", "leave the segment out if it has none")
		if err == nil && s.Diameter != 0 {
			err = within(what+": diameter", s.Diameter, 0.3*d, 2*d, "mm", "check the diameter against the thread")
		}
		if err != nil {
			return err
		}
	}
	return firstError(
		within("bolt: engaged thread", b.engaged(), 1e-3, d, "mm", "leave it out if it is longer than half the diameter"),
		within("bolt: modulus", b.modulus(), 1000, 1e6, "MPa", "steel has about 205 GPa"),
		within("mating part: modulus", math.Max(b.MateModulus, 0)+pick(b.MateModulus == 0, SteelModulus, 0), 1000, 1e6, "MPa", "aluminium has about 70 GPa, steel 205 GPa"),
	)
}

// polar returns I_p of a round bar in mm⁴.
func polar(d float64) float64 { return math.Pi / 32 * d * d * d * d }

func pick(yes bool, a, b float64) float64 {
	if yes {
		return a
	}
	return b
}
