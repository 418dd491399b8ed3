// SPDX-License-Identifier: Apache-2.0

package web

import (
	"errors"
	"net/http"
	"strconv"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/units"
)

// wearView is what came out at one position: both shells and the journal.
type wearView struct {
	formView
	Position    job.PositionView
	Levels      []option // severities in the words of the sheet's shells
	Before      []string // what was seen before
	Prev, Next  int
	Unit        string
	Micrometers []gaugeChoice
	Photos      []photoView
	Doubts      []string // what is questioned before it counts
	// What the sheet wants to see.
	WearAsked, JournalAsked []job.PhotoAsk
}

var featureOptions = []option{
	{"scored", "scored"}, {"embedded", "dirt embedded"}, {"wiped", "wiped"}, {"flaked", "flaked"}, {"corroded", "corroded"},
	{"cavitated", "cavitated"}, {"edge_loaded", "worn at an edge"}, {"fretted", "fretted back"}, {"spun", "spun"},
}

var extentOptions = []option{{"spot", "in spots"}, {"part", "over part"}, {"whole", "over the whole"}}

var placeOptions = []option{
	{"crown", "crown"}, {"parting_line", "parting line"}, {"front_edge", "front edge"}, {"rear_edge", "rear edge"}, {"oil_hole", "oil hole"},
}

var journalOptions = []option{
	{"clean", "clean"}, {"polished_line", "polished line"}, {"scored", "scored: a nail catches"}, {"pick_up", "pick-up"},
	{"blued", "blued"}, {"ridge", "ridge"}, {"cracked", "cracked"},
}

func (s *server) wearPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showWear(q, http.StatusOK, l, "")
}

func (s *server) showWear(q *request, status int, l *shop.Loaded, problem string) error {
	n := q.number("position")
	if l.Basis.Sheet == nil {
		return errNotFound
	}
	view := l.View()
	v := wearView{formView: q.form(l), Unit: l.Voice.Units.Unit(units.KindLength).Symbol}
	v.Problem = problem
	if doubt, ok := strings.CutPrefix(problem, doubtMark); ok {
		v.Problem, v.Doubts = "", []string{doubt}
	}
	for i, p := range view.Positions {
		if p.Position != n {
			continue
		}
		v.Position = p
		v.Prev, v.Next = neighbour(view, i-1), neighbour(view, i+1)
	}
	if v.Position.Position == 0 {
		return errNotFound
	}
	for i, w := range l.Basis.Sheet.BigEnd.Shell.Construction.Wear {
		v.Levels = append(v.Levels, option{strconv.Itoa(i), strconv.Itoa(i) + " · " + w.Words})
	}
	for _, line := range l.Record() {
		switch line.Kind {
		case "wear_seen", "journal_seen":
			if line.Position == n && !line.Withdrawn {
				v.Before = append(v.Before, line.Words)
			}
		}
	}
	v.Photos = photosOf(l, func(line job.Line) bool { return line.Position == n })
	v.WearAsked, v.JournalAsked = l.PhotosAsked("wear", n), l.PhotosAsked("journal", n)
	for _, id := range gaugeIDs(l.Basis.Tools) {
		if t := l.Basis.Tools[id]; len(t.Graduations) == 0 {
			v.Micrometers = append(v.Micrometers, gaugeChoice{ID: id, Title: t.Title})
		}
	}
	return q.showForm(status, l, "Wear "+strconv.Itoa(n), "Measure", wearBody(v))
}

// neighbour is the position beside, 0 beyond the ends.
func neighbour(v job.View, i int) int {
	if i < 0 || i >= len(v.Positions) {
		return 0
	}
	return v.Positions[i].Position
}

func (s *server) keepWear(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	severity, err := strconv.Atoi(q.value("severity"))
	if err != nil {
		severity = -1
	}
	body := job.WearSeen{Position: q.number("position"), Half: q.value("half"), Severity: severity, Features: q.Form["feature"],
		Extent: q.value("extent"), Place: q.value("place"), Remark: q.value("remark")}
	return q.submit(l, "wear_seen", body, nil, wearPath(l.ID, body.Position), func(status int, problem string) error {
		return s.showWear(q, status, l, problem)
	})
}

func (s *server) keepJournal(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	body := job.JournalSeen{Position: q.number("position"), Features: q.Form["journal"], Remark: q.value("remark")}
	return q.submit(l, "journal_seen", body, nil, wearPath(l.ID, body.Position), func(status int, problem string) error {
		return s.showWear(q, status, l, problem)
	})
}

// keepPart keeps a direct reading of one part: journal, bore or a wall.
func (s *server) keepPart(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	unit := l.Voice.Units.Unit(units.KindLength)
	value, err := q.read("value", units.KindLength, unit)
	var u, angle, warm *units.Read
	if err == nil {
		u, err = q.read("u", units.KindLength, unit)
	}
	if err == nil {
		angle, err = q.read("angle", units.KindAngle, units.UnitDegree)
	}
	if err == nil {
		warm, err = q.read("part_temperature", units.KindTemperature, units.UnitCelsius)
	}
	phase := q.value("phase")
	if phase == "" {
		phase = job.AsFound
	}
	body := job.Reading{Of: q.value("of"), Phase: phase, Position: q.number("position"), Gauge: q.value("gauge"),
		Value: value, U: u, Angle: angle, Plane: q.value("plane"), PartTemperature: warm}
	if err == nil && value != nil {
		if doubt := job.Question(body, l.State, l.Basis); doubt != "" {
			body.Questioned, body.Reason = doubt, q.value("reason")
			if body.Reason == "" && !q.wantsJSON() {
				return s.showWear(q, http.StatusUnprocessableEntity, l, doubtMark+doubt)
			}
			if body.Reason == "" {
				err = errors.New(doubt + ". Measure again, or say why it is right")
			}
		}
	}
	return q.submit(l, "reading", body, err, wearPath(l.ID, body.Position), func(status int, problem string) error {
		return s.showWear(q, status, l, problem)
	})
}

// doubtMark tells a question from a problem.
const doubtMark = "\x00"

func wearPath(id string, position int) string {
	return jobPath(id) + "/wear/" + strconv.Itoa(position)
}
