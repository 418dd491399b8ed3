// SPDX-License-Identifier: Apache-2.0

package units

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// TestParse reads what people write. The values follow from the definitions
// of the units (SI Brochure; NIST SP 811, B.8), worked out by hand.
func TestParse(t *testing.T) {
	for _, c := range []struct {
		kind   Kind
		text   string
		value  float64 // canonical
		digits string
		unit   Unit
		step   float64 // canonical
	}{
		{KindLength, "0.042 mm", 0.042, "0.042", UnitMillimetre, 0.001},
		{KindLength, "0.050 mm", 0.05, "0.050", UnitMillimetre, 0.001},
		{KindLength, "0,042 mm", 0.042, "0.042", UnitMillimetre, 0.001},
		{KindLength, ".042 mm", 0.042, "0.042", UnitMillimetre, 0.001},
		{KindLength, ",042mm", 0.042, "0.042", UnitMillimetre, 0.001},
		{KindLength, "42 \u00b5m", 0.042, "42", UnitMicrometre, 0.001},
		{KindLength, "42 \u03bcm", 0.042, "42", UnitMicrometre, 0.001},
		{KindLength, "42um", 0.042, "42", UnitMicrometre, 0.001},
		{KindLength, "42 microns", 0.042, "42", UnitMicrometre, 0.001},
		{KindLength, "1.65 thou", 0.04191, "1.65", UnitThou, 0.000254},
		{KindLength, "0.00165 in", 0.04191, "0.00165", UnitInch, 0.000254},
		{KindLength, "0.00165 in.", 0.04191, "0.00165", UnitInch, 0.000254},
		{KindLength, `.00165"`, 0.04191, "0.00165", UnitInch, 0.000254},
		{KindLength, "2.1″", 53.34, "2.1", UnitInch, 2.54},
		{KindLength, "5.40 cm", 54, "5.40", UnitCentimetre, 0.1},
		{KindLength, "0.054 m", 54, "0.054", UnitMetre, 1},
		{KindLength, "  +54.02\u00a0MM\r\n", 54.02, "54.02", UnitMillimetre, 0.01},
		{KindLength, "-0.004 mm", -0.004, "-0.004", UnitMillimetre, 0.001},
		{KindLength, "\u22120.004 mm", -0.004, "-0.004", UnitMillimetre, 0.001},
		{KindLength, "-0.000 mm", 0, "0.000", UnitMillimetre, 0.001},
		{KindLength, "4.2e-2 mm", 0.042, "4.2e-2", UnitMillimetre, 0.001},
		{KindLength, "42E3 µm", 42, "42e3", UnitMicrometre, 1},
		{KindLength, "1.000 mm", 1, "1.000", UnitMillimetre, 0.001},
		{KindLength, "1,00 mm", 1, "1.00", UnitMillimetre, 0.01},
		{KindLength, "1.000,5 mm", 1000.5, "1000.5", UnitMillimetre, 0.1},
		{KindLength, "1,000.5 mm", 1000.5, "1000.5", UnitMillimetre, 0.1},
		{KindLength, "1234,500 mm", 1234.5, "1234.500", UnitMillimetre, 0.001},
		{KindAngle, "130°", 130, "130", UnitDegree, 1},
		{KindAngle, "20deg", 20, "20", UnitDegree, 1},
		{KindAngle, "90º", 90, "90", UnitDegree, 1},
		{KindTorque, "20 Nm", 20, "20", UnitNewtonMetre, 1},
		{KindTorque, "20 NM", 20, "20", UnitNewtonMetre, 1},
		{KindTorque, "20 N·m", 20, "20", UnitNewtonMetre, 1},
		{KindTorque, "20 N⋅m", 20, "20", UnitNewtonMetre, 1},
		{KindTorque, "20 N.m", 20, "20", UnitNewtonMetre, 1},
		{KindTorque, "20 N*m", 20, "20", UnitNewtonMetre, 1},
		{KindTorque, "20 N-m", 20, "20", UnitNewtonMetre, 1},
		{KindTorque, "20 N m", 20, "20", UnitNewtonMetre, 1},
		{KindTorque, "15 lbf·ft", 20.337269224971006, "15", UnitPoundForceFoot, 1.3558179483314004},
		{KindTorque, "15 ft-lb", 20.337269224971006, "15", UnitPoundForceFoot, 1.3558179483314004},
		{KindTorque, "15 lbf-ft", 20.337269224971006, "15", UnitPoundForceFoot, 1.3558179483314004},
		{KindTorque, "15 ft lbs", 20.337269224971006, "15", UnitPoundForceFoot, 1.3558179483314004},
		{KindTorque, "15 ft.-lbs.", 20.337269224971006, "15", UnitPoundForceFoot, 1.3558179483314004},
		{KindTorque, "180 in-lb", 20.337269224971006, "180", UnitPoundForceInch, 0.1129848290276167},
		{KindTorque, "2 kgf·m", 19.6133, "2", UnitKilogramForceMetre, 9.80665},
		{KindForce, "8 kN", 8000, "8", UnitKilonewton, 1000},
		{KindForce, "8 KN", 8000, "8", UnitKilonewton, 1000},
		{KindForce, "100 lbf", 444.82216152605, "100", UnitPoundForce, 4.4482216152605},
		{KindPressure, "8 bar", 8e5, "8", UnitBar, 1e5},
		{KindPressure, "80 MPa", 8e7, "80", UnitMegapascal, 1e6},
		{KindPressure, "80 Mpa", 8e7, "80", UnitMegapascal, 1e6},
		{KindPressure, "350 kpa", 3.5e5, "350", UnitKilopascal, 1e3},
		{KindPressure, "210 GPa", 2.1e11, "210", UnitGigapascal, 1e9},
		{KindTemperature, "90 °C", 90, "90", UnitCelsius, 1},
		{KindTemperature, "90 C", 90, "90", UnitCelsius, 1},
		{KindTemperature, "90 ℃", 90, "90", UnitCelsius, 1},
		{KindTemperature, "90 deg C", 90, "90", UnitCelsius, 1},
		{KindTemperature, "194 °F", 90, "194", UnitFahrenheit, 5. / 9},
		{KindTemperature, "-40 F", -40, "-40", UnitFahrenheit, 5. / 9},
		{KindTemperature, "363.15 K", 90, "363.15", UnitKelvin, 0.01},
		{KindTemperature, "0 K", -273.15, "0", UnitKelvin, 1},
		{KindRotationalSpeed, "3000 rpm", 3000, "3000", UnitRPM, 1},
		{KindRotationalSpeed, "3000 RPM", 3000, "3000", UnitRPM, 1},
		{KindRotationalSpeed, "3000 1/min", 3000, "3000", UnitRPM, 1},
		{KindRotationalSpeed, "3000 r/min", 3000, "3000", UnitRPM, 1},
		{KindRotationalSpeed, "3000 min⁻¹", 3000, "3000", UnitRPM, 1},
		{KindRotationalSpeed, "3\u202f000 rpm", 3000, "3000", UnitRPM, 1},
		{KindRotationalSpeed, "10 rad/s", 300 / math.Pi, "10", UnitRadianPerSecond, 30 / math.Pi},
		{KindDynamicViscosity, "8 mPa·s", 0.008, "8", UnitMillipascalSecond, 0.001},
		{KindDynamicViscosity, "8 mPas", 0.008, "8", UnitMillipascalSecond, 0.001},
		{KindDynamicViscosity, "8 cP", 0.008, "8", UnitCentipoise, 0.001},
		{KindDynamicViscosity, "0.008 Pa.s", 0.008, "0.008", UnitPascalSecond, 0.001},
		{KindKinematicViscosity, "14.5 mm²/s", 14.5, "14.5", UnitSquareMillimetrePerSecond, 0.1},
		{KindKinematicViscosity, "14.5 mm2/s", 14.5, "14.5", UnitSquareMillimetrePerSecond, 0.1},
		{KindKinematicViscosity, "14.5 mm^2/s", 14.5, "14.5", UnitSquareMillimetrePerSecond, 0.1},
		{KindKinematicViscosity, "14,5 cst", 14.5, "14.5", UnitCentistokes, 0.1},
		{KindMass, "450 g", 0.45, "450", UnitGram, 0.001},
		{KindMass, "1 lb", 0.45359237, "1", UnitPound, 0.45359237},
		{KindVolume, "7.5 l", 7.5, "7.5", UnitLitre, 0.1},
		{KindVolume, "250 mL", 0.25, "250", UnitMillilitre, 0.001},
		{KindVolume, "250 cc", 0.25, "250", UnitCubicCentimetre, 0.001},
		{KindVolume, "8 US qt", 7.570823568, "8", UnitUSQuart, 0.946352946},
		{KindHours, "0.3 h", 0.3, "0.3", UnitHour, 0.1},
		{KindHours, "5 h", 5, "5", UnitHour, 1},
		{KindHours, "20 min", 1. / 3, "20", UnitMinute, 1. / 60},
		{KindDistance, "1,000,000 km", 1e6, "1000000", UnitKilometre, 1},
		{KindDistance, "1.234.567 km", 1234567, "1234567", UnitKilometre, 1},
		{KindDistance, "100 mi", 160.9344, "100", UnitMile, 1.609344},
	} {
		r, err := Parse(c.kind, c.text, Unit{})
		if err != nil {
			t.Errorf("Parse(%s, %q): %v", c.kind, c.text, err)
			continue
		}
		if r.Value != c.value || r.Digits != c.digits || r.Unit != c.unit || r.Resolution != c.step || r.Kind != c.kind {
			t.Errorf("Parse(%s, %q) = value %v digits %q unit %s step %v, want %v %q %s %v",
				c.kind, c.text, r.Value, r.Digits, r.Unit, r.Resolution, c.value, c.digits, c.unit, c.step)
		}
		if want := strings.TrimFunc(c.text, isSpace); r.Text != want {
			t.Errorf("Parse(%s, %q) keeps the text %q, want %q", c.kind, c.text, r.Text, want)
		}
	}
}

func TestParseBareNumber(t *testing.T) {
	r, err := Parse(KindLength, "0.042", UnitMillimetre)
	if err != nil || r.Value != 0.042 || r.Unit != UnitMillimetre || r.Decimals != 3 {
		t.Errorf("0.042 taken as mm: %+v, %v", r, err)
	}
	r, err = Parse(KindLength, "1.65", UnitThou)
	if err != nil || r.Value != 0.04191 {
		t.Errorf("1.65 taken as thou: %+v, %v", r, err)
	}
	// The unit that was written counts, not the assumed one.
	r, err = Parse(KindLength, "0.042 mm", UnitInch)
	if err != nil || r.Value != 0.042 || r.Unit != UnitMillimetre {
		t.Errorf("0.042 mm with inch assumed: %+v, %v", r, err)
	}
}

// TestParseRefuses: every refusal says why, and mostly what to write.
func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		kind    Kind
		text    string
		assumed Unit
		says    []string
	}{
		{KindLength, "1,000", UnitMillimetre, []string{"1.000", "1000"}},
		{KindLength, "1,000 mm", Unit{}, []string{"1.000", "1000"}},
		{KindLength, "-12,345", UnitMillimetre, []string{"-12.345", "-12345"}},
		{KindDistance, "123,456 km", Unit{}, []string{"123.456", "123456"}},
		{KindLength, "0.042", Unit{}, []string{"unit is missing", "mm"}},
		{KindLength, "0.042", UnitDegree, []string{"unit of angle"}},
		{KindLength, "", UnitMillimetre, []string{"nothing was entered"}},
		{KindLength, " \t", UnitMillimetre, []string{"nothing was entered"}},
		{KindLength, "mm", UnitMillimetre, []string{"no number"}},
		{KindLength, "NaN", UnitMillimetre, []string{"no number"}},
		{KindLength, "Inf mm", UnitMillimetre, []string{"no number"}},
		{KindLength, "-∞", UnitMillimetre, []string{"no number"}},
		{KindLength, "1e400 mm", Unit{}, []string{"too large or too small"}},
		{KindLength, "1e-400 mm", Unit{}, []string{"too large or too small"}},
		{KindLength, "0x1p-2 mm", Unit{}, []string{"more than one number"}},
		{KindLength, "1_000 mm", Unit{}, []string{"more than one number"}},
		{KindLength, "1 000 mm", Unit{}, []string{"more than one number"}},
		{KindLength, "0.038-0.050 mm", Unit{}, []string{"more than one number"}},
		{KindLength, "0.038 – 0.050 mm", Unit{}, []string{"more than one number"}},
		{KindLength, "0.04 ± 0.01 mm", Unit{}, []string{"more than one number"}},
		{KindLength, "1/2 in", Unit{}, []string{"more than one number"}},
		{KindLength, "1 1/2 in", Unit{}, []string{"more than one number"}},
		{KindLength, "5. mm", Unit{}, []string{"missing after the decimal mark", "5"}},
		{KindLength, "1..5 mm", Unit{}, []string{"no single meaning"}},
		{KindLength, "1,00,000 mm", Unit{}, []string{"no single meaning"}},
		{KindLength, "1.00,5 mm", Unit{}, []string{"no single meaning"}},
		{KindLength, "0,042,000 mm", Unit{}, []string{"no single meaning"}},
		{KindLength, "- 5 mm", Unit{}, []string{"no number"}},
		{KindLength, "--5 mm", Unit{}, []string{"no number"}},
		{KindLength, "٤٢ mm", Unit{}, []string{"no number"}},
		{KindLength, "42 mils", Unit{}, []string{"thousandth of an inch", "millimetre"}},
		{KindLength, "42 mm*", Unit{}, []string{"not known", "mm"}},
		{KindLength, "42 mm -", Unit{}, []string{"not known", "mm"}},
		{KindLength, "42 furlongs", Unit{}, []string{"not known", "mm"}},
		{KindLength, "20 Nm", Unit{}, []string{"unit of torque"}},
		{KindTorque, "15 lb", Unit{}, []string{"lbf·ft", "lbf·in"}},
		{KindTorque, "15 LBS", Unit{}, []string{"lbf·ft", "lbf·in"}},
		{KindTorque, "2 kg-m", Unit{}, []string{"kgf·m"}},
		{KindTorque, "20 N", Unit{}, []string{"unit of force", "N·m"}},
		{KindTorque, "20 mNm", Unit{}, []string{"not known"}},
		{KindForce, "5 kg", Unit{}, []string{"mass", "kgf"}},
		{KindPressure, "80 mPa", Unit{}, []string{"milli", "MPa"}},
		{KindPressure, "80 MPA", Unit{}, []string{"milli", "MPa"}},
		{KindPressure, "3 kg/cm2", Unit{}, []string{"kgf/cm²"}},
		{KindDynamicViscosity, "8 MPa·s", Unit{}, []string{"mega", "mPa·s"}},
		{KindTemperature, "90°", Unit{}, []string{"°C", "°F"}},
		{KindTemperature, "-274 °C", Unit{}, []string{"absolute zero"}},
		{KindTemperature, "-1 K", Unit{}, []string{"absolute zero"}},
		{KindAngle, "90 Grad", Unit{}, []string{"degree", "gon"}},
		{KindVolume, "8 qt", Unit{}, []string{"US", "imp"}},
		{KindVolume, "8 gal", Unit{}, []string{"US", "imperial"}},
		{KindVolume, "8 ML", Unit{}, []string{"mL"}},
		{KindHours, "1h30", Unit{}, []string{"90 min"}},
		{KindHours, "1 h 20 min", Unit{}, []string{"80 min"}},
		{KindHours, "1:05", Unit{}, []string{"65 min"}},
		{KindHours, "30 m", Unit{}, []string{"minute", "month"}},
		{KindDistance, "85000 m", Unit{}, []string{"mile", "metre"}},
		{KindDistance, "120k", Unit{}, []string{"thousand"}},
		{KindRotationalSpeed, "30001/min", Unit{}, []string{"not known"}},
		{Kind("luck"), "5", Unit{}, []string{"not a kind"}},
		{KindLength, strings.Repeat("9", 101), UnitMillimetre, []string{"not one number"}},
		{KindLength, "42 \xffm", Unit{}, []string{"not one number"}},
	} {
		r, err := Parse(c.kind, c.text, c.assumed)
		var p *ParseError
		if !errors.As(err, &p) {
			t.Errorf("Parse(%s, %q) = %v, want a *ParseError", c.kind, c.text, r)
			continue
		}
		if r != (Read{}) || p.Kind != c.kind || p.Reason == "" {
			t.Errorf("Parse(%s, %q) = %+v, %+v", c.kind, c.text, r, p)
		}
		for _, want := range c.says {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("Parse(%s, %q): %q does not say %q", c.kind, c.text, err, want)
			}
		}
	}
}

// TestParseErrorKeepsTheText: the message names what was entered, whole.
func TestParseErrorKeepsTheText(t *testing.T) {
	_, err := Parse(KindTorque, " 15 lb ", Unit{})
	const want = `torque "15 lb": a pound alone may be lbf·ft or lbf·in; write lbf·ft or lbf·in`
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}
