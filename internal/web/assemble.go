// SPDX-License-Identifier: Apache-2.0

package web

import (
	"fmt"
	"net/http"
	"slices"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/units"
)

// assembleView is the work list under the car: what is to be done, how far it
// is, and what still stands in the way of closing up.
type assembleView struct {
	Job       string
	Kept      string
	Problem   string
	Positions []job.PositionView
	Clamps    map[int]job.ClampPlace
	Works     []workRow
	Check     job.CheckView
	Unit      string
	EndFloat  playView
	Side      playView
	Part      formView
	Parts     []string
	Options   []option
	Cautions  []string
}

// workRow is one piece of the work with the page where it is done.
type workRow struct {
	Title, Path, Says, State string
}

// playView is the entry of an axial play with what is on record.
type playView struct {
	Form   formView
	Limit  string
	Source string
	Done   []playLine
	Tools  []toolChoice
	Hint   string
}

type playLine struct{ Words, State string }

func (s *server) assemblePage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showAssemble(q, http.StatusOK, l, "")
}

func (s *server) showAssemble(q *request, status int, l *shop.Loaded, problem string) error {
	if l.Basis.Sheet == nil {
		return q.see(jobPath(l.ID) + "/sheet")
	}
	view := l.View()
	v := assembleView{Job: l.ID, Kept: q.lastKept(l), Problem: problem, Positions: inAccessOrder(l, view.Positions), Check: view.Checks[0], Clamps: clampsAt(l),
		Works: works(l), Unit: unitOf(l, units.KindLength).Symbol, Part: q.oneOf(l, "part"), Parts: said(l, "part_fitted"),
		Options: positionOptions(l), Cautions: stepCautions(l, "assemble", usualAssemble...)}
	v.EndFloat, v.Side = s.endFloat(q, l, view), s.sidePlay(q, l, view)
	return q.showForm(status, l, "Assemble", "Assemble", assembleBody(v))
}

var usualAssemble = []string{
	"Few caps off at once. Guard the journals from the studs, push no piston up, and watch that no rod fouls anything when the crank is turned.",
	"Everything oiled before the crank is turned.",
}

// inAccessOrder puts the positions as the throws come round.
func inAccessOrder(l *shop.Loaded, all []job.PositionView) []job.PositionView {
	var out []job.PositionView
	for _, n := range l.Basis.Sheet.AccessOrder() {
		if i := slices.IndexFunc(all, func(p job.PositionView) bool { return p.Position == n }); i >= 0 {
			out = append(out, all[i])
		}
	}
	return out
}

// works are the pieces of the assembly beside the positions.
func works(l *shop.Loaded) []workRow {
	path := jobPath(l.ID)
	rod := ""
	if f, ok := l.Basis.Sheet.RodBolts(); ok {
		rod = f.ID
	}
	bolt := func(of func(string) bool) func(job.Obstacle) bool {
		codes := []job.Code{job.MeasuringIn, job.StageMissing, job.StageOrder, job.BoltReused, job.WitnessMissing}
		return func(o job.Obstacle) bool { return slices.Contains(codes, o.Code) && of(o.Of) }
	}
	codes := func(cs ...job.Code) func(job.Obstacle) bool {
		return func(o job.Obstacle) bool { return slices.Contains(cs, o.Code) }
	}
	rows := []workRow{
		work(l, "What lay in the oil, and what was done about it", path+"/debris", codes(job.DebrisNotRead, job.DebrisMetal)),
		work(l, "Rod bolts", path+"/bolts#bolts", bolt(func(of string) bool { return of == rod })),
	}
	if len(l.State.Traces) > 0 {
		rows = append(rows, work(l, "Traces of the wrench", path+"/traces", codes(job.TraceOdd)))
	}
	for _, f := range l.Basis.Sheet.Fasteners {
		if f.ID != rod {
			rows = append(rows, work(l, f.Title, path+"/bolts#fastener-"+f.ID, bolt(func(of string) bool { return of == f.ID })))
		}
	}
	if len(l.Basis.Sheet.Settings) > 0 {
		rows = append(rows, work(l, "Settings", path+"/settings", codes(job.SettingMissing, job.SettingOut, job.SettingNotProven)))
	}
	return append(rows, work(l, "The last look inside", path+"/close", codes(job.LookMissing, job.LookUnconfirmed)))
}

// work says how far a piece of work is by the obstacles that belong to it.
func work(l *shop.Loaded, title, path string, mine func(job.Obstacle) bool) workRow {
	row := workRow{Title: title, Path: path, Says: "done", State: "fits"}
	var left []job.ObstacleView
	for _, o := range l.Assessment.Obstacles {
		if mine(o) && o.Conceded == nil {
			left = append(left, l.Words(o))
		}
	}
	switch len(left) {
	case 0:
		return row
	case 1:
		row.Says = left[0].What
	default:
		row.Says = fmt.Sprintf("%d things left", len(left))
	}
	row.State = "todo"
	for _, state := range []string{"unproven", "out"} {
		if slices.ContainsFunc(left, func(o job.ObstacleView) bool { return o.State == state }) {
			row.State = state
		}
	}
	return row
}

// endFloat is the crankshaft's axial play.
func (s *server) endFloat(q *request, l *shop.Loaded, view job.View) playView {
	v := playView{Form: q.oneOf(l, "end_float"), Tools: toolChoices(l, s.today(), "dial_indicator", "feeler_gauge")}
	b := l.Basis.Sheet.EndFloat.Bounds()
	if b.Given() {
		v.Limit, v.Source = b.In(l.Voice.Units), sourceOf(l.Basis.Sheet, b.Basis)
	}
	if e := view.EndFloat; e != nil {
		v.Done = append(v.Done, playLine{e.WithUnit + ": " + e.Verdict.Word + ". " + e.Why, e.Verdict.State})
	}
	return v
}

// sidePlay is the axial play of the rods.
func (s *server) sidePlay(q *request, l *shop.Loaded, view job.View) playView {
	v := playView{Form: q.oneOf(l, "side_clearance"), Tools: toolChoices(l, s.today(), "feeler_gauge", "dial_indicator")}
	side := l.Basis.Sheet.SideClearance
	b := side.Limit.Bounds()
	if b.Given() {
		v.Limit, v.Source = b.In(l.Voice.Units), sourceOf(l.Basis.Sheet, b.Basis)
	}
	if side.Per == "throw" {
		var pairs []string
		for _, t := range l.Basis.Sheet.Throws() {
			if len(t) > 1 {
				pairs = append(pairs, strings.Trim(strings.Join(strings.Fields(fmt.Sprint(t)), " and "), "[]"))
			}
		}
		v.Hint = "The rods of a throw are measured together; enter it once, at the first position of the throw: " + strings.Join(pairs, ", ") + "."
	}
	for _, p := range view.Positions {
		if p.Side != nil {
			v.Done = append(v.Done, playLine{"Position " + p.Name + ": " + p.Side.WithUnit + ", " + p.Side.Verdict.Word, p.Side.Verdict.State})
		}
	}
	return v
}

func (s *server) keepPartFitted(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	n, err := amount(q.value("quantity"))
	body := job.PartFitted{Part: q.value("number"), Title: q.value("title"), Batch: q.value("batch"), Quantity: n, Position: q.number("position")}
	return q.submit(l, "part_fitted", body, err, jobPath(l.ID)+"/assemble", func(status int, problem string) error {
		return s.showAssemble(q, status, l, problem)
	})
}
