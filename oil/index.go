// SPDX-License-Identifier: Apache-2.0

package oil

import (
	"fmt"
	"math"
)

// ViscosityIndex returns the viscosity index of an oil with kinematic
// viscosities v40 at 40 °C and v100 at 100 °C, both mm²/s, unrounded (the
// practice reports the nearest whole number).
//
//	A, up to 100:  VI = 100 (L − U)/(L − H)
//	B, from 100:   VI = (10^N − 1)/0.00715 + 100,  N = log(H/U)/log Y
//
// with U = v40, Y = v100, L and H from the practice's table (linear between its
// rows) to 70 mm²/s, and above
// L = 0.8353 Y² + 14.67 Y − 216, H = 0.1684 Y² + 11.85 Y − 97.
//
// It returns a *RangeError if v100 is below 2 mm²/s, where the index is not
// defined, or above 1000, and an error if v40 is not above v100.
//
// Source: ASTM D2270-10 (ISO 2909), procedures A and B and equations seen in
// stored text of the practice; the table taken from a public data file that
// names D2270-10(2016), held against the practice's three worked examples.
func ViscosityIndex(v40, v100 float64) (float64, error) {
	if err := within("kinematic viscosity at 100 °C", "mm²/s", v100, 2, 1000); err != nil {
		return 0, err
	}
	if !(v40 > v100 && v40 < 2e7) {
		return 0, fmt.Errorf("viscosity at 40 °C, %g mm²/s, must be above that at 100 °C, %g mm²/s", v40, v100)
	}
	l, h := lowHigh(v100)
	if v40 >= h {
		return 100 * (l - v40) / (l - h), nil
	}
	n := math.Log10(h/v40) / math.Log10(v100)
	return (math.Pow(10, n)-1)/0.00715 + 100, nil
}

// lowHigh returns L and H at y = v100.
func lowHigh(y float64) (l, h float64) {
	if y > 70 {
		return 0.8353*y*y + 14.67*y - 216, 0.1684*y*y + 11.85*y - 97
	}
	// Rows at 0.1 to 20, at 0.2 to 30 and at 0.5 to 70.
	row := (y - 2) / 0.1
	if y > 30 {
		row = 230 + (y-30)/0.5
	} else if y > 20 {
		row = 180 + (y-20)/0.2
	}
	i := min(int(row+1e-9), len(viL)-2)
	t := row - float64(i)
	return viL[i] + t*(viL[i+1]-viL[i]), viH[i] + t*(viH[i+1]-viH[i])
}
