// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"slices"
	"strconv"

	"witnessmark/internal/job"
	"witnessmark/units"
)

// off takes things off, in order.
func (t *teller) off(titles ...[2]string) {
	for _, o := range titles {
		t.add("operation_done", job.OperationDone{Operation: o[0], Title: o[1], Direction: "strip"})
	}
}

var (
	undertray = [2]string{"undertray", "undertray"}
	oilOut    = [2]string{"oil_drained", "oil drained, filter out"}
	subframe  = [2]string{"subframe", "subframe, engine carried from above"}
	sump      = [2]string{"sump", "sump"}
	pickup    = [2]string{"pickup", "oil pick-up and windage tray"}
)

func (t *teller) arrival(a job.Arrival, odometer, pressure string) {
	a.Odometer = t.read(units.KindDistance, odometer)
	if pressure != "" {
		a.OilPressureHot = t.read(units.KindPressure, pressure)
	}
	t.add("arrival", a)
}

// debris looks into filter and sump.
func (t *teller) debris(filter, sump job.DebrisFound) {
	filter.Place, sump.Place = "filter", "sump"
	filter.Photos = t.photo(pleats{slices.Contains(filter.Kinds, "copper"), true}, "Oil filter, pleats laid open")
	if slices.Contains(sump.Kinds, "grey_overlay") {
		sump.Photos = t.photo(magnet{}, "Magnet of the drain plug, from the sump")
	}
	t.add("debris_found", filter)
	t.add("debris_found", sump)
}

func (t *teller) dealt(how string, parts ...string) {
	for _, p := range parts {
		t.add("debris_dealt", job.DebrisDealt{Part: p, How: how})
	}
}

// tighten takes every bolt of one fastener through its stages.
func (t *teller) tighten(fastener, wrench string, stages ...string) {
	for _, s := range stages {
		with := wrench
		if s == "turn" {
			with = "AG-1"
		}
		t.add("stage_done", job.StageDone{Fastener: fastener, Tightening: job.Final, Stage: s, Set: "new", Tool: with,
			Bolts: []job.BoltAt{{Bolt: job.AllBolts}}})
	}
}

// wheels says that the car stands on its wheels, or is lifted again.
func (t *teller) wheels(loaded bool, remark string) {
	t.add("wheels_loaded", job.WheelsLoaded{Loaded: &loaded, Remark: remark})
}

func (t *teller) setting(id, value, with string) {
	t.add("setting_made", job.SettingMade{Setting: id, Value: *t.length(value), Tool: with})
}

// around reads the backlash of a gear evenly around it, in mm.
func (t *teller) around(id, with, u string, readings ...string) {
	g := job.GearRead{Setting: id, Tool: with, U: t.length(u)}
	for i, r := range readings {
		angle := t.read(units.KindAngle, strconv.Itoa(360*i/len(readings))+"°")
		g.Readings = append(g.Readings, job.GearPlace{Angle: *angle, Value: *t.length(r + " mm")})
	}
	t.add("gear_read", g)
}

func (t *teller) run(s job.RunStep, pressure string) {
	s.OK = true
	if pressure != "" {
		s.Value = t.read(units.KindPressure, pressure)
	}
	t.add("run_step", s)
}
