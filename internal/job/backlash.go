// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"strings"

	"witnessmark/engine"
	"witnessmark/mesh"
	"witnessmark/metrology"
	"witnessmark/units"
)

// Backlash is what readings around a gear come to: mm in the transverse plane
// at the pitch circle, as the command backlash prints it.
type Backlash struct {
	Min             float64           `json:"min_mm"`
	Mean            float64           `json:"mean_mm"`
	Max             float64           `json:"max_mm"`
	NormalMean      float64           `json:"normal_mean_mm"`
	RunoutAmplitude *float64          `json:"runout_amplitude_mm"`
	RunoutAngle     *float64          `json:"runout_angle_deg"`
	Verdict         metrology.Verdict `json:"verdict"`
	CentreChange    *float64          `json:"centre_change_mm"`
	Readings        int               `json:"readings"`
	// U is the standard uncertainty of one reading; Assumed says that none was
	// given and zero was taken.
	U       float64 `json:"u_mm"`
	Assumed bool    `json:"u_not_given"`
	// Measured and ReadRadius are how the indicator stood.
	Measured   mesh.Direction `json:"measured"`
	ReadRadius float64        `json:"read_radius_mm,omitempty"`
	// NoCentre says that the least is below and the greatest above the limits.
	NoCentre bool `json:"no_centre_brings_both_within,omitempty"`
}

// NewBacklash puts together what was measured around a gear and what was
// decided of its least and greatest reading. Too tight comes first: gears run
// hot and grow. The change of the centres needs both limits.
func NewBacklash(m mesh.Result, setup mesh.Setup, l metrology.Limits, least, greatest metrology.Verdict) Backlash {
	b := Backlash{Min: m.Min, Mean: m.Mean, Max: m.Max, NormalMean: m.NormalMean, Verdict: metrology.Worst(least, greatest),
		Measured: setup.Measured, ReadRadius: setup.ReadRadius,
		NoCentre:        least == metrology.Below && greatest == metrology.Above,
		RunoutAmplitude: orNil(m.RunoutAmplitude), RunoutAngle: orNil(m.RunoutAngle)}
	if _, both := l.Middle(); both {
		change := m.ToMiddle(setup, l.Min, l.Max)
		b.CentreChange = &change
	}
	return b
}

// gear decides a setting by readings around its gear.
func (a *assessor) gear(set engine.Setting, g Noted[GearRead], out *SettingAssessment) error {
	setup, err := gearSetup(set, g.Body)
	if err != nil {
		return err
	}
	var readings []mesh.Reading
	for _, r := range g.Body.Readings {
		readings = append(readings, mesh.Reading{Angle: r.Angle.Value, Value: r.Value.Value})
	}
	m, err := mesh.Measure(setup, readings)
	if err != nil {
		return err
	}
	u := orZero(mmOf(g.Body.U))
	least := decision(metrology.Measurement{Value: m.Min, U: u * m.Scale}, set.Limit.Bounds, a.b)
	greatest := decision(metrology.Measurement{Value: m.Max, U: u * m.Scale}, set.Limit.Bounds, a.b)
	lo, hi := set.Limit.Range()
	b := NewBacklash(m, setup, metrology.Limits{Min: lo, Max: hi}, least.Verdict, greatest.Verdict)
	b.Readings, b.U, b.Assumed = len(readings), u, g.Body.U == nil
	d := least
	if greatest.Verdict == b.Verdict && least.Verdict != b.Verdict {
		d = greatest
	}
	out.Backlash, out.Decision, out.Value, out.Entry = &b, &d, &b.Mean, g.At.Seq
	out.Text = number(b.Min, 3) + " to " + number(b.Max, 3) + " mm"
	return nil
}

var errNoGear = errors.New("the engine sheet names no gear for it, so that readings around it can’t be brought to the pitch circle")

// gearSetup is the gear of the sheet with the indicator as it stood.
func gearSetup(set engine.Setting, b GearRead) (mesh.Setup, error) {
	if set.Gear == nil || set.Limit.Quantity != string(units.KindLength) {
		return mesh.Setup{}, errNoGear
	}
	g := set.Gear
	s := mesh.Setup{PitchRadius: g.PitchRadius.V.MM(), ReadRadius: g.ReadRadius.V.MM(), PressureAngle: g.PressureAngle.V.Degrees(), Helix: g.Helix.V.Degrees()}
	if b.ReadRadius != nil {
		s.ReadRadius = b.ReadRadius.Value
	}
	measured := b.Measured
	if measured == "" {
		measured = g.Measured
	}
	var err error
	s.Measured, err = mesh.ParseDirection(measured)
	if err == nil {
		err = s.Check()
	}
	return s, err
}

// BacklashView is readings around a gear in words.
type BacklashView struct {
	Range, Mean, Normal, Runout, Centre string
	Verdict                             WordView
	How                                 string // how the indicator stood
	Notes                               []string
	Readings                            int
	Line                                string // all of it in one line, for a table
}

func (v *shower) backlash(b Backlash, verdict WordView) *BacklashView {
	out := &BacklashView{Range: number(b.Min, 3) + " to " + number(b.Max, 3) + " mm", Mean: number(b.Mean, 3) + " mm", Normal: number(b.NormalMean, 3) + " mm",
		Verdict: verdict, Readings: b.Readings, Runout: "needs readings at three different angles", Centre: "—"}
	out.How = count(b.Readings, "reading", "readings") + ", " + string(b.Measured)
	if b.Measured == mesh.Transverse {
		out.How += " at radius " + strings.TrimRight(strings.TrimRight(number(b.ReadRadius, 2), "0"), ".") + " mm"
	}
	out.How += ", brought to the pitch circle"
	if b.RunoutAmplitude != nil {
		out.Runout = "±" + number(*b.RunoutAmplitude, 3) + " mm, greatest at " + number(*b.RunoutAngle, 0) + "°"
	}
	if c := b.CentreChange; c != nil {
		word := " apart"
		if *c < 0 {
			word = " together"
		}
		out.Centre = number(abs(*c), 3) + " mm" + word
	}
	out.Line = "Mean " + out.Mean + ", " + out.Normal + " square to the flank; run-out " + out.Runout + "; to the middle, centres " + out.Centre + ". " + sentence(out.How)
	if b.Assumed {
		out.Notes = append(out.Notes, "No uncertainty of a reading was given; it is taken as zero.")
	}
	if b.NoCentre {
		out.Notes = append(out.Notes, "The least is below and the greatest above the limits: no setting of the centres brings both within. Look for run-out.")
	}
	return out
}
