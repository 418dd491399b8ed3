// SPDX-License-Identifier: Apache-2.0

package web

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"

	"witnessmark/engine"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/units"
)

// settingsView is every setting of the sheet with what was read.
type settingsView struct {
	Job     string
	Kept    string
	Problem string
	Items   []settingItem
}

// settingItem is one setting at one place.
type settingItem struct {
	job.SettingView
	Form      formView
	Name      string // of the form and the place on the page
	SetTo     string
	How       string
	Gear      string
	Around    *gearView
	Unit      string
	Source    string
	Unchecked bool
	At        string
	Tools     []toolChoice
	Wrong     string
}

func (s *server) settingsPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showSettings(q, http.StatusOK, l, "")
}

func (s *server) showSettings(q *request, status int, l *shop.Loaded, problem string) error {
	if l.Basis.Sheet == nil {
		return q.see(jobPath(l.ID) + "/sheet")
	}
	v := settingsView{Job: l.ID, Kept: q.lastKept(l), Problem: problem}
	for _, set := range l.View().Settings {
		sheet, ok := l.Basis.Sheet.Setting(set.ID)
		if !ok {
			continue
		}
		v.Items = append(v.Items, s.settingItem(q, l, set, sheet))
	}
	return q.showForm(status, l, "Settings", "Assemble", settingsBody(v))
}

func (s *server) settingItem(q *request, l *shop.Loaded, set job.SettingView, sheet engine.Setting) settingItem {
	it := settingItem{SettingView: set, Name: set.ID + "-" + strconv.Itoa(set.Position), SetTo: sheet.SetTo, How: sheet.How,
		Source: sourceOf(l.Basis.Sheet, sheet.Limit.Basis), Unchecked: !sheet.Limit.Checked}
	it.Form, it.Limit = q.oneOf(l, it.Name), sheet.Limit.In(l.Voice.Units)
	if kind, ok := quantityKinds[sheet.Limit.Quantity]; ok {
		it.Unit = unitOf(l, kind).Symbol
	}
	if set.Position != 0 {
		it.At = "position " + l.Basis.Namer()(set.Position)
	}
	if g := sheet.Gear; g != nil {
		it.Gear = fmt.Sprintf("The limit holds at the pitch circle, radius %s. What an indicator shows elsewhere is converted when it is read around the gear, below; here goes the backlash at the pitch circle.", g.PitchRadius)
	}
	it.Tools = toolChoices(l, s.today(), settingTools(sheet)...)
	it.Around = s.gearView(q, l, it, sheet)
	if g, ok := l.State.Gears[job.SettingKey{Setting: set.ID, Position: set.Position}]; ok && set.Backlash != nil {
		it.Wrong = fmt.Sprintf("%s/record/%d/correct", jobPath(l.ID), g.At.Seq)
		return it
	}
	if made, ok := l.State.Settings[job.SettingKey{Setting: set.ID, Position: set.Position}]; ok {
		it.Wrong = fmt.Sprintf("%s/record/%d/correct", jobPath(l.ID), made.At.Seq)
		if it.Form.Typed["tool"] == "" {
			it.Form.Typed["tool"] = made.Body.Tool
		}
	}
	return it
}

// quantityKinds are the quantities of a setting as package units knows them.
var quantityKinds = map[string]units.Kind{
	"length": units.KindLength, "angle": units.KindAngle, "torque": units.KindTorque, "force": units.KindForce, "pressure": units.KindPressure,
	"temperature": units.KindTemperature, "rotational speed": units.KindRotationalSpeed, "volume": units.KindVolume, "number": units.KindNumber,
}

// settingTools are the kinds of tool that read such a setting.
func settingTools(set engine.Setting) []string {
	switch set.Limit.Quantity {
	case "length":
		return []string{"dial_indicator", "feeler_gauge", "depth_gauge", "micrometer", "other"}
	case "torque", "force":
		return []string{"torque_wrench", "other"}
	case "angle":
		return []string{"angle_gauge", "other"}
	case "pressure":
		return []string{"pressure_gauge", "other"}
	}
	return []string{"other"}
}

// setting is the job and the setting of its sheet that a form is about.
func (q *request) setting() (*shop.Loaded, engine.Setting, error) {
	l, err := q.job()
	if err != nil {
		return nil, engine.Setting{}, err
	}
	if l.Basis.Sheet == nil {
		return nil, engine.Setting{}, errNotFound
	}
	set, ok := l.Basis.Sheet.Setting(q.value("setting"))
	if !ok {
		return nil, engine.Setting{}, errNotFound
	}
	return l, set, nil
}

func (s *server) keepSetting(q *request) error {
	l, set, err := q.setting()
	if err != nil {
		return err
	}
	body := job.SettingMade{Setting: set.ID, Position: q.number("position"), Tool: q.value("tool"), Remark: q.value("remark")}
	err = q.readSetting(l, set, &body)
	return q.submit(l, "setting_made", body, err, nextSetting(l, set.ID, body.Position), func(status int, problem string) error {
		return s.showSettings(q, status, l, sentenceStart(set.Title)+": "+problem)
	})
}

func (q *request) readSetting(l *shop.Loaded, set engine.Setting, body *job.SettingMade) error {
	kind, ok := quantityKinds[set.Limit.Quantity]
	if !ok {
		return fmt.Errorf("%s is a %s, which can't be entered here yet: write a note", set.Title, set.Limit.Quantity)
	}
	value, err := q.read("value", kind, unitOf(l, kind))
	if err != nil {
		return err
	}
	if value == nil {
		return errors.New("no value: write what was read")
	}
	body.Value = *value
	body.U, err = q.read("u", kind, unitOf(l, kind))
	return err
}

// nextSetting is the settings page while another one is still to be made.
func nextSetting(l *shop.Loaded, id string, position int) string {
	for _, set := range l.Assessment.Settings {
		if set.Decision == nil && (set.Setting != id || set.Position != position) {
			return jobPath(l.ID) + "/settings"
		}
	}
	return jobPath(l.ID) + "/assemble"
}
