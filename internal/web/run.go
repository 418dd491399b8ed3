// SPDX-License-Identifier: Apache-2.0

package web

import (
	"fmt"
	"net/http"
	"strings"

	"witnessmark/engine"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/units"
)

// runView is the first start in steps, with the sheet's limits.
type runView struct {
	Job      string
	Kept     string
	Problem  string
	Check    job.CheckView // what stands in the way of starting
	Steps    []runStepView
	Notes    []string
	Cautions []string
	Ready    bool
	Cures    []job.CureView
	OilWaits bool
}

// runStepView is one step, or one pressure of it.
type runStepView struct {
	Form     formView
	Step     string
	Point    string
	Title    string
	Wants    string // the sheet's limit in words
	Source   string
	Cautions []string
	Unit     string // of the value; empty when the step has none
	Yes, No  string // words of the buttons
	Done     []string
	State    string // of the step: fits, out or todo
	Left     string // what is still missing of it
	After    []option
	Now      bool // the step that comes next
	Waits    bool // for what still cures
}

// usualRun are the cautions of a first start in any engine.
var usualRun = []string{
	"An extinguisher at hand, the exhaust led outside, nobody in line with belts or fan.",
	"Hot oil and hot parts from here on. Look for leaks with a lamp, not with a hand.",
}

func (s *server) runPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showRun(q, http.StatusOK, l, "")
}

func (s *server) showRun(q *request, status int, l *shop.Loaded, problem string) error {
	view := l.View()
	v := runView{Job: l.ID, Kept: q.lastKept(l), Problem: problem, Check: view.Checks[1], Ready: l.Assessment.CloseUp,
		Cautions: stepCautions(l, "run", usualRun...)}
	for _, step := range job.RunSteps {
		v.Steps = append(v.Steps, runSteps(q, l, step)...)
	}
	v.Cures = job.CureClock(l.State, l.Basis, l.Voice, s.shop.Now())
	v.OilWaits = job.OilWaits(l.State, v.Cures)
	next := true
	for i, st := range v.Steps {
		v.Steps[i].Waits = v.OilWaits && st.Step == job.StepPrime
		v.Steps[i].Now = next && st.State != "fits"
		next = next && st.State == "fits"
	}
	if l.Basis.Sheet != nil {
		v.Notes = l.Basis.Sheet.Run.Notes
	}
	return q.showForm(status, l, "Run", "Run", runBody(v))
}

// runSteps is a step, once for each of the pressures that the sheet wants.
func runSteps(q *request, l *shop.Loaded, step string) []runStepView {
	points := pressurePoints(l, step)
	if len(points) == 0 {
		return []runStepView{runStep(q, l, step, nil)}
	}
	var out []runStepView
	for i := range points {
		out = append(out, runStep(q, l, step, &points[i]))
	}
	return out
}

func pressurePoints(l *shop.Loaded, step string) []engine.OilPressure {
	switch {
	case l.Basis.Sheet == nil:
		return nil
	case step == job.StepPressureCold:
		return l.Basis.Sheet.Run.PressureCold
	case step == job.StepPressureHot:
		return l.Basis.Sheet.Run.PressureHot
	}
	return nil
}

func runStep(q *request, l *shop.Loaded, step string, point *engine.OilPressure) runStepView {
	v := runStepView{Step: step, Title: runTitles[step], Yes: "In order", No: "Not in order", State: "todo"}
	if words, ok := runButtons[step]; ok {
		v.Yes, v.No = words[0], words[1]
	}
	if step == job.StepPrime || step == job.StepPressureCold || step == job.StepPressureHot {
		v.Unit = unitOf(l, units.KindPressure).Symbol
	}
	if point != nil {
		v.Point = point.ID
		v.Title += " at " + point.Speed.String()
		if point.Temperature.Given() {
			v.Title += ", oil at " + point.Temperature.String()
		}
	}
	v.Form = q.oneOf(l, step+"-"+v.Point)
	v.wants(l, point)
	v.done(l, point)
	if step == job.StepLevel {
		v.After = levelsAfter(l)
	}
	return v
}

var runTitles = map[string]string{
	job.StepPrime: "Prime, with starting disabled", job.StepFirstStart: "First start", job.StepPressureCold: "Oil pressure cold",
	job.StepPressureHot: "Oil pressure hot", job.StepHeatCycle: "Heat cycle", job.StepLeakCheck: "Look for leaks", job.StepLevel: "Oil level",
}

var runButtons = map[string][2]string{
	job.StepPrime:      {"Pressure is there", "No pressure"},
	job.StepFirstStart: {"It ran, pressure came", "Stopped it"},
	job.StepHeatCycle:  {"Warmed and cooled", "Broke it off"},
	job.StepLeakCheck:  {"Dry", "It leaks"},
	job.StepLevel:      {"Level is right", "Level is wrong"},
}

// wants says what the sheet asks of the step.
func (v *runStepView) wants(l *shop.Loaded, point *engine.OilPressure) {
	sheet := l.Basis.Sheet
	if sheet == nil {
		return
	}
	run := sheet.Run
	limit := func(b engine.Bounds) {
		if b.Given() {
			v.Wants, v.Source = b.In(l.Voice.Units), sourceOf(sheet, b.Basis)
		}
	}
	switch v.Step {
	case job.StepPrime:
		limit(run.Priming.Bounds())
		v.Cautions = []string{"Starting is disabled until the gauge shows pressure: ignition or fuel off, so that it can’t fire."}
		if run.PrimingTime.Given() {
			v.Cautions = append(v.Cautions, "At the starter for at most "+run.PrimingTime.String()+" at a time; then let it cool.")
		}
	case job.StepFirstStart:
		after := "a few seconds"
		if run.StopAfter.Given() {
			after, v.Source = run.StopAfter.String(), sourceOf(sheet, run.StopAfter.Basis)
			v.Wants = "pressure within " + after
		}
		v.Cautions = []string{"Eyes on the gauge. Without oil pressure after " + after + ": stop the engine at once, and do not try again before it is known why."}
	case job.StepPressureCold, job.StepPressureHot:
		if point != nil {
			limit(point.Limit.Bounds())
		}
	case job.StepHeatCycle:
		v.heat(sheet)
	case job.StepLevel:
		v.Wants = sheet.Oil.Level
		if sheet.Oil.Capacity.Given() {
			v.Source = strings.TrimSpace("Capacity " + sheet.Oil.Capacity.String())
		}
	}
}

func (v *runStepView) heat(sheet *engine.Sheet) {
	run := sheet.Run
	if run.HeatCycles.Given() {
		v.Wants, v.Source = fmt.Sprintf("%d in all", int(run.HeatCycles.V)), sourceOf(sheet, run.HeatCycles.Basis)
	}
	if run.WarmTo.Given() {
		v.Wants += ", up to " + run.WarmTo.String()
	}
	if run.CoolTo.Given() {
		v.Wants += ", down to " + run.CoolTo.String()
	}
	v.Wants = strings.TrimPrefix(v.Wants, ", ")
	if run.LoadFrom.Given() {
		v.Cautions = []string{"No load below " + run.LoadFrom.String() + " of oil."}
	}
}

// done is what is on record of the step, and what is still missing.
func (v *runStepView) done(l *shop.Loaded, point *engine.OilPressure) {
	ok := false
	for _, r := range l.State.Run {
		first := point != nil && r.Body.Point == "" && pressurePoints(l, v.Step)[0].ID == point.ID
		if r.Body.Step != v.Step || r.Body.Point != v.Point && !first {
			continue
		}
		v.Done = append(v.Done, saidAt(l, r.At.Seq))
		ok = r.Body.OK
	}
	if len(v.Done) > 0 {
		v.State = map[bool]string{true: "fits", false: "out"}[ok]
	}
	for _, o := range l.Assessment.Obstacles {
		if o.Of != v.Step || o.Conceded != nil || o.Code != job.RunMissing && o.Code != job.RunFailed && o.Code != job.RunOut {
			continue
		}
		// A pressure out of its limits is said by its own point.
		if o.Code == job.RunOut && len(o.RestsOn) > 0 && !v.restsOn(l, o.RestsOn) {
			continue
		}
		w := l.Words(o)
		if len(v.Done) > 0 {
			v.Left, v.State = w.What+" "+w.How, w.State
		}
	}
}

// restsOn reports whether an entry named is about this very point.
func (v *runStepView) restsOn(l *shop.Loaded, seqs []int64) bool {
	for _, r := range l.State.Run {
		for _, seq := range seqs {
			if r.At.Seq == seq && r.Body.Step == v.Step && (r.Body.Point == v.Point || r.Body.Point == "") {
				return true
			}
		}
	}
	return false
}

// levelsAfter are the moments after which a level is read.
func levelsAfter(l *shop.Loaded) []option {
	out := []option{{"priming", "priming"}, {"first start", "the first start"}}
	cycles := 1
	if l.Basis.Sheet != nil && l.Basis.Sheet.Run.HeatCycles.Given() {
		cycles = int(l.Basis.Sheet.Run.HeatCycles.V)
	}
	for i := range max(cycles, 1) {
		w := fmt.Sprintf("heat cycle %d", i+1)
		out = append(out, option{w, w})
	}
	return out
}

func (s *server) keepRun(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	body := job.RunStep{Step: q.value("step"), OK: q.value("ok") == "yes", Point: q.value("point"), After: q.value("after"), Remark: q.value("remark")}
	body.Value, err = q.read("value", units.KindPressure, unitOf(l, units.KindPressure))
	return q.submit(l, "run_step", body, err, jobPath(l.ID)+"/run", func(status int, problem string) error {
		return s.showRun(q, status, l, problem)
	})
}
