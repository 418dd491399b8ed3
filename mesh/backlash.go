// SPDX-License-Identifier: Apache-2.0

package mesh

import (
	"errors"
	"fmt"
	"math"
)

// Direction is how the indicator stands.
type Direction string

const (
	// Transverse: along the arc, square to a radius, in the plane of rotation.
	Transverse Direction = "transverse"
	// Normal: square to the tooth flank.
	Normal Direction = "normal"
	// Axial: along the gear's axis.
	Axial Direction = "axial"
)

// ParseDirection reads one of the three words; empty means [Transverse].
func ParseDirection(s string) (Direction, error) {
	switch d := Direction(s); d {
	case "":
		return Transverse, nil
	case Transverse, Normal, Axial:
		return d, nil
	}
	return "", fmt.Errorf("%q is no direction; choose transverse, normal or axial", s)
}

// Setup is the gear and how it is read.
type Setup struct {
	Measured Direction // empty: Transverse
	// ReadRadius is where the indicator stands, PitchRadius the pitch circle's,
	// mm. Only Transverse needs them.
	ReadRadius, PitchRadius float64
	PressureAngle           float64 // α_n, normal, degrees, in [5, 45]
	Helix                   float64 // β at the pitch circle, degrees, in [0, 60]
}

// Check returns an error that names what is missing or cannot be.
func (s Setup) Check() error {
	if !(s.PressureAngle >= 5 && s.PressureAngle <= 45) {
		return fmt.Errorf("pressure angle: %g° is not between 5° and 45°; most gears have 20°", s.PressureAngle)
	}
	if !(s.Helix >= 0 && s.Helix <= 60) {
		return fmt.Errorf("helix angle: %g° is not between 0° and 60°; give it without the hand", s.Helix)
	}
	switch s.Measured {
	case "", Transverse:
		if !positive(s.ReadRadius) || !positive(s.PitchRadius) {
			return errors.New("reading radius and pitch radius: both are needed, above zero, for a transverse reading")
		}
		if k := s.ReadRadius / s.PitchRadius; k < 0.1 || k > 10 {
			return fmt.Errorf("reading radius %g mm against pitch radius %g mm: a tenth or ten times can't be; check both", s.ReadRadius, s.PitchRadius)
		}
	case Normal:
	case Axial:
		if s.Helix == 0 {
			return errors.New("helix angle: an axial reading says nothing of a straight tooth; give the helix angle, or read it transverse")
		}
	default:
		_, err := ParseDirection(string(s.Measured))
		return err
	}
	return nil
}

func positive(x float64) bool { return x > 0 && !math.IsInf(x, 0) }

// factor returns j_t over the reading.
func (s Setup) factor() float64 {
	an, b := radians(s.PressureAngle), radians(s.Helix)
	switch s.Measured {
	case Normal:
		return 1 / (math.Cos(an) * math.Cos(b))
	case Axial:
		return math.Tan(b)
	}
	return s.PitchRadius / s.ReadRadius
}

func radians(deg float64) float64 { return deg * math.Pi / 180 }

// FromReading returns the backlash j_t in mm, in the transverse plane at the
// pitch circle, from an indicator reading in mm:
//
//	transverse  j_t = reading · r/R
//	normal      j_t = reading / (cos α_n · cos β)
//	axial       j_t = reading · tan β
//
// r is the pitch radius, R the reading radius. It returns the error of
// [Setup.Check].
//
// Source: ISO 21771:2007, from memory; derived in docs/mesh.md.
func FromReading(s Setup, reading float64) (float64, error) {
	if err := s.Check(); err != nil {
		return 0, err
	}
	return reading * s.factor(), nil
}

// NormalBacklash returns j_bn in mm: j_t · cos α_n · cos β.
//
// Source: ISO 21771:2007, from memory.
func NormalBacklash(jt, pressureAngle, helix float64) float64 {
	return jt * math.Cos(radians(pressureAngle)) * math.Cos(radians(helix))
}

// TransversePressureAngle returns α_t in degrees: tan α_t = tan α_n/cos β.
func TransversePressureAngle(pressureAngle, helix float64) float64 {
	return math.Atan(math.Tan(radians(pressureAngle))/math.Cos(radians(helix))) * 180 / math.Pi
}

// CentreChange returns how far the centres must move apart, in mm (below zero:
// together), to change the backlash j_t by dj mm:
//
//	j_t = 2·Δa·tan α_t
//
// pressureAngle is the normal one. The exact involute relation gives 0.4 %
// more backlash at Δa = 0.05 mm and a module of 2 mm.
//
// Source: read in a gear maker's handbook pages, for spur gears; α_t for
// helical ones is ISO 21771's transverse plane.
func CentreChange(dj, pressureAngle, helix float64) float64 {
	return dj / (2 * math.Tan(radians(TransversePressureAngle(pressureAngle, helix))))
}
