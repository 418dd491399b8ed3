// SPDX-License-Identifier: Apache-2.0

package checks

import "witnessmark/oil"

// oilChecks holds viscosity, index and pressure rules against their standards.
func oilChecks() []Check {
	list := []Check{
		{Name: "oil: viscosity index, procedure A", Expected: 92.43, Tolerance: 0.005, Kind: Published,
			Source: "ASTM D2270, 5.1.4 (73.30 and 8.86 mm²/s)",
			Got:    func() (float64, error) { return oil.ViscosityIndex(73.30, 8.86) }},
		{Name: "oil: viscosity index, procedure B", Expected: 156.37, Tolerance: 0.06, Kind: Published,
			Source: "ASTM D2270, 6.1.4 (22.83 and 5.05 mm²/s; the print rounds H)",
			Got:    func() (float64, error) { return oil.ViscosityIndex(22.83, 5.05) }},
		{Name: "oil: viscosity index, second example of procedure B", Expected: 111, Tolerance: 0.5, Kind: FromMemory,
			Source: "ASTM D2270, 6.1.4 (53.47 and 7.80 mm²/s)",
			Got:    func() (float64, error) { return oil.ViscosityIndex(53.47, 7.80) }},
		{Name: "oil: Walther line at 80 °C, spreadsheet example", Expected: 8.5, Tolerance: 0.05, Kind: Published,
			Source: "public spreadsheet for ASTM D341 (32 at 40 °C, 5.4 at 100 °C, mm²/s)",
			Got:    func() (float64, error) { return viscosityAt(32, 5.4, 80) }},
		{Name: "oil: pressure factor at 50 MPa and 20 /GPa", Expected: 2.718281828, Tolerance: 1e-8, Kind: Recomputed,
			Source: "Barus, exp(α p) = e by hand",
			Got:    func() (float64, error) { return oil.Barus(20, 50) }},
	}
	for _, c := range []struct {
		name                string
		v40, v100, at, want float64
	}{
		{"100 and 11.1 at 20 °C", 100, 11.1, 20, 341.798},
		{"100 and 11.1 at 150 °C", 100, 11.1, 150, 4.1360},
		{"91.3 and 14.5 at 120 °C", 91.3, 14.5, 120, 9.6743},
		{"160 and 17.5 at 150 °C", 160, 17.5, 150, 6.2695},
	} {
		list = append(list, Check{Name: "oil: Walther line, " + c.name, Expected: c.want, Tolerance: 1e-4 * c.want,
			Kind: Recomputed, Source: "ASTM D341 equation in NumPy, T = °C + 273.15",
			Got: func() (float64, error) { return viscosityAt(c.v40, c.v100, c.at) }})
	}
	for _, c := range []struct {
		grade     string
		low, high float64
	}{{"5W-40", 12.5, 16.3}, {"10W-30", 9.3, 12.5}, {"15W-50", 16.3, 21.9}} {
		list = append(list, j300Limit(c.grade, "least", c.low, func(b oil.Band) oil.Oil { return b.Low }), j300Limit(c.grade, "greatest", c.high, func(b oil.Band) oil.Oil { return b.High }))
	}
	return append(list, j300Check("5W-40", 3.5), j300Check("15W-40", 3.7), j300Check("0W-20", 2.6))
}

// j300Limit holds an end of a grade's range at 100 °C.
func j300Limit(grade, which string, want float64, end func(oil.Band) oil.Oil) Check {
	return Check{Name: "oil: " + which + " viscosity of " + grade + " at 100 °C in mm²/s", Expected: want, Tolerance: 1e-9, Kind: Published,
		Source: oil.J300Edition + ", suppliers' tables",
		Got: func() (float64, error) {
			g, err := oil.ParseGrade(grade)
			if err != nil {
				return 0, err
			}
			b, err := g.Band()
			return end(b).V100, err
		}}
}

// j300Check: the thinnest oil of a grade, sheared as J300 tests it, stands on the
// floor.
func j300Check(grade string, floor float64) Check {
	return Check{Name: "oil: high-shear floor of " + grade, Expected: floor, Tolerance: 1e-6, Kind: Published,
		Source: oil.J300Edition + ", suppliers' tables; thinnest oil of the band at 150 °C, 10⁶ 1/s",
		Got: func() (float64, error) {
			g, err := oil.ParseGrade(grade)
			if err != nil {
				return 0, err
			}
			b, err := g.Band()
			if err != nil {
				return 0, err
			}
			m, err := b.Low.Prepare()
			if err != nil {
				return 0, err
			}
			return m.Sheared(oil.HTHSTemperature, oil.HTHSRate)
		}}
}

func viscosityAt(v40, v100, t float64) (float64, error) {
	w, err := oil.WaltherThrough(40, v40, 100, v100)
	if err != nil {
		return 0, err
	}
	return w.At(t)
}
