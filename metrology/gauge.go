// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"math"
)

// Gauge is what is known of an instrument whose spread does not grow with what
// it reads. Lengths in mm; what is not known is zero.
type Gauge struct {
	// Resolution is the smallest step that is read.
	Resolution float64
	// CalibrationU is the expanded uncertainty of the certificate (or of the
	// setting ring), CoverageFactor its k; 0 means 2.
	CalibrationU, CoverageFactor float64
	// Repeatability is the standard deviation of one person's readings.
	Repeatability Repeatability
	// Reproducibility is the standard deviation between persons, interaction
	// included.
	Reproducibility float64
	// Range is what the gauge can read; zero means not known.
	Range Limits
}

// AssumedRepeatability stands in until there is a gauge study: one resolution
// step as standard deviation. Assumed, no source.
func AssumedRepeatability(resolution float64) Repeatability {
	return Repeatability{StdDev: resolution, Assumed: true}
}

// WithStudy returns the gauge with what a study says of it. One person's study
// leaves the reproducibility as it was.
func (g Gauge) WithStudy(r StudyResult) Gauge {
	if r.Repeatability.Known {
		g.Repeatability = Repeatability{StdDev: r.Repeatability.StdDev, DegreesOfFreedom: r.Repeatability.DegreesOfFreedom}
	}
	if r.Reproducibility.Known {
		g.Reproducibility = math.Hypot(r.Reproducibility.StdDev, r.Interaction.StdDev)
	}
	return g
}

// Read returns what a reading says:
//
//	U² = (CalibrationU/k)² + Reproducibility² + Repeatability²
//	CommonU² = (CalibrationU/k)² + Reproducibility²
//
// with a uniform half width of half the resolution in place of the
// repeatability where that is the larger of the two, since a repeatability that
// was found by reading holds the resolution already (ISO 22514-7, from memory).
//
// It returns an error wrapping [ErrMeasurement], or [ErrInput] for a gauge that
// makes no sense. The range is not looked at: see [Gauge.InRange].
func (g Gauge) Read(value float64) (Measurement, error) {
	if err := g.Validate(); err != nil {
		return Measurement{}, err
	}
	common := math.Hypot(g.standardCalibration(), g.Reproducibility)
	m := Measurement{Value: value, U: common, CommonU: common, Assumed: g.Repeatability.Assumed}
	half := g.Resolution / 2
	if half/math.Sqrt(3) > g.Repeatability.StdDev {
		m.HalfWidth = half
	} else {
		m.U = math.Hypot(common, g.Repeatability.StdDev)
	}
	return m, m.Validate()
}

// InRange says whether the gauge can read value at all.
func (g Gauge) InRange(value float64) bool {
	return g.Range == Limits{} || (value >= g.Range.Min && value <= g.Range.Max)
}

func (g Gauge) standardCalibration() float64 {
	if g.CoverageFactor == 0 {
		return g.CalibrationU / 2
	}
	return g.CalibrationU / g.CoverageFactor
}

// Validate returns an error wrapping [ErrInput] for a spread that is negative
// or not finite, or for a gauge with no spread at all.
func (g Gauge) Validate() error {
	for _, x := range []struct {
		name string
		v    float64
	}{
		{"resolution", g.Resolution}, {"calibration uncertainty", g.CalibrationU}, {"coverage factor", g.CoverageFactor},
		{"repeatability", g.Repeatability.StdDev}, {"reproducibility", g.Reproducibility},
	} {
		if !finite(x.v) || x.v < 0 {
			return fmt.Errorf("%w: the gauge's %s is %g", ErrInput, x.name, x.v)
		}
	}
	if g.Resolution == 0 && g.CalibrationU == 0 && g.Repeatability.StdDev == 0 && g.Reproducibility == 0 {
		return fmt.Errorf("%w: nothing is known of the gauge's spread", ErrInput)
	}
	return nil
}

// AddCommon returns m with a standard uncertainty on top that all readings of
// the kind share, such as the setting of a bore gauge.
func (m Measurement) AddCommon(u float64) Measurement {
	m.U, m.CommonU = math.Hypot(m.U, u), math.Hypot(m.CommonU, u)
	return m
}
