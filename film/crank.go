// SPDX-License-Identifier: Apache-2.0

package film

import (
	"fmt"
	"math"
)

// Crank is a slider-crank, in metres. Offset is the distance of the cylinder's
// axis from the crank's, positive on the side that the crankpin swings to after
// top dead centre.
type Crank struct{ Radius, Rod, Offset float64 }

// Check returns an error unless the rod reaches round the crank.
func (k Crank) Check() error {
	if err := within("crank radius", "mm", 1e3*k.Radius, 1, 2000); err != nil {
		return err
	}
	if err := within("rod length", "mm", 1e3*k.Rod, 1, 10000); err != nil {
		return err
	}
	if !(math.Abs(k.Offset) < math.Inf(1)) || !(k.Radius+math.Abs(k.Offset) < 0.98*k.Rod) {
		return fmt.Errorf("a rod of %.4g mm does not reach round a crank of radius %.4g mm with offset %.4g mm", 1e3*k.Rod, 1e3*k.Radius, 1e3*k.Offset)
	}
	return nil
}

// Motion is the slider-crank at one crank angle, per radian of crank angle:
// multiply X1 by ω and X2 by ω² for a steady speed ω.
type Motion struct {
	X, X1, X2          float64 // piston pin from the crank axis along the cylinder, m
	Psi, Psi1, Psi2    float64 // rod's angle from the cylinder axis, rad
	CosTheta, SinTheta float64
}

// At returns the motion at crank angle theta (rad) from the position in which
// the crank points along the cylinder axis.
//
//	sin ψ = (r sin θ − e)/l,   x = r cos θ + l cos ψ
//	ψ' = r cos θ/(l cos ψ),    ψ'' = (−r sin θ + l ψ'² sin ψ)/(l cos ψ)
//	x' = −r sin θ − l ψ' sin ψ
//	x'' = −r cos θ − l (ψ'' sin ψ + ψ'² cos ψ)
//
// Source: by differentiating the geometry; any text on engine dynamics.
func (k Crank) At(theta float64) Motion {
	s, c := math.Sincos(theta)
	sp := (k.Radius*s - k.Offset) / k.Rod
	cp := math.Sqrt(1 - sp*sp)
	p1 := k.Radius * c / (k.Rod * cp)
	p2 := (-k.Radius*s/k.Rod + p1*p1*sp) / cp
	return Motion{
		X:   k.Radius*c + k.Rod*cp,
		X1:  -k.Radius*s - k.Rod*p1*sp,
		X2:  -k.Radius*c - k.Rod*(p2*sp+p1*p1*cp),
		Psi: math.Asin(sp), Psi1: p1, Psi2: p2, CosTheta: c, SinTheta: s,
	}
}

// Ends returns the piston pin's greatest and least distance from the crank axis.
func (k Crank) Ends() (top, bottom float64) {
	a, b := k.Rod+k.Radius, k.Rod-k.Radius
	return math.Sqrt(a*a - k.Offset*k.Offset), math.Sqrt(b*b - k.Offset*k.Offset)
}

// Spin returns s = ω̄/ω of the rod's frame: (1 − ω_rod/ω)/2, ω_rod = −ψ' ω.
func (m Motion) Spin() float64 { return (1 + m.Psi1) / 2 }

// RodCycle returns the cycle for a load given in the rod's frame.
func RodCycle(k Crank, angle, fx, fy []float64) (*Cycle, error) {
	if err := k.Check(); err != nil {
		return nil, err
	}
	spin := make([]float64, len(angle))
	for i, a := range angle {
		spin[i] = k.At(a).Spin()
	}
	return NewCycle(angle, fx, fy, spin)
}
