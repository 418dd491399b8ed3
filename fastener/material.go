// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"fmt"
	"strings"
)

// Material is a bolt's strength: the least that its specification allows.
type Material struct {
	Class   string  // ISO 898-1 property class, or empty
	Tensile float64 // R_m,min, MPa
	Yield   float64 // R_p0.2,min (or R_eL), MPa
	Proof   float64 // S_p, MPa; 0: not known
}

// PropertyClass returns the strengths of an ISO 898-1 property class, such as
// 8.8 or 10.9, for a thread of nominal diameter d in mm (class 8.8 is stronger
// above 16 mm; 9.8 ends there).
//
// It returns an error naming the classes known if class is none of them.
//
// Source: ISO 898-1:2013, table 3. 10.9 and 12.9 were read in a copy of the
// table; the other classes are from memory.
func PropertyClass(class string, d float64) (Material, error) {
	m := Material{Class: strings.TrimSpace(class)}
	large := d > 16
	switch m.Class {
	case "4.6":
		m.Tensile, m.Yield, m.Proof = 400, 240, 225
	case "4.8":
		m.Tensile, m.Yield, m.Proof = 420, 340, 310
	case "5.6":
		m.Tensile, m.Yield, m.Proof = 500, 300, 280
	case "5.8":
		m.Tensile, m.Yield, m.Proof = 520, 420, 380
	case "6.8":
		m.Tensile, m.Yield, m.Proof = 600, 480, 440
	case "8.8":
		m.Tensile, m.Yield, m.Proof = 800, 640, 580
		if large {
			m.Tensile, m.Yield, m.Proof = 830, 660, 600
		}
	case "9.8":
		if large {
			return Material{}, fmt.Errorf("property class 9.8 ends at 16 mm, and this thread is %g mm; choose 8.8 or 10.9", d)
		}
		m.Tensile, m.Yield, m.Proof = 900, 720, 650
	case "10.9":
		m.Tensile, m.Yield, m.Proof = 1040, 940, 830
	case "12.9":
		m.Tensile, m.Yield, m.Proof = 1220, 1100, 970
	default:
		return Material{}, fmt.Errorf("property class %q is not one of ISO 898-1: 4.6, 4.8, 5.6, 5.8, 6.8, 8.8, 9.8, 10.9, 12.9; choose one or give yield and tensile strength", class)
	}
	return m, nil
}

// Check returns an error unless yield and tensile strength are above zero and
// in order.
func (m Material) Check() error {
	return firstError(
		above("yield strength", m.Yield, "MPa", "give the class, or yield and tensile strength"),
		within("tensile strength", m.Tensile, m.Yield, 5000, "MPa", "it can't be below the yield strength"),
	)
}
