// SPDX-License-Identifier: Apache-2.0

package checks

import (
	"fmt"

	"witnessmark/mesh"
)

// meshChecks holds the backlash relations against handbook and hand values.
func meshChecks() []Check {
	list := []Check{
		{Name: "mesh: centre change over backlash at 14.5°", Expected: 1.933, Tolerance: 0.0005, Kind: Published,
			Source: "gear maker's handbook, p. 388, Δa = 1.933 j", Got: centreChange(1, 14.5, 0)},
		{Name: "mesh: centre change over backlash at 20°", Expected: 1.374, Tolerance: 0.0005, Kind: Published,
			Source: "gear maker's handbook, p. 388, Δa = 1.374 j", Got: centreChange(1, 20, 0)},
		{Name: "mesh: reading at 50 mm of 0.0364 mm at 20 mm, mm", Expected: 0.0363970, Tolerance: 5e-8, Kind: Recomputed,
			Source: "ratio of the radii by hand",
			Got: func() (float64, error) {
				return mesh.FromReading(mesh.Setup{ReadRadius: 50, PitchRadius: 20, PressureAngle: 20}, 0.0909926)
			}},
		{Name: "mesh: centre change with 0.07 mm between 0.06 and 0.08 mm", Expected: 0, Tolerance: 1e-12, Kind: Practice,
			Source: "the middle of the limits is where the mean belongs",
			Got: func() (float64, error) {
				s := mesh.Setup{ReadRadius: 50, PitchRadius: 50, PressureAngle: 20}
				r, err := mesh.Measure(s, []mesh.Reading{{Angle: 0, Value: 0.07}})
				return r.ToMiddle(s, 0.06, 0.08), err
			}},
	}
	for _, c := range []struct{ beta, alphaT, jt float64 }{{0, 20, 0.0363970}, {15, 20.646896, 0.0376810}, {25, 21.880233, 0.0401597}} {
		const source = "ISO 21771 relations in NumPy; module 2, 20/40 teeth, 20°, centres 0.05 mm apart"
		list = append(list,
			Check{Name: fmt.Sprintf("mesh: transverse pressure angle at helix %g°, °", c.beta), Expected: c.alphaT, Tolerance: 5e-7, Kind: Recomputed, Source: source,
				Got: func() (float64, error) { return mesh.TransversePressureAngle(20, c.beta), nil }},
			Check{Name: fmt.Sprintf("mesh: centre change of %g mm of backlash at helix %g°, mm", c.jt, c.beta), Expected: 0.05, Tolerance: 1e-7, Kind: Recomputed, Source: source,
				Got: centreChange(c.jt, 20, c.beta)},
			Check{Name: fmt.Sprintf("mesh: normal backlash at helix %g°, mm", c.beta), Expected: 0.0342020, Tolerance: 5e-8, Kind: Recomputed, Source: source,
				Got: func() (float64, error) { return mesh.NormalBacklash(c.jt, 20, c.beta), nil }})
	}
	return list
}

func centreChange(j, pressure, helix float64) func() (float64, error) {
	return func() (float64, error) { return mesh.CentreChange(j, pressure, helix), nil }
}
