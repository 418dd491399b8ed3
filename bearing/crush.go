// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"errors"
	"fmt"
	"math"
)

// Elastic is a material: Young's modulus in MPa, Poisson's ratio, and linear
// expansion per kelvin.
type Elastic struct {
	Modulus, Poisson, Expansion float64
}

// Usual figures for the materials of a big end; a sheet's own figures prevail.
// Common practice, no source, but for the expansions: steel 11.5 × 10⁻⁶ as gauge
// steel in JCGM 100:2008, H.1; the others from material charts.
var (
	Steel     = Elastic{Modulus: 206e3, Poisson: 0.30, Expansion: 11.5e-6}
	CastIron  = Elastic{Modulus: 170e3, Poisson: 0.27, Expansion: 10.8e-6}
	Titanium  = Elastic{Modulus: 114e3, Poisson: 0.34, Expansion: 8.6e-6}
	Aluminium = Elastic{Modulus: 72e3, Poisson: 0.33, Expansion: 23e-6}
)

// Seat is a housing bore with its pair of shells, as two rings.
//
// Bore is the housing bore without shells, cap tightened; Outer the diameter of
// a round ring that stands for rod and cap; Wall a shell's wall at the crown;
// Width the width over which shell and housing touch. All mm.
type Seat struct {
	Bore, Outer, Wall, Width float64
	Housing, Shell           Elastic
}

// Crush is what the excess length of the shells does once the cap is closed.
type Crush struct {
	Interference  float64 // of the diameters before closing, mm
	Pressure      float64 // between shells and housing, MPa
	HousingGrowth float64 // of the housing bore's diameter, mm
	// BoreChange is what crush adds to the bore inside the shells, against the
	// housing bore less two walls as measured before fitting: the growth less
	// what the walls thicken under their hoop stress. mm of diameter.
	BoreChange float64
	HoopStress float64 // mean compression around the shell, MPa
	FaceLoad   float64 // taken off each parting face, N
}

// PerBolt returns what the crush takes off each of a cap's bolts, N: the load
// off both parting faces, shared evenly. bolts is at least 1.
//
// Source: balance of the cap.
func (c Crush) PerBolt(bolts int) float64 { return 2 * c.FaceLoad / float64(max(bolts, 1)) }

// ErrLoose: the shells have no interference: nothing holds them.
var ErrLoose = errors.New("no interference is left between shells and housing")

// CrushInterference returns the interference (mm of diameter) that crush height
// makes.
//
//	δ = 2·h/π
//
// h is the crush height in mm, at least 0: by how much one half shell, both its
// faces together, is longer around than half the housing bore. Two halves add
// 2h to a circumference, which is π times the diameter. A height measured under
// a check load is short of h by what the load shortens the shell: add
// [CheckShortening]. It returns an error if h is below zero or not finite.
//
// Source: geometry.
func CrushInterference(h float64) (float64, error) {
	if !finite(h) || h < 0 {
		return 0, fmt.Errorf("bearing: crush height must be at least 0 mm, got %g", h)
	}
	return 2 * h / math.Pi, nil
}

// CheckShortening returns by how much (mm) a check load shortens a half shell
// in a checking block without friction.
//
//	Δ = F·(π/2)·(D − t)/(E·t·B)
//
// load is F in N on the one free face, at least 0; the seat gives D, t, B, E.
// Friction in the block makes the true shortening less. Source: Hooke's law
// along the middle of the wall.
func CheckShortening(load float64, s Seat) (float64, error) {
	if err := s.check(); err != nil {
		return 0, err
	}
	if !finite(load) || load < 0 {
		return 0, fmt.Errorf("bearing: check load must be at least 0 N, got %g", load)
	}
	return load * math.Pi / 2 * (s.Bore - s.Wall) / (s.Shell.Modulus * s.Wall * s.Width), nil
}

// CrushFit returns what an interference does to housing and shells.
//
//	δ = p·D·[ ((C²+D²)/(C²−D²) + ν_h)/E_h + ((D²+d²)/(D²−d²) − ν_s)/E_s ]
//	growth of the housing bore = p·D·((C²+D²)/(C²−D²) + ν_h)/E_h
//	shrinkage of the inner diameter of the shells = 2·p·D²·d/((D²−d²)·E_s)
//	load off each parting face = p·D·B/2
//
// with D the bore, d = D − 2t, C the outer diameter, B the width, t the wall.
// interference is δ in mm of diameter, at least 0 and below the wall. The face
// load follows from the balance of half a ring: the pressure on its projected
// area D·B stands on two faces. A bolted joint has that much less to press its
// faces together.
//
// It returns an error if a size is not above zero, the wall does not fit the
// bore, the outer diameter does not exceed it, or δ is out of range. It does not
// cover yielding, the joint, bolt bosses, lining layers softer than the back
// (take the back's wall for an exact look at pressure), or relief at the parting
// line.
//
// Source: Lamé's thick rings with a shrink fit, plane stress, as in
// J. E. Shigley, Mechanical Engineering Design, press and shrink fits (from
// memory).
func CrushFit(interference float64, s Seat) (Crush, error) {
	if err := s.check(); err != nil {
		return Crush{}, err
	}
	if !finite(interference) || interference < 0 || interference >= s.Wall {
		return Crush{}, fmt.Errorf("bearing: interference must be from 0 mm to below the wall, got %g", interference)
	}
	housing, shell := s.compliance()
	p := interference / (s.Bore * (housing + shell))
	inner := s.Bore - 2*s.Wall
	d2, i2 := s.Bore*s.Bore, inner*inner
	growth := p * s.Bore * housing
	shrink := 2 * p * d2 * inner / ((d2 - i2) * s.Shell.Modulus)
	return Crush{
		Interference:  interference,
		Pressure:      p,
		HousingGrowth: growth,
		BoreChange:    interference - shrink,
		HoopStress:    p * s.Bore / (2 * s.Wall),
		FaceLoad:      p * s.Bore * s.Width / 2,
	}, nil
}

// CrushFromGrowth returns the crush of shells by which the bore inside them was
// measured to grow.
//
//	δ = growth/k, with k the change of the bore for an interference of one
//
// growth is the bore with shells in and cap tightened, less the housing bore
// without shells, plus two walls: mm of diameter, at least 0. k is that of
// [CrushFit], which is in proportion to δ. The other figures follow from δ. It
// returns an error for a growth below zero and as CrushFit does; limits and source
// are those of CrushFit.
func CrushFromGrowth(growth float64, s Seat) (Crush, error) {
	if !finite(growth) || growth < 0 {
		return Crush{}, fmt.Errorf("bearing: the growth of the bore must be at least 0 mm, got %g", growth)
	}
	part := s.Wall / 1000
	one, err := CrushFit(part, s)
	if err != nil {
		return Crush{}, err
	}
	if one.BoreChange <= 0 {
		return Crush{}, errors.New("bearing: the walls thicken as much as the housing grows, so a growth says nothing of the crush")
	}
	return CrushFit(growth*part/one.BoreChange, s)
}

// compliance is the change of diameter per diameter and pressure, 1/MPa, of the
// housing from inside and of the shells from outside.
func (s Seat) compliance() (housing, shell float64) {
	inner := s.Bore - 2*s.Wall
	c2, d2, i2 := s.Outer*s.Outer, s.Bore*s.Bore, inner*inner
	housing = ((c2+d2)/(c2-d2) + s.Housing.Poisson) / s.Housing.Modulus
	shell = ((d2+i2)/(d2-i2) - s.Shell.Poisson) / s.Shell.Modulus
	return housing, shell
}

// SpreadInterference returns an interference (mm of diameter) that presses as
// hard, on average, as free spread alone does.
//
//	P = 2·E·I·f/(π·R³),  I = B·t³/12,  p = P/(B·R)
//
// A half shell whose open ends stand f wider than the bore is closed by P at
// each end, bending about its crown; R is the radius of the wall's middle. p is
// the even pressure with the same thrust on a quarter, and the interference is
// the one that makes p by [CrushFit].
//
// f is in mm, at least 0. Spread holds a shell in its place until the cap is on
// and is far weaker than crush: without the crush height the result is a lower
// limit, and says nothing of the crush that the shells have.
//
// Source: Castigliano's theorem for a thin half ring loaded across its ends,
// derived by hand: M = P·R·sin φ, f = ∫M·(R·sin φ)·R dφ/(E·I) = π·P·R³/(2·E·I).
func SpreadInterference(f float64, s Seat) (float64, error) {
	if err := s.check(); err != nil {
		return 0, err
	}
	if !finite(f) || f < 0 {
		return 0, fmt.Errorf("bearing: free spread must be at least 0 mm, got %g", f)
	}
	r := (s.Bore - s.Wall) / 2
	inertia := s.Width * math.Pow(s.Wall, 3) / 12
	load := 2 * s.Shell.Modulus * inertia * f / (math.Pi * math.Pow(r, 3))
	housing, shell := s.compliance()
	return load / (s.Width * r) * s.Bore * (housing + shell), nil
}

func (s Seat) check() error {
	for _, v := range []struct {
		what string
		is   float64
	}{
		{"housing bore", s.Bore}, {"outer diameter", s.Outer}, {"wall", s.Wall}, {"width", s.Width},
		{"housing modulus", s.Housing.Modulus}, {"shell modulus", s.Shell.Modulus},
	} {
		if !positive(v.is) {
			return fmt.Errorf("bearing: %s must be above zero, got %g", v.what, v.is)
		}
	}
	for _, m := range []Elastic{s.Housing, s.Shell} {
		if !(m.Poisson >= 0 && m.Poisson < 0.5) || !finite(m.Expansion) {
			return fmt.Errorf("bearing: Poisson's ratio must be from 0 to below 0.5, got %g", m.Poisson)
		}
	}
	if 2*s.Wall >= s.Bore {
		return fmt.Errorf("bearing: two walls of %g mm do not fit a bore of %g mm", s.Wall, s.Bore)
	}
	if s.Outer <= s.Bore {
		return fmt.Errorf("bearing: the outer diameter %g mm is not above the bore %g mm", s.Outer, s.Bore)
	}
	return nil
}
