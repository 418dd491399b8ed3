// SPDX-License-Identifier: Apache-2.0

package web

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/internal/studycsv"
	"witnessmark/metrology"
	"witnessmark/units"
)

// studiesView is the gauge studies of one tool, and how one begins.
type studiesView struct {
	Tool, Title string
	Spread      []string // what is known of its spread now
	Rows        []studyLine
	Problem     string
	May         bool
	Open, Table formView
	People      []option
	Result      *job.StudyView // of a table that was sent
	One         bool
	Unit        string
}

type studyLine struct{ ID, Words string }

// studyPageView is a study while it is read, or its result.
type studyPageView struct {
	formView
	ID, Tool, Title string
	Step, Of        int // of the person who is here
	All, Read       int
	Part            string
	Turn            string // whose turn it is by the order
	Mine            bool
	Left            []string
	Doubts          []string
	Result          *job.StudyView
	Missing         string // why there is no result yet
	Done, Used      bool
	May             bool
	Unit            string
	Seed            int64
	Use             formView
	KeptStep        string
	Last            int // the step that the person who is here can read again
	Again           formView
}

func studyPath(id string) string { return "/studies/" + url.PathEscape(id) }

func (s *server) studiesPage(q *request) error { return s.showStudies(q, http.StatusOK, "", nil) }

func (s *server) showStudies(q *request, status int, problem string, result *job.StudyView) error {
	t, err := s.shop.Tool(q.Context(), q.PathValue("tool"))
	if err != nil {
		return err
	}
	studies, err := s.shop.Studies(q.Context(), t.ID)
	if err != nil {
		return err
	}
	people, err := s.shop.People(q.Context())
	if err != nil {
		return err
	}
	w, err := s.shop.Workshop(q.Context())
	if err != nil {
		return err
	}
	v := studiesView{Tool: t.ID, Title: t.Title, Spread: t.Instrument().SpreadWords(), Problem: problem, May: hands.admits(q.person.Role), Result: result,
		Open: q.oneOf(nil, "open"), Table: q.oneOf(nil, "table"), One: w.One(), Unit: shop.Preferences(w).Unit(units.KindLength).Symbol}
	for _, p := range people {
		if p.Role != job.Office {
			v.People = append(v.People, option{p.ID, p.Name})
		}
	}
	for _, g := range studies {
		words := fmt.Sprintf("begun %s: %d of %d read", job.Day(g.Opened.Received, s.shop.Zone()), len(g.Read), len(g.Steps))
		if g.Done() {
			words = fmt.Sprintf("begun %s: all %d read", job.Day(g.Opened.Received, s.shop.Zone()), len(g.Steps))
		}
		v.Rows = append(v.Rows, studyLine{g.ID, words})
	}
	return q.page(status, frame{Title: "Gauge study · " + t.ID}, studiesBody(v))
}

// openStudy begins a study; the order is random, and the same for ever.
func (s *server) openStudy(q *request) error {
	render := func(status int, problem string) error { return s.showStudies(q, status, problem, nil) }
	if err := shop.May(q.person.Role, "study_opened"); err != nil {
		return err
	}
	w, err := s.shop.Workshop(q.Context())
	if err != nil {
		return err
	}
	b := job.StudyOpened{Gauge: q.PathValue("tool"), Persons: q.Form["person"], Rounds: q.number("rounds"), Remark: q.value("remark"), Parts: partNames(q.value("parts"))}
	unit := shop.Preferences(w).Unit(units.KindLength)
	if b.Low, err = q.read("low", units.KindLength, unit); err == nil {
		b.High, err = q.read("high", units.KindLength, unit)
	}
	if err == nil && len(b.Persons) == 0 {
		err = errors.New("nobody was named who reads: tick one to three people")
	}
	if err == nil && b.Rounds < 2 {
		err = errors.New("read everything at least twice: a single round can't tell how well a reading repeats")
	}
	if err == nil && len(b.Parts) == 0 {
		err = errors.New("no parts: write how many, or their marks with blanks between")
	}
	if err != nil {
		return q.again(&shop.Refusal{Cause: err}, render)
	}
	id, err := s.shop.OpenStudy(q.Context(), q.person.ID, shop.Input{ID: q.value("id"), DeviceTime: q.deviceTime()}, b)
	if err != nil {
		return q.again(err, render)
	}
	return q.see(studyPath(id))
}

// partNames reads marks with blanks between, or a number of parts.
func partNames(text string) []string {
	if n, err := strconv.Atoi(text); err == nil && n > 0 && n <= 100 {
		var out []string
		for i := range n {
			out = append(out, strconv.Itoa(i+1))
		}
		return out
	}
	return strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ',' || r == ';' || r == '\n' || r == '\t' || r == '\r' })
}

// studyTable works a table of readings out, and uses it for the gauge when that
// is asked.
func (s *server) studyTable(q *request) error {
	render := func(status int, problem string) error { return s.showStudies(q, status, problem, nil) }
	body, err := tableStudied(q.FormValue("text"), s.today())
	if err != nil {
		return q.again(&shop.Refusal{Cause: err}, render)
	}
	if q.checked("use") {
		return s.useStudied(q, q.PathValue("tool"), body, render)
	}
	view, err := job.ShowStudy(body, job.Voice{})
	if err != nil {
		return q.again(&shop.Refusal{Cause: err}, render)
	}
	return s.showStudies(q, http.StatusOK, "", &view)
}

// tableStudied turns a table into an entry. People are named by letters: names
// do not belong into a log.
func tableStudied(text, day string) (job.ToolStudied, error) {
	b := job.ToolStudied{Date: day, Remark: "from a table"}
	if len(text) > studycsv.MaxBytes {
		return b, fmt.Errorf("more than %d bytes, which is no gauge study", studycsv.MaxBytes)
	}
	readings, err := studycsv.Parse(text)
	if err != nil {
		return b, err
	}
	var people []string
	for _, r := range readings {
		if !slices.Contains(people, r.Person) {
			people = append(people, r.Person)
		}
		value, err := units.Parse(units.KindLength, strconv.FormatFloat(r.Reading, 'f', -1, 64)+" mm", units.UnitMillimetre)
		if err != nil {
			return b, err
		}
		b.Readings = append(b.Readings, job.StudyReading{Part: r.Part, Person: string(rune('A' + slices.Index(people, r.Person)%26)), Value: value})
	}
	return b, nil
}

func (s *server) useStudied(q *request, tool string, body job.ToolStudied, render func(int, string) error) error {
	if err := s.keepInRegister(q, tool, "tool_studied", body); err != nil {
		return q.again(err, render)
	}
	return q.see(toolPath(tool))
}

func (s *server) studyPage(q *request) error { return s.showStudy(q, http.StatusOK, "", nil) }

func (s *server) showStudy(q *request, status int, problem string, doubts []string) error {
	g, err := s.shop.Study(q.Context(), q.PathValue("study"))
	if err != nil {
		return err
	}
	t, err := s.shop.Tool(q.Context(), g.Gauge)
	if err != nil {
		return err
	}
	w, err := s.shop.Workshop(q.Context())
	if err != nil {
		return err
	}
	people, err := s.shop.People(q.Context())
	if err != nil {
		return err
	}
	v := studyPageView{formView: q.oneOf(nil, "read"), ID: g.ID, Tool: g.Gauge, Title: t.Title, All: len(g.Steps), Read: len(g.Read), Doubts: doubts,
		Done: g.Done(), May: hands.admits(q.person.Role), Unit: shop.Preferences(w).Unit(units.KindLength).Symbol, Seed: g.Seed, Use: q.oneOf(nil, "use"), KeptStep: q.URL.Query().Get("kept")}
	v.Problem = problem
	name := func(id string) string {
		for _, p := range people {
			if p.ID == id {
				return p.Name
			}
		}
		return "person " + id
	}
	if last := g.Last(q.person.ID); g.MayReadAgain(last) {
		v.Last, v.Again = last, q.oneOf(nil, "again")
	}
	v.Mine = slices.Contains(g.Persons, q.person.ID)
	if v.Step = g.Next(q.person.ID); v.Step > 0 {
		v.Part = g.Steps[v.Step-1].Part
	}
	if turn := g.Turn(); turn != "" && turn != q.person.ID {
		v.Turn = name(turn)
	}
	for _, p := range g.Persons {
		if n := g.Left(p); n > 0 {
			v.Left = append(v.Left, fmt.Sprintf("%s: %d left", name(p), n))
		}
	}
	if v.Done {
		body := g.Studied(s.today())
		view, err := job.ShowStudy(body, job.Voice{})
		if err != nil {
			v.Missing = sentence(plainError(err))
		} else {
			v.Result = &view
		}
		v.Used = slices.ContainsFunc(t.Studies, func(x job.Noted[job.ToolStudied]) bool { return sameStudy(x.Body, body) })
	}
	return q.page(status, frame{Title: "Gauge study · " + g.Gauge, Narrow: !v.Done}, studyBody(v))
}

func sameStudy(a, b job.ToolStudied) bool {
	return slices.EqualFunc(a.Readings, b.Readings, func(x, y job.StudyReading) bool {
		return x.Part == y.Part && x.Person == y.Person && x.Value.Value == y.Value.Value
	})
}

// keepStudyReading keeps the reading of the person's own next step. It shows
// nothing of it afterwards: nobody is to be led by what was read.
func (s *server) keepStudyReading(q *request) error {
	g, err := s.shop.Study(q.Context(), q.PathValue("study"))
	if err != nil {
		return err
	}
	t, err := s.shop.Tool(q.Context(), g.Gauge)
	if err != nil {
		return err
	}
	w, err := s.shop.Workshop(q.Context())
	if err != nil {
		return err
	}
	render := func(status int, problem string) error { return s.showStudy(q, status, problem, nil) }
	b := job.StudyRead{Step: q.number("step")}
	value, err := q.read("value", units.KindLength, shop.Preferences(w).Unit(units.KindLength))
	switch {
	case err != nil:
	case value == nil:
		err = errors.New("nothing was entered: type what the gauge reads")
	case b.Step < 1 || b.Step > len(g.Steps) || g.Steps[b.Step-1].Person != q.person.ID:
		err = errors.New("this step is somebody else’s to read: change the person at the top of the page")
	}
	if err != nil {
		return q.again(&shop.Refusal{Cause: err}, render)
	}
	b.Value = *value
	if doubt := g.Question(value.Value, t); doubt != "" {
		b.Questioned, b.Reason = doubt, q.value("reason")
		if b.Reason == "" {
			if q.wantsJSON() {
				return &shop.Refusal{Cause: fmt.Errorf("%s: read again, or say why it is right", doubt)}
			}
			return s.showStudy(q, http.StatusUnprocessableEntity, "", []string{doubt})
		}
	}
	if _, _, err := q.append(g.Subject, "study_read", b); err != nil {
		return q.again(err, render)
	}
	return q.see(studyPath(g.ID) + "?kept=" + strconv.Itoa(b.Step))
}

// readStudyAgain takes back the last reading of whoever reads, so that its part
// is read again.
func (s *server) readStudyAgain(q *request) error {
	g, err := s.shop.Study(q.Context(), q.PathValue("study"))
	if err != nil {
		return err
	}
	render := func(status int, problem string) error { return s.showStudy(q, status, problem, nil) }
	b := job.StudyAgain{Step: q.number("step"), Reason: "mistyped"}
	if b.Step < 1 || b.Step > len(g.Steps) || g.Steps[b.Step-1].Person != q.person.ID {
		return q.again(&shop.Refusal{Cause: errors.New("this step is somebody else’s to read: change the person at the top of the page")}, render)
	}
	if _, _, err := q.append(g.Subject, "study_again", b); err != nil {
		return q.again(err, render)
	}
	return q.see(studyPath(g.ID))
}

// useStudy gives the result to the gauge.
func (s *server) useStudy(q *request) error {
	g, err := s.shop.Study(q.Context(), q.PathValue("study"))
	if err != nil {
		return err
	}
	render := func(status int, problem string) error { return s.showStudy(q, status, problem, nil) }
	if !g.Done() {
		return q.again(&shop.Refusal{Cause: fmt.Errorf("the study is not read to its end: %d of %d are left", len(g.Steps)-len(g.Read), len(g.Steps))}, render)
	}
	return s.useStudied(q, g.Gauge, g.Studied(s.today()), render)
}

// studyFile is the readings as a table, once all are read.
func (s *server) studyFile(q *request) error {
	g, err := s.shop.Study(q.Context(), q.PathValue("study"))
	if err != nil {
		return err
	}
	if !g.Done() {
		return &shop.Refusal{Cause: errors.New("the readings stay hidden until all are read")}
	}
	var rows []metrology.StudyReading
	for _, r := range g.Readings() {
		rows = append(rows, metrology.StudyReading{Part: r.Part, Person: r.Person, Reading: r.Value.Value})
	}
	q.w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	q.w.Header().Set("Content-Disposition", `attachment; filename="study-`+g.ID+`.csv"`)
	return studycsv.Write(q.w, rows)
}
