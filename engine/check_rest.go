// SPDX-License-Identifier: Apache-2.0

package engine

import (
	"fmt"
	"math"
	"regexp"
	"slices"

	"witnessmark/units"
)

func (d *decoder) checkSetting(s *Sheet, x Setting) {
	at := "settings." + x.ID
	d.oneOf(at+".kind", x.Kind, "backlash", "chain_slack", "thrust", "sensor", "pump", "other")
	for i, n := range x.Positions {
		if _, ok := s.Position(n); !ok {
			d.problemAt(fmt.Sprintf("%s.positions.%d", at, i+1), fmt.Sprintf("there is no position %d", n), "write numbers of positions")
		}
	}
	g := x.Gear
	if g == nil {
		return
	}
	at += ".gear"
	d.oneOf(at+".measured", g.Measured, "transverse", "normal", "axial")
	positive(d, g.ReadRadius, g.PitchRadius)
	positive(d, g.PressureAngle)
	if (g.Measured == "" || g.Measured == "transverse") && !g.ReadRadius.Given() {
		d.problemAt(at, "backlash read along the turn has no read_radius", "add the radius at which the indicator stands")
	}
	if g.Measured == "axial" && !(math.Abs(float64(g.Helix.V)) > 0) {
		d.problemAt(at, "backlash read along the shaft has no helix", "add the helix angle")
	}
	if g.Measured == "normal" && !g.PressureAngle.Given() {
		d.problemAt(at, "backlash read square to the tooth has no pressure_angle", "add the pressure angle")
	}
	for _, a := range []struct {
		path, text string
		v          float64
	}{
		{g.PressureAngle.Path, g.PressureAngle.Text, float64(g.PressureAngle.V)},
		{g.Helix.Path, g.Helix.Text, float64(g.Helix.V)},
	} {
		if math.Abs(a.v) >= 80 {
			d.problemAt(a.path, last(a.path)+" is "+a.text, "write less than 80°")
		}
	}
}

// oilGrade is the form of a grade: SAE J300 multigrade or single grade, or
// ISO 3448.
var oilGrade = regexp.MustCompile(`^([0-9]{1,2}W-[0-9]{1,2}|SAE [0-9]{1,2}W?|VG [0-9]{1,4})$`)

func (d *decoder) checkOil(o Oil) {
	if len(o.Allowed) == 0 && d.has("oil.allowed") {
		d.problemAt("oil.allowed", "no oil is allowed", "write at least one")
	}
	for i, g := range o.Allowed {
		at := fmt.Sprintf("oil.allowed.%d", i+1)
		if g.Grade != "" && !oilGrade.MatchString(g.Grade) {
			d.problemAt(at+".grade", fmt.Sprintf("%q is not a grade", g.Grade), "write it like 5W-40, SAE 30 or VG 46")
		}
		positive(d, g.V40, g.V100)
		positive(d, g.HTHS)
		positive(d, g.Density)
		if g.V40.Given() && g.V100.Given() && g.V100.V >= g.V40.V {
			d.problemAt(g.V100.Path, fmt.Sprintf("v100, %s, is not below v40, %s", g.V100, g.V40), "an oil gets thinner with heat: correct one of them")
		}
	}
	positiveSize(d, o.Capacity)
}

func (d *decoder) checkDuty(u Duty) {
	d.oneOf("duty.cycle", u.Cycle, "four_stroke", "two_stroke")
	positive(d, u.Bore, u.Stroke, u.RodLength)
	positive(d, u.Idle, u.RatedSpeed, u.OverSpeed, u.WarmUpSpeed)
	positive(d, u.PeakPressure, u.MeanPressure, u.Intake, u.Exhaust)
	positive(d, u.Reciprocating, u.Rotating, u.Cap)
	if u.RodLength.Given() && float64(u.RodLength.V) <= float64(u.Stroke.V)/2 {
		d.problemAt("duty.rod_length", fmt.Sprintf("rod_length, %s, is not above half of the stroke, %s", u.RodLength, u.Stroke), "correct one of them")
	}
	if u.OverSpeed.Given() && u.OverSpeed.V < u.RatedSpeed.V {
		d.problemAt("duty.over_speed", fmt.Sprintf("over_speed, %s, is below rated_speed, %s", u.OverSpeed, u.RatedSpeed), "correct one of them")
	}
	if u.Cap.Given() && u.Rotating.Given() && u.Cap.V > u.Rotating.V {
		d.problemAt("duty.cap_mass", fmt.Sprintf("cap_mass, %s, is above rotating_mass, %s, of which it is a part", u.Cap, u.Rotating), "correct one of them")
	}
	d.checkGas(u)
	if u.PeakPressure.Given() && u.MeanPressure.Given() {
		d.problemAt("duty.mean_effective_pressure", "the duty has both peak_pressure and mean_effective_pressure", "keep the one that the source gives")
	}
	if u.Compression.Given() && u.Compression.V <= 1 {
		d.problemAt("duty.compression_ratio", "compression_ratio is "+u.Compression.Text, "write a number above 1")
	}
}

// checkGas holds a measured cycle to its order and its end.
func (d *decoder) checkGas(u Duty) {
	positive(d, u.BurnDuration, u.PortOpen)
	rows := u.Pressures
	if len(rows) == 0 {
		return
	}
	const at = "duty.pressure_cycle"
	if u.PeakPressure.Given() || u.MeanPressure.Given() {
		d.problemAt(at, "the duty has pressure_cycle and a peak_pressure or mean_effective_pressure", "keep the one that the source gives")
	}
	full := units.Angle(720)
	if u.Cycle == "two_stroke" {
		full = 360
	}
	for i, r := range rows {
		positive(d, r.Pressure)
		if i > 0 && r.Angle.Given() && r.Angle.V <= rows[i-1].Angle.V {
			d.problemAt(r.Angle.Path, fmt.Sprintf("angle %s is not above the row before, %s", r.Angle, rows[i-1].Angle), "put the rows in order")
		}
	}
	first, last := rows[0], rows[len(rows)-1]
	if len(rows) < 4 || first.Angle.V != 0 || last.Angle.V != full {
		d.problemAt(at, fmt.Sprintf("%d rows from %s to %s", len(rows), first.Angle, last.Angle), fmt.Sprintf("write at least 4 rows from 0° to %g°", float64(full)))
	} else if first.Pressure.V != last.Pressure.V {
		d.problemAt(at, fmt.Sprintf("the first row has %s, the last %s", first.Pressure, last.Pressure), "let the last row repeat the first")
	}
}

func (d *decoder) checkRun(s *Sheet) {
	r := s.Run
	notNegative(d, r.Priming)
	for _, p := range slices.Concat(r.PressureCold, r.PressureHot) {
		notNegative(d, p.Limit)
		positive(d, p.Speed)
	}
	if n := float64(r.HeatCycles.V); n != math.Trunc(n) || n < 0 || n > 20 {
		d.problemAt("run.heat_cycles", "heat_cycles is "+r.HeatCycles.Text, "write a whole number from 0 to 20")
	}
	if r.WarmTo.Given() && r.CoolTo.Given() && r.CoolTo.V >= r.WarmTo.V {
		d.problemAt("run.cool_to", fmt.Sprintf("cool_to, %s, is not below warm_to, %s", r.CoolTo, r.WarmTo), "correct one of them")
	}
	for i, c := range s.Cautions {
		d.oneOf(fmt.Sprintf("cautions.%d.at", i+1), c.At, "strip", "measure", "assemble", "run", "handover")
	}
	for _, p := range s.PhotosWanted {
		at := "photos_wanted." + p.ID
		d.oneOf(at+".of", p.Of, "wear", "journal", "debris", "shell_fitted", "arrival", "operation", "witness_mark", "note")
		d.oneOf(at+".each", p.Each, "position", "shell", "engine")
		d.oneOf(at+".phase", p.Phase, "as_found", "as_fitted")
		d.oneOf(at+".before", p.Before, "close_up", "start", "handover")
	}
}
