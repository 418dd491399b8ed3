// SPDX-License-Identifier: Apache-2.0

package units

// The units. A unit's spellings are in the table below. Factors are exact by
// definition; NIST SP 811 (2008), appendix B.8, prints them to seven digits.
var (
	UnitMillimetre = scaled(KindLength, "mm", 1, 1)
	UnitMicrometre = scaled(KindLength, "µm", 1, 1000)
	UnitCentimetre = scaled(KindLength, "cm", 10, 1)
	UnitMetre      = scaled(KindLength, "m", 1000, 1)
	UnitInch       = scaled(KindLength, "in", 254, 10)      // 1 in = 25.4 mm
	UnitThou       = scaled(KindLength, "thou", 254, 10000) // 0.001 in

	UnitDegree = scaled(KindAngle, "°", 1, 1)
	UnitRadian = perPi(KindAngle, "rad", 180)

	UnitNewtonMetre             = scaled(KindTorque, "N·m", 1, 1)
	UnitPoundForceFoot          = scaled(KindTorque, "lbf·ft", 13558179483314004, 1e16)
	UnitPoundForceInch          = scaled(KindTorque, "lbf·in", 1129848290276167, 1e16)
	UnitKilogramForceMetre      = scaled(KindTorque, "kgf·m", 980665, 1e5)
	UnitKilogramForceCentimetre = scaled(KindTorque, "kgf·cm", 980665, 1e7)

	UnitNewton        = scaled(KindForce, "N", 1, 1)
	UnitKilonewton    = scaled(KindForce, "kN", 1000, 1)
	UnitPoundForce    = scaled(KindForce, "lbf", 44482216152605, 1e13) // lb × 9.806 65 m/s²
	UnitKilogramForce = scaled(KindForce, "kgf", 980665, 1e5)

	UnitPascal                           = scaled(KindPressure, "Pa", 1, 1)
	UnitKilopascal                       = scaled(KindPressure, "kPa", 1e3, 1)
	UnitMegapascal                       = scaled(KindPressure, "MPa", 1e6, 1)
	UnitGigapascal                       = scaled(KindPressure, "GPa", 1e9, 1)
	UnitBar                              = scaled(KindPressure, "bar", 1e5, 1)
	UnitPoundPerSquareInch               = scaled(KindPressure, "psi", 44482216152605, 6451600000) // lbf/(25.4 mm)²
	UnitKilogramForcePerSquareCentimetre = scaled(KindPressure, "kgf/cm²", 980665, 10)

	UnitCelsius    = shifted("°C", 0, 1, 1)
	UnitFahrenheit = shifted("°F", -3200, 5, 9)
	UnitKelvin     = shifted("K", -27315, 1, 1)

	UnitRPM             = scaled(KindRotationalSpeed, "rpm", 1, 1)
	UnitRadianPerSecond = perPi(KindRotationalSpeed, "rad/s", 30)

	UnitPascalSecond      = scaled(KindDynamicViscosity, "Pa·s", 1, 1)
	UnitMillipascalSecond = scaled(KindDynamicViscosity, "mPa·s", 1, 1000)
	UnitCentipoise        = scaled(KindDynamicViscosity, "cP", 1, 1000)

	UnitSquareMillimetrePerSecond = scaled(KindKinematicViscosity, "mm²/s", 1, 1)
	UnitCentistokes               = scaled(KindKinematicViscosity, "cSt", 1, 1)
	UnitSquareMetrePerSecond      = scaled(KindKinematicViscosity, "m²/s", 1e6, 1)

	UnitKilogram = scaled(KindMass, "kg", 1, 1)
	UnitGram     = scaled(KindMass, "g", 1, 1000)
	UnitPound    = scaled(KindMass, "lb", 45359237, 1e8)
	UnitOunce    = scaled(KindMass, "oz", 45359237, 16e8)

	UnitLitre           = scaled(KindVolume, "L", 1, 1)
	UnitMillilitre      = scaled(KindVolume, "mL", 1, 1000)
	UnitCubicCentimetre = scaled(KindVolume, "cm³", 1, 1000)
	UnitUSQuart         = scaled(KindVolume, "US qt", 946352946, 1e9) // 57.75 in³
	UnitUSGallon        = scaled(KindVolume, "US gal", 3785411784, 1e9)
	UnitImperialQuart   = scaled(KindVolume, "imp qt", 11365225, 1e7)

	UnitHour   = scaled(KindHours, "h", 1, 1)
	UnitMinute = scaled(KindHours, "min", 1, 60)

	UnitKilometre = scaled(KindDistance, "km", 1, 1)
	UnitMile      = scaled(KindDistance, "mi", 1609344, 1e6)

	// UnitOne is the unit of a number without unit; its symbol, 1, is not
	// written. SI Brochure, 9th edition, 5.4.7.
	UnitOne = scaled(KindNumber, "", 1, 1)
)

// entry is a unit with its spellings beside the symbol. exact must match in
// case; folded match in any case. Both are normalised first, see normalise.
type entry struct {
	unit   Unit
	exact  []string
	folded []string
}

func list(s ...string) []string { return s }

// table holds every unit, the canonical one of each kind first.
var table = []entry{
	{UnitMillimetre, nil, list("mm", "millimetre", "millimetres", "millimeter", "millimeters")},
	{UnitMicrometre, nil, list("µm", "um", "micron", "microns", "micrometre", "micrometres")},
	{UnitCentimetre, nil, list("cm")},
	{UnitMetre, nil, list("metre", "metres")},
	{UnitInch, list(`"`), list("in", "inch", "inches")},
	{UnitThou, nil, list("thou")},

	{UnitDegree, nil, list("deg", "degree", "degrees")},
	{UnitRadian, nil, list("rad")},

	{UnitNewtonMetre, nil, list("N·m", "Nm")},
	{UnitPoundForceFoot, nil, list("lbf·ft", "ft·lbf", "ft·lb", "lb·ft", "ft·lbs", "lbs·ft", "lbfft", "ftlbf", "ftlb", "lbft", "ftlbs")},
	{UnitPoundForceInch, nil, list("lbf·in", "in·lbf", "in·lb", "lb·in", "in·lbs", "lbs·in", "lbfin", "inlbf", "inlb", "lbin", "inlbs")},
	{UnitKilogramForceMetre, nil, list("kgf·m", "m·kgf", "kgfm")},
	{UnitKilogramForceCentimetre, nil, list("kgf·cm", "kgfcm")},

	{UnitNewton, nil, list("N", "newton", "newtons")},
	{UnitKilonewton, nil, list("kN")},
	{UnitPoundForce, nil, list("lbf")},
	{UnitKilogramForce, nil, list("kgf")},

	{UnitPascal, nil, list("Pa")},
	{UnitKilopascal, nil, list("kPa")},
	{UnitMegapascal, list("Mpa"), nil}, // a capital M is enough; mPa and MPA are refused
	{UnitGigapascal, nil, list("GPa")},
	{UnitBar, nil, list("bar")},
	{UnitPoundPerSquareInch, nil, list("psi", "lbf/in²")},
	{UnitKilogramForcePerSquareCentimetre, nil, list("kgf/cm²")},

	{UnitCelsius, nil, list("°C", "° C", "C", "℃", "degC", "deg C", "celsius")},
	{UnitFahrenheit, nil, list("°F", "° F", "F", "℉", "degF", "deg F", "fahrenheit")},
	{UnitKelvin, nil, list("K", "kelvin")},

	{UnitRPM, nil, list("rpm", "1/min", "r/min", "rev/min", "min⁻¹", "min^-1")},
	{UnitRadianPerSecond, nil, list("rad/s")},

	{UnitPascalSecond, nil, list("Pa·s", "Pas")},
	{UnitMillipascalSecond, list("mPas", "mpa·s", "mpas"), nil}, // MPa·s is refused
	{UnitCentipoise, nil, list("cP")},

	{UnitSquareMillimetrePerSecond, nil, list("mm²/s")},
	{UnitCentistokes, nil, list("cSt")},
	{UnitSquareMetrePerSecond, nil, nil},

	{UnitKilogram, nil, list("kg")},
	{UnitGram, nil, list("gram", "grams")},
	{UnitPound, nil, list("lb", "lbs")},
	{UnitOunce, nil, list("oz")},

	{UnitLitre, nil, list("L", "litre", "litres", "liter", "liters")},
	{UnitMillilitre, list("ml"), nil}, // ML would be a megalitre
	{UnitCubicCentimetre, nil, list("cm³", "cc", "ccm")},
	{UnitUSQuart, nil, list("US qt", "USqt", "US quart", "US quarts")},
	{UnitUSGallon, nil, list("US gal", "USgal", "US gallon", "US gallons")},
	{UnitImperialQuart, nil, list("imp qt", "imperial quart", "imperial quarts")},

	{UnitHour, nil, list("h", "hr", "hrs", "hour", "hours")},
	{UnitMinute, nil, list("min", "mins", "minute", "minutes")},

	{UnitKilometre, nil, list("km", "kilometre", "kilometres", "kilometer", "kilometers")},
	{UnitMile, nil, list("mi", "mile", "miles")},

	{UnitOne, nil, nil},
}
