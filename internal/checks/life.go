// SPDX-License-Identifier: Apache-2.0

package checks

import (
	"math"

	"witnessmark/life"
)

// lifeChecks holds chances of need and the fit of what was found at one look
// against another program.
func lifeChecks() []Check {
	const wheels = "432 turbine wheels inspected once each, W. Nelson, Applied Life Data Analysis (1982); figures by survreg of R's survival"
	return []Check{
		{Name: "life: shape of the turbine wheels", Expected: 2.175780, Tolerance: 5e-5, Kind: Recomputed, Source: wheels,
			Got: func() (float64, error) { w, err := life.Fit(turbineWheels()); return w.Shape, err }},
		{Name: "life: characteristic life of the turbine wheels, hundred hours", Expected: 46.777230, Tolerance: 5e-4, Kind: Recomputed, Source: wheels,
			Got: func() (float64, error) { w, err := life.Fit(turbineWheels()); return w.Scale, err }},
		{Name: "life: chance within 60 000 km after 92 400 km, shape 2.5, scale 160 000 km", Expected: 0.468474427189, Tolerance: 1e-9, Kind: Recomputed,
			Source: "pweibull of R, 1 − S(152 400)/S(92 400)",
			Got:    func() (float64, error) { return life.Weibull{Shape: 2.5, Scale: 160_000}.Within(92_400, 60_000) }},
		{Name: "life: chance with shape 1 is the same after any distance", Expected: 1 - math.Exp(-0.375), Tolerance: 1e-12, Kind: Recomputed,
			Source: "exponential distribution, by hand: 1 − exp(−60/160)",
			Got:    func() (float64, error) { return life.Weibull{Shape: 1, Scale: 160_000}.Within(92_400, 60_000) }},
	}
}

func turbineWheels() []life.Look {
	var looks []life.Look
	for _, r := range [][3]int{{4, 39, 0}, {10, 53, 4}, {14, 33, 2}, {18, 73, 7}, {22, 30, 5}, {26, 39, 9}, {30, 42, 9}, {34, 13, 6}, {38, 34, 22}, {42, 40, 21}, {46, 36, 21}} {
		for i := range r[1] {
			looks = append(looks, life.Look{Run: float64(r[0]), Needed: i < r[2]})
		}
	}
	return looks
}
