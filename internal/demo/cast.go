// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"fmt"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/record"
	"witnessmark/sheets"
	"witnessmark/units"
)

// The people, all invented.
var (
	odda   = Member{"p-2", "Odda Brenk", job.Technician, "1042"}
	perrin = Member{"p-3", "Perrin Vask", job.Inspector, "2053"}
	tove   = Member{"p-4", "Tove Ansgarn", job.Office, "3064"}
	lio    = Member{"p-1", "Lio Marnet", job.Manager, "4075"}

	members = []Member{odda, perrin, tove, lio}
)

func (t *teller) people() {
	t.on(0, "07:30", lio)
	t.subject = record.Workshop
	for _, m := range []Member{lio, odda, perrin, tove} {
		t.do("add "+m.ID, func() error {
			return t.shop.AddPerson(t.ctx, lio.ID, shop.NewPerson{ID: m.ID, Name: m.Name, Role: m.Role, PIN: m.PIN})
		})
	}
}

// tool is one line of the register.
type tool struct {
	id, kind, title string
	// calibrated and due are days counted from the start; due 0: the tool
	// needs no calibration.
	calibrated, due int
	tolerance       float64
	resolution, u   string
	// calibrated to this expanded uncertainty, k = 2; low and high are its range.
	calU, low, high, setWith string
	measures                 []string
	graduations              []string
	batch                    string
	class, angle             string // of ISO 6789; what an angle is good to
}

var register = []tool{
	{id: "SG-1", kind: "strip_gauge", title: "Strip gauge, narrow", graduations: []string{"0.025 mm", "0.038 mm", "0.051 mm", "0.064 mm", "0.076 mm"}, batch: "INV-7"},
	{id: "MM-1", kind: "micrometer", title: "Micrometer 50 to 75 mm", calibrated: -61, due: 304, resolution: "0.001 mm", u: "0.0015 mm", calU: "0.001 mm", low: "50 mm", high: "75 mm", measures: []string{job.OfJournal}},
	{id: "BG-1", kind: "bore_gauge", title: "Bore gauge 50 to 100 mm", calibrated: -61, due: 304, resolution: "0.001 mm", u: "0.0015 mm", low: "50 mm", high: "100 mm", setWith: "MM-1", measures: []string{job.OfHousingBore, job.OfShellBore, job.OfClearance}},
	{id: "TM-1", kind: "tube_micrometer", title: "Ball-anvil micrometer for shells", calibrated: -61, due: 304, resolution: "0.001 mm", u: "0.0015 mm", calU: "0.001 mm", low: "0 mm", high: "25 mm", measures: []string{job.OfUpperWall, job.OfLowerWall}},
	{id: "DI-1", kind: "dial_indicator", title: "Dial indicator with stand", calibrated: -61, due: 304, resolution: "0.01 mm", u: "0.004 mm"},
	{id: "FG-1", kind: "feeler_gauge", title: "Feeler gauge set", u: "0.01 mm"},
	{id: "TW-1", kind: "torque_wrench", title: "Torque wrench", calibrated: -40, due: 325, tolerance: 4, class: "II A", low: "8 N·m", high: "40 N·m"},
	// Its calibration ran out between the two V8 jobs.
	{id: "TW-2", kind: "torque_wrench", title: "Torque wrench", calibrated: -345, due: 20, tolerance: 4, class: "II A", low: "8 N·m", high: "40 N·m"},
	{id: "TW-3", kind: "torque_wrench", title: "Large torque wrench", calibrated: -40, due: 325, tolerance: 4, class: "II A", low: "40 N·m", high: "200 N·m"},
	{id: "TW-4", kind: "torque_wrench", title: "Small torque wrench", calibrated: -40, due: 325, class: "II A", low: "2 N·m", high: "20 N·m"},
	{id: "AG-1", kind: "angle_gauge", title: "Angle gauge", calibrated: -40, due: 325, angle: "2°"},
	{id: "PG-1", kind: "pressure_gauge", title: "Oil pressure gauge 0 to 10 bar", calibrated: -90, due: 275, resolution: "0.1 bar"},
}

func (t *teller) tools() {
	t.on(0, "08:00", lio)
	for _, x := range register {
		t.subject = "tool/" + x.id
		t.add("tool_added", t.added(x))
		if x.due != 0 {
			c := job.ToolCalibrated{Date: t.date(x.calibrated), Due: t.date(x.due),
				By: "Gauge room Nowhere (invented)", Certificate: fmt.Sprintf("INV-%s-%d", x.id, -x.calibrated)}
			if x.calU != "" {
				c.U, c.K = t.length(x.calU), 2
			}
			t.add("tool_calibrated", c)
		}
		if len(x.measures) > 0 {
			t.add("tool_described", job.ToolDescribed{Measures: x.measures, Low: t.length(x.low), High: t.length(x.high), SetWith: x.setWith,
				Expansion: 11.5, IntervalMonths: 12})
		}
	}
}

func (t *teller) added(x tool) job.ToolAdded {
	a := job.ToolAdded{ID: x.id, Kind: x.kind, Title: x.title, Batch: x.batch, TolerancePercent: x.tolerance, NeedsCalibration: x.due != 0}
	for _, g := range x.graduations {
		a.Graduations = append(a.Graduations, *t.length(g))
	}
	if a.ISO6789 = x.class; x.class != "" {
		a.Low, a.High = t.read(units.KindTorque, x.low), t.read(units.KindTorque, x.high)
	}
	if x.angle != "" {
		a.AngleTolerance = t.read(units.KindAngle, x.angle)
	}
	if x.resolution != "" {
		kind := units.KindLength
		if x.kind == "pressure_gauge" {
			kind = units.KindPressure
		}
		a.Resolution = t.read(kind, x.resolution)
	}
	if x.u != "" {
		a.U = t.length(x.u)
	}
	return a
}

// sheets puts both engine sheets into the workshop's hands.
func (t *teller) sheets() {
	t.hashes = map[string]string{}
	for _, name := range sheets.Names() {
		t.do("engine sheet", func() error {
			sheet, err := sheets.Named(name)
			if err != nil {
				return err
			}
			info, err := t.shop.AddSheet(t.ctx, name+".yaml", sheet.Bytes())
			t.hashes[name] = info.Hash
			return err
		})
	}
}
