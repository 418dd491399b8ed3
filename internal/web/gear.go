// SPDX-License-Identifier: Apache-2.0

package web

import (
	"errors"
	"fmt"
	"strconv"

	"witnessmark/engine"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/units"
)

// gearView is the entry of readings around a gear.
type gearView struct {
	Form   formView
	Facts  string // what the sheet says of the gear
	Source string
	Lacks  string // why nothing can be computed
	Rows   []gearRow
	Around int // how many places
	Other  int // how many the link offers instead
	Unit   string
	Ways   []option
	Radius string // as the sheet has it
	Open   bool   // it is being filled in
}

// gearRow is one place around the gear.
type gearRow struct {
	N     string
	Angle string // as typed, else evenly around
}

// Places around a gear: eight, or twelve.
const gearFew, gearMany = 8, 12

func (s *server) gearView(q *request, l *shop.Loaded, it settingItem, set engine.Setting) *gearView {
	g := set.Gear
	if g == nil {
		return nil
	}
	v := &gearView{Form: q.oneOf(l, "gear-"+it.Name), Source: sourceOf(l.Basis.Sheet, set.Basis), Around: gearFew, Other: gearMany, Unit: unitOf(l, units.KindLength).Symbol,
		Radius: g.ReadRadius.String(), Ways: []option{{"transverse", "along the arc"}, {"normal", "square to the flank"}, {"axial", "along the axis"}}}
	if q.value("around") == strconv.Itoa(gearMany) {
		v.Around, v.Other = gearMany, gearFew
	}
	v.Open = q.value("around") != ""
	v.Facts = "Gear: " + gearFacts(g) + "."
	if !g.PressureAngle.Given() {
		v.Lacks = "The engine sheet has no pressure angle for this gear. Without it, enter the backlash at the pitch circle above."
	}
	if v.Form.Typed["measured"] == "" {
		v.Form.Typed["measured"] = g.Measured
	}
	for i := range v.Around {
		row := gearRow{N: strconv.Itoa(i), Angle: v.Form.Typed["angle_"+strconv.Itoa(i)]}
		if row.Angle == "" {
			row.Angle = strconv.Itoa(360*i/v.Around) + "°"
		}
		v.Rows = append(v.Rows, row)
	}
	return v
}

// gearFacts is what the sheet says of a gear.
func gearFacts(g *engine.Gear) string {
	w := "pitch radius " + g.PitchRadius.String()
	if g.PressureAngle.Given() {
		w += ", pressure angle " + g.PressureAngle.String() + " in the normal plane"
	}
	if g.Helix.Given() {
		w += ", helix " + g.Helix.String()
	}
	if g.Teeth > 0 {
		w += ", " + strconv.Itoa(g.Teeth) + " teeth"
	}
	if g.ReadRadius.Given() {
		w += "; read at radius " + g.ReadRadius.String()
	}
	return w
}

// keepGear keeps readings around a gear.
func (s *server) keepGear(q *request) error {
	l, set, err := q.setting()
	if err != nil {
		return err
	}
	if set.Gear == nil {
		return errNotFound
	}
	body, at, err := q.gearRead(l, set)
	next := jobPath(l.ID) + "/settings#" + set.ID + "-" + strconv.Itoa(body.Position)
	return q.submit(l, "gear_read", body, err, next, func(status int, problem string) error {
		return s.showSettings(q, status, l, sentenceStart(set.Title)+at+": "+problem)
	})
}

// gearRead is the form; at names the reading that can’t be understood.
func (q *request) gearRead(l *shop.Loaded, set engine.Setting) (body job.GearRead, at string, err error) {
	body = job.GearRead{Setting: set.ID, Position: q.number("position"), Tool: q.value("tool"), Remark: q.value("remark")}
	if m := q.value("measured"); m != set.Gear.Measured {
		body.Measured = m
	}
	length := unitOf(l, units.KindLength)
	for i := range gearMany {
		n := strconv.Itoa(i)
		value, err := q.read("reading_"+n, units.KindLength, length)
		if err != nil {
			return body, fmt.Sprintf(", reading %d", i+1), err
		}
		angle, angleErr := q.read("angle_"+n, units.KindAngle, units.UnitDegree)
		if value == nil {
			continue // a place that was not read
		}
		if angleErr != nil {
			return body, fmt.Sprintf(", angle of reading %d", i+1), angleErr
		}
		if angle == nil {
			return body, "", fmt.Errorf("reading %d: no angle: write where on the gear %s was read", i+1, value.Text)
		}
		body.Readings = append(body.Readings, job.GearPlace{Angle: *angle, Value: *value})
	}
	var radiusErr error
	body.ReadRadius, radiusErr = q.read("read_radius", units.KindLength, length)
	body.U, err = q.read("u", units.KindLength, length)
	return body, "", errors.Join(radiusErr, err)
}
