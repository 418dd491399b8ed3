// SPDX-License-Identifier: Apache-2.0

package web

import (
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/units"
)

// measureView is the grid for one part of one position.
type measureView struct {
	formView
	Position   job.PositionView
	Prev, Next int
	Of, Title  string
	Tabs       []partTab
	Planes     []string // columns; one without a name for a wall
	Rows       []gridRow
	Hint       string
	Bore       bool
	Gauges     []option
	Unit       string
	Doubts     []string // what is questioned before it counts
	Result     *job.MeasuredView
	Go         *partTab // the part that comes next
	Rough      roughView
}

// partTab leads to one part's grid.
type partTab struct {
	Of, Title  string
	Done, Here bool
}

// gridRow is one angle, or one repeat, across the planes.
type gridRow struct {
	Label, Note string
	Cells       []gridCell
}

type gridCell struct{ Name, Label, Value string }

// grid is where a kind of part is read.
type grid struct {
	planes []string
	angles []string // "" where the part has none
	labels []string
	notes  []string
	hint   string
}

var (
	journalGrid = grid{planes: job.Planes, angles: []string{"0", "45", "90", "135"}, labels: []string{"0°", "45°", "90°", "135°"},
		notes: []string{"in line with the throw", "", "across the throw", ""},
		hint:  "Two planes and three directions at least; clear of oil hole and fillets. The middle may stay empty."}
	boreGrid = grid{planes: job.Planes, angles: []string{"0", "60", "120"}, labels: []string{"0°", "60°", "120°"},
		notes: []string{"in line with the rod", "one side of the parting line", "the other side of it"},
		hint:  "Cap on, bolts through their full torque and angle. Never across the parting line itself."}
	wallGrid = grid{planes: []string{""}, angles: []string{"", "", ""}, labels: []string{"1st", "2nd", "3rd"}, notes: []string{"", "", ""},
		hint: "At the crown, the middle of the shell; the ball of the gauge on the inside. Repeats count together."}
	grids = map[string]grid{job.OfJournal: journalGrid, job.OfHousingBore: boreGrid, job.OfShellBore: boreGrid, job.OfUpperWall: wallGrid, job.OfLowerWall: wallGrid}
)

var partTitles = map[string]string{job.OfHousingBore: "Housing bore", job.OfJournal: "Journal", job.OfUpperWall: "Upper shell", job.OfLowerWall: "Lower shell", job.OfShellBore: "Bore with shells"}

func (s *server) measurePage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showMeasure(q, http.StatusOK, l, "", nil)
}

func (s *server) showMeasure(q *request, status int, l *shop.Loaded, problem string, doubts []string) error {
	of := q.value("of")
	if of == "" {
		of = job.OfJournal
	}
	g, ok := grids[of]
	if !ok {
		return errNotFound
	}
	v := measureView{formView: q.form(l), Of: of, Title: partTitles[of], Hint: g.hint, Planes: g.planes, Bore: of == job.OfHousingBore || of == job.OfShellBore,
		Unit: l.Voice.Units.Unit(units.KindLength).Symbol, Doubts: doubts}
	v.Problem = problem
	if v.Position, v.Prev, v.Next, ok = positionOf(l, q.number("position")); !ok {
		return errNotFound
	}
	for i, label := range g.labels {
		row := gridRow{Label: label, Note: g.notes[i]}
		for _, plane := range g.planes {
			name := cellName(plane, i)
			row.Cells = append(row.Cells, gridCell{Name: name, Label: strings.TrimSpace(plane + " " + label), Value: v.Typed[name]})
		}
		v.Rows = append(v.Rows, row)
	}
	v.choices(l)
	v.tabs()
	v.roughness(l)
	v.Rough.Key = q.newKey()
	if q.value("rough_phase") != "" { // that form was refused: what it kept would be kept under its key
		v.Key, v.Rough.Key = v.Rough.Key, v.Key
	}
	return q.showForm(status, l, v.Title+" "+strconv.Itoa(v.Position.Position), "Measure", measureBody(v))
}

// choices offers the gauges that measure the part, and what was used last.
func (v *measureView) choices(l *shop.Loaded) {
	last := ""
	for _, r := range l.State.Readings {
		if r.Body.Of == v.Of && r.Body.Gauge != "" {
			last = r.Body.Gauge
		}
	}
	for _, all := range []bool{false, true} {
		for _, id := range allTools(l.Basis.Tools) {
			t := l.Basis.Tools[id]
			if t.Retired == nil && (slices.Contains(t.Measures(), v.Of) || all && len(t.Graduations) == 0 && t.Instrument().Resolution > 0) {
				v.Gauges = append(v.Gauges, option{id, id + " · " + t.Title})
			}
		}
		if len(v.Gauges) > 0 {
			break
		}
	}
	if v.Typed["gauge"] == "" {
		v.Typed["gauge"] = last
	}
	if v.Typed["phase"] == "" {
		v.Typed["phase"] = job.AsFound
		if p := l.State.Positions[v.Position.Position]; p != nil && p.Shells != nil {
			v.Typed["phase"] = job.AsFitted
		}
	}
}

// tabs leads to the other parts; what is not measured yet comes next.
func (v *measureView) tabs() {
	for _, of := range job.MeasurableParts {
		t := partTab{Of: of, Title: partTitles[of], Here: of == v.Of}
		for i, m := range v.Position.Measured {
			if m.Part == of {
				t.Done = true
				if t.Here {
					v.Result = &v.Position.Measured[i]
				}
			}
		}
		v.Tabs = append(v.Tabs, t)
		if !t.Done && !t.Here && v.Go == nil && of != job.OfShellBore {
			v.Go = &t
		}
	}
}

func cellName(plane string, row int) string {
	if plane == "" {
		plane = "crown"
	}
	return plane + "_" + strconv.Itoa(row)
}

// positionOf finds a position's view and its neighbours.
func positionOf(l *shop.Loaded, n int) (p job.PositionView, prev, next int, ok bool) {
	if l.Basis.Sheet == nil {
		return p, 0, 0, false
	}
	view := l.View()
	for i, x := range view.Positions {
		if x.Position == n {
			return x, neighbour(view, i-1), neighbour(view, i+1), true
		}
	}
	return p, 0, 0, false
}

// keepMeasured understands the grid, questions what is impossible, and keeps it
// as one entry.
func (s *server) keepMeasured(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	body, err := q.grid(l)
	if err == nil {
		if doubts := questions(l, body); len(doubts) > 0 {
			body.Questioned, body.Reason = strings.Join(doubts, "; "), q.value("reason")
			if body.Reason == "" {
				if q.wantsJSON() {
					return &shop.Refusal{Cause: errors.New(doubts[0] + ". Measure again, or say why it is right")}
				}
				return s.showMeasure(q, http.StatusUnprocessableEntity, l, "", doubts)
			}
		}
	}
	next := measurePath(l.ID, body.Position, body.Of)
	return q.submit(l, "part_measured", body, err, next, func(status int, problem string) error {
		return s.showMeasure(q, status, l, problem, nil)
	})
}

// grid is what the cells hold.
func (q *request) grid(l *shop.Loaded) (job.PartMeasured, error) {
	b := job.PartMeasured{Of: q.value("of"), Phase: q.value("phase"), Position: q.number("position"), Gauge: q.value("gauge"), CapTorqued: q.checked("cap_torqued")}
	g, ok := grids[b.Of]
	if !ok {
		return b, errNotFound
	}
	unit := l.Voice.Units.Unit(units.KindLength)
	for i, angle := range g.angles {
		for _, plane := range g.planes {
			value, err := q.read(cellName(plane, i), units.KindLength, unit)
			if err != nil {
				return b, err
			}
			if value == nil {
				continue
			}
			c := job.PartCell{Plane: plane, Value: *value}
			if angle != "" {
				a, err := units.Parse(units.KindAngle, angle+"°", units.UnitDegree)
				if err != nil {
					return b, err
				}
				c.Angle = &a
			}
			b.Cells = append(b.Cells, c)
		}
	}
	var err error
	if b.PartTemperature, err = q.read("part_temperature", units.KindTemperature, units.UnitCelsius); err != nil {
		return b, err
	}
	b.GaugeTemperature, err = q.read("gauge_temperature", units.KindTemperature, units.UnitCelsius)
	return b, err
}

// questions says of each reading of the grid what seems impossible.
func questions(l *shop.Loaded, b job.PartMeasured) []string {
	var out []string
	for i := range b.Cells {
		c := b.Cells[i]
		doubt := job.Question(job.Reading{Of: b.Of, Phase: b.Phase, Position: b.Position, Gauge: b.Gauge, Value: &c.Value}, l.State, l.Basis)
		if doubt != "" && !slices.Contains(out, doubt) {
			out = append(out, doubt)
		}
	}
	return out
}

func measurePath(id string, position int, of string) string {
	return jobPath(id) + "/measure/" + strconv.Itoa(position) + "?of=" + of
}
