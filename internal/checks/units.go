// SPDX-License-Identifier: Apache-2.0

package checks

import "witnessmark/units"

// sp811 is where the factors are printed, to seven digits or exactly. The
// figures of quoted were seen as other public works quote them from that
// table, not on the printed page.
const (
	sp811  = "NIST Special Publication 811 (2008), appendix B.8"
	quoted = sp811 + ", as quoted by other works"
)

// unitsChecks holds what one of each unit is in SI against the printed factor.
func unitsChecks() []Check {
	// The result is in unit, times si where the table's unit is not ours.
	one := func(name, text string, unit units.Unit, si, want, tol float64, kind Kind) Check {
		source := sp811
		if kind == Published {
			source = quoted
		}
		return Check{
			Name: "units: " + name, Expected: want, Tolerance: tol, Source: source, Kind: kind,
			Got: func() (float64, error) {
				r, err := units.Parse(unit.Kind, text, units.Unit{})
				return unit.FromCanonical(r.Value) * si, err
			},
		}
	}
	return []Check{
		one("inch in m", "1 in", units.UnitMetre, 1, 0.0254, 1e-15, Published),
		one("thou in m", "1 thou", units.UnitMetre, 1, 2.54e-5, 1e-18, FromMemory),
		one("degree in rad", "1°", units.UnitRadian, 1, 1.745329e-2, 0.5e-8, FromMemory),
		one("pound-force in N", "1 lbf", units.UnitNewton, 1, 4.448222, 0.5e-6, FromMemory),
		one("pound-force foot in N·m", "1 lbf·ft", units.UnitNewtonMetre, 1, 1.355818, 0.5e-6, Published),
		one("pound-force inch in N·m", "1 lbf·in", units.UnitNewtonMetre, 1, 0.1129848, 0.5e-7, Published),
		one("kilogram-force metre in N·m", "1 kgf·m", units.UnitNewtonMetre, 1, 9.80665, 1e-12, Published),
		one("psi in Pa", "1 psi", units.UnitPascal, 1, 6894.757, 0.5e-3, Published),
		one("kilogram-force per square centimetre in Pa", "1 kgf/cm²", units.UnitPascal, 1, 98066.5, 1e-8, Published),
		one("212 °F in °C", "212 °F", units.UnitCelsius, 1, 100, 1e-12, FromMemory),
		one("revolution per minute in rad/s", "1 rpm", units.UnitRadianPerSecond, 1, 0.1047198, 0.5e-7, Published),
		one("centipoise in Pa·s", "1 cP", units.UnitPascalSecond, 1, 1e-3, 1e-15, FromMemory),
		one("centistokes in m²/s", "1 cSt", units.UnitSquareMetrePerSecond, 1, 1e-6, 1e-18, FromMemory),
		one("pound in kg", "1 lb", units.UnitKilogram, 1, 0.4535924, 0.5e-7, FromMemory),
		one("ounce in kg", "1 oz", units.UnitKilogram, 1, 2.834952e-2, 0.5e-8, Published),
		one("US quart in m³", "1 US qt", units.UnitLitre, 1e-3, 9.463529e-4, 0.5e-10, Published),
		one("US gallon in m³", "1 US gal", units.UnitLitre, 1e-3, 3.785412e-3, 0.5e-9, Published),
		one("mile in m", "1 mi", units.UnitKilometre, 1e3, 1609.344, 1e-10, FromMemory),
	}
}
