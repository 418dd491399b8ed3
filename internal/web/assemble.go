// SPDX-License-Identifier: Apache-2.0

package web

import (
	"fmt"
	"net/http"
	"slices"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
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
	Part      formView
	Parts     []string
	Options   []option
	Cautions  []string
}

// workRow is one piece of the work with the page where it is done.
type workRow struct {
	Title, Path, Says, State string
}

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
		Works: works(l), Part: q.oneOf(l, "part"), Parts: said(l, "part_fitted"),
		Options: positionOptions(l), Cautions: stepCautions(l, "assemble", usualAssemble...)}
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
		codes := []job.Code{job.MeasuringIn, job.StageMissing, job.StageOrder, job.WheelsFree, job.BoltReused, job.WitnessMissing}
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
	if playLimited(l) {
		rows = append(rows, work(l, "End float, side clearance", path+"/play", func(o job.Obstacle) bool { return o.Of == job.OfEndFloat || o.Of == job.OfSideClearance }))
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
