// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"math"
)

// StatedFigures are what a gauge study came to, where its readings are not at
// hand: standard deviations in mm.
type StatedFigures struct {
	Repeatability, DegreesOfFreedom float64 // 0 degrees: taken as exact
	Reproducibility                 float64
	PersonsKnown                    bool // there was more than one person
	Interaction                     float64
	Mean                            float64 // of all readings; 0: not known
	Parts, Persons                  int
}

// StatedStudy returns the study that those figures stand for, without
// intervals: what the study itself would say beyond them is not known.
//
//	gauge² = repeatability² + reproducibility² + interaction²
//
// It returns an error wrapping [ErrInput] for a figure that is negative or not
// finite.
func StatedStudy(f StatedFigures) (StudyResult, error) {
	for _, x := range []float64{f.Repeatability, f.DegreesOfFreedom, f.Reproducibility, f.Interaction, f.Mean} {
		if !finite(x) || x < 0 {
			return StudyResult{}, fmt.Errorf("%w: a study with a figure of %g", ErrInput, x)
		}
	}
	known := func(s float64) Component { return Component{Known: true, StdDev: s, High: math.Inf(1)} }
	r := StudyResult{Parts: f.Parts, Persons: f.Persons, Mean: f.Mean, Repeatability: known(f.Repeatability)}
	r.Repeatability.DegreesOfFreedom = f.DegreesOfFreedom
	total := f.Repeatability
	if f.PersonsKnown {
		r.Reproducibility, r.Interaction = known(f.Reproducibility), known(f.Interaction)
		total = math.Hypot(total, math.Hypot(f.Reproducibility, f.Interaction))
	}
	r.Gauge = known(total)
	return r, nil
}

// WithStatedU returns the gauge with a stated standard uncertainty u (mm) of
// one reading, calibration included: what the calibration does not explain is
// its repeatability.
//
//	repeatability² = u² − (CalibrationU/k)², at least 0
func (g Gauge) WithStatedU(u float64) Gauge {
	c := g.standardCalibration()
	g.Repeatability = Repeatability{StdDev: math.Sqrt(math.Max(0, u*u-c*c))}
	return g
}

// StandardCalibration is the standard uncertainty of the calibration (mm),
// CalibrationU over its coverage factor: what all readings with this gauge, and
// with every gauge that was set against it, have in common.
func (g Gauge) StandardCalibration() float64 { return g.standardCalibration() }
