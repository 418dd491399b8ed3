// SPDX-License-Identifier: Apache-2.0

package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"witnessmark/bearing"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/units"
)

// stockView is the shells on the shelf, a line a batch.
type stockView struct {
	Rows     []stockRow
	May      bool
	Problem  string
	Add      formView
	Families []option
}

type stockRow struct {
	ID, About     string
	Upper, Lower  int // measured and free
	Graded, Given int
}

// batchView is one batch with its shells.
type batchView struct {
	ID, About   string
	Kept        string
	Problem     string
	May         bool
	Shells      []shellRow
	Grades      []gradeRow
	Pairs       []string
	History     []job.Line
	Measure     formView
	Doubts      []string
	Bind, Count formView
	Back        formView
	Wrong       formView
	Mistakes    []option // what can be withdrawn, the newest first
	Gone        []option // what a job has or had
	Free        []option
	Tools       []toolChoice
	Unit        string
	Uppers      []option
	Lowers      []option
}

type shellRow struct{ ID, Half, Grade, Wall, Spread, Where, State, Job string }

type gradeRow struct {
	Grade, Half, Wall string
	Left              int
}

func stockPath(batch string) string { return "/stock/" + url.PathEscape(batch) }

func (s *server) stockPage(q *request) error { return s.showStock(q, http.StatusOK, "") }

func (s *server) showStock(q *request, status int, problem string) error {
	all, err := s.shop.Stock(q.Context())
	if err != nil {
		return err
	}
	v := stockView{May: hands.admits(q.person.Role), Problem: problem, Add: q.oneOf(nil, "batch")}
	for _, b := range all {
		r := stockRow{ID: b.ID, About: batchAbout(b)}
		for _, sh := range b.Shells {
			switch {
			case !sh.OnShelf(""):
				r.Given++
			case sh.Half == job.Upper:
				r.Upper++
			default:
				r.Lower++
			}
		}
		for _, g := range b.Grades {
			r.Graded += g.Left
		}
		v.Rows = append(v.Rows, r)
	}
	sheets, err := s.shop.Sheets(q.Context())
	if err != nil {
		return err
	}
	for _, x := range sheets {
		v.Families = append(v.Families, option{x.Sheet.Family, x.Sheet.Family})
	}
	return q.page(status, frame{Title: "Shells in stock"}, stockBody(v))
}

func batchAbout(b job.Batch) string {
	var parts []string
	if b.Part != "" {
		parts = append(parts, b.Part)
	}
	if b.Family != "" {
		parts = append(parts, "for engine family "+b.Family)
	}
	if b.Undersize != "" {
		parts = append(parts, b.Undersize+" under size")
	}
	return strings.Join(parts, ", ")
}

func (s *server) keepBatch(q *request) error {
	b := job.BatchAdded{ID: q.value("batch"), Part: q.value("part"), Family: q.value("family"), Undersize: q.value("undersize"), Remark: q.value("remark")}
	if err := s.shop.AddBatch(q.Context(), q.person.ID, shop.Input{ID: q.value("id"), DeviceTime: q.deviceTime()}, b); err != nil {
		return q.again(err, func(status int, problem string) error { return s.showStock(q, status, problem) })
	}
	return q.see(stockPath(b.ID))
}

func (s *server) batchPage(q *request) error { return s.showBatch(q, http.StatusOK, "", nil) }

func (s *server) showBatch(q *request, status int, problem string, doubts []string) error {
	b, err := s.shop.Batch(q.Context(), q.PathValue("batch"))
	if err != nil {
		return err
	}
	w, err := s.shop.Workshop(q.Context())
	if err != nil {
		return err
	}
	tools, err := s.shop.Tools(q.Context())
	if err != nil {
		return err
	}
	unit := shop.Preferences(w).Unit(units.KindLength)
	v := batchView{ID: b.ID, About: batchAbout(b), Problem: problem, Doubts: doubts, May: hands.admits(q.person.Role), Unit: unit.Symbol,
		Measure: q.oneOf(nil, "measure"), Bind: q.oneOf(nil, "bind"), Count: q.oneOf(nil, "count"), Back: q.oneOf(nil, "back"), Wrong: q.oneOf(nil, "wrong"),
		Tools: toolChoices(&shop.Loaded{Basis: job.Basis{Tools: tools}}, s.today(), "tube_micrometer", "micrometer")}
	for _, sh := range b.Shells {
		v.addShell(sh, tools, unit)
	}
	for _, g := range b.Grades {
		v.Grades = append(v.Grades, gradeRow{g.Body.Grade, g.Body.Half, g.Body.Wall.String(), g.Left})
	}
	for _, p := range b.Pairs {
		v.Pairs = append(v.Pairs, p[0]+" and "+p[1])
	}
	if v.History, err = s.shop.History(q.Context(), b.Subject); err != nil {
		return err
	}
	v.mistakes()
	for _, line := range v.History {
		if strconv.FormatInt(line.Seq, 10) == q.URL.Query().Get("kept") {
			v.Kept = line.Words
		}
	}
	return q.page(status, frame{Title: "Batch " + b.ID + " · Shells in stock"}, batchBody(v))
}

// mistakes offers every entry that stands, but for the one that began the
// batch.
func (v *batchView) mistakes() {
	for _, line := range slices.Backward(v.History) {
		if line.Kind != "batch_added" && line.Kind != "correction" && !line.Withdrawn && !line.Unknown {
			v.Mistakes = append(v.Mistakes, option{strconv.FormatInt(line.Seq, 10), line.Now})
		}
	}
	if n := len(v.History); v.Wrong.Key.Saw == "" && n > 0 {
		v.Wrong.Key.Saw = strconv.FormatInt(v.History[n-1].Seq, 10)
	}
}

func (v *batchView) addShell(sh job.StockShell, tools job.Register, unit units.Unit) {
	r := shellRow{ID: sh.ID, Half: sh.Half, Grade: sh.Grade, Where: "on the shelf", State: "fits"}
	if m, ok := sh.Wall(tools); ok {
		r.Wall = units.Number(m.Value, unit, units.DecimalsFor(1e-4, unit)) + " " + unit.Symbol
		if lo, hi, err := m.CoverageInterval(0.95); err == nil {
			r.Spread = "±" + units.Number((hi-lo)/2, unit, units.DecimalsFor(1e-4, unit)) + " " + unit.Symbol
		}
	}
	switch {
	case sh.Discarded != nil:
		r.Where, r.State = "taken out: "+sh.Discarded.Body.Reason, "soft"
	case sh.Use != nil && sh.Use.Chosen:
		r.Where, r.State, r.Job = fmt.Sprintf("kept for job %s, position %d", sh.Use.Job, sh.Use.Position), "unproven", sh.Use.Job
	case sh.Use != nil && sh.Use.In:
		r.Where, r.State, r.Job = fmt.Sprintf("fitted in job %s, position %d", sh.Use.Job, sh.Use.Position), "soft", sh.Use.Job
	case sh.Use != nil:
		r.Where, r.State, r.Job = fmt.Sprintf("was in job %s, position %d; not back yet", sh.Use.Job, sh.Use.Position), "soft", sh.Use.Job
	}
	o := option{sh.ID, sh.ID + ", " + r.Where}
	if sh.OnShelf("") {
		v.Free = append(v.Free, o)
		if sh.Half == job.Upper {
			v.Uppers = append(v.Uppers, option{sh.ID, sh.ID})
		} else {
			v.Lowers = append(v.Lowers, option{sh.ID, sh.ID})
		}
	} else {
		v.Gone = append(v.Gone, o)
	}
	v.Shells = append(v.Shells, r)
}

// keepStock keeps what one of the forms of a batch says.
func (s *server) keepStock(q *request) error {
	b, err := s.shop.Batch(q.Context(), q.PathValue("batch"))
	if err != nil {
		return err
	}
	kind, body, doubts, err := s.stockEntry(q, b)
	render := func(status int, problem string) error { return s.showBatch(q, status, problem, doubts) }
	if err != nil {
		return q.again(&shop.Refusal{Cause: err}, render)
	}
	if len(doubts) > 0 {
		if q.wantsJSON() {
			return &shop.Refusal{Cause: fmt.Errorf("%s: measure again, or say why it is right", doubts[0])}
		}
		return render(http.StatusUnprocessableEntity, "")
	}
	e, _, err := q.append(b.Subject, kind, body)
	if err != nil {
		return q.again(err, render)
	}
	return q.see(withKept(stockPath(b.ID), e.Seq))
}

func (s *server) stockEntry(q *request, b job.Batch) (kind string, body any, doubts []string, err error) {
	switch q.value("form") {
	case "measure":
		m := job.ShellMeasured{ID: q.value("shell"), Half: q.value("half"), Gauge: q.value("gauge"), Grade: q.value("grade"), Reason: q.value("reason")}
		wall, err := s.typedWall(q, "wall")
		if err != nil {
			return "", nil, nil, err
		}
		m.Wall = wall
		if sh := b.Find(m.ID); sh != nil && sh.Half != m.Half {
			return "", nil, nil, fmt.Errorf("shell %s is a %s: choose another mark, or the right half", m.ID, sh.Half)
		}
		if doubt := wallDoubt(b, m); doubt != "" {
			if m.Questioned = doubt; m.Reason == "" {
				return "", nil, []string{doubt}, nil
			}
		} else {
			m.Reason = ""
		}
		return "shell_measured", m, nil, nil
	case "bind":
		return "shells_bound", job.ShellsBound{Upper: q.value("upper"), Lower: q.value("lower"), Parted: q.checked("parted")}, nil, nil
	case "count":
		wall, err := s.typedWall(q, "wall")
		return "grade_counted", job.GradeCounted{Grade: q.value("grade"), Half: q.value("half"), Wall: wall, Count: q.number("count")}, nil, err
	case "wrong":
		seq := q.number("entry")
		if seq < 2 {
			return "", nil, nil, fmt.Errorf("nothing was chosen to take back: choose the entry that is wrong")
		}
		return "correction", job.Correction{Replaces: int64(seq), Reason: q.value("reason")}, nil, nil
	case "back":
		sh := b.Find(q.value("shell"))
		if sh == nil {
			return "", nil, nil, fmt.Errorf("shell %q is not of this batch", q.value("shell"))
		}
		if q.checked("discard") {
			return "shell_discarded", job.ShellDiscarded{ID: sh.ID, Reason: q.value("reason")}, nil, nil
		}
		back := job.ShellReturned{ID: sh.ID, Reason: q.value("reason")}
		if sh.Use != nil {
			back.Job = sh.Use.Job
		}
		return "shell_returned", back, nil, nil
	}
	return "", nil, nil, errNotFound
}

func (s *server) typedWall(q *request, name string) (units.Read, error) {
	w, err := s.shop.Workshop(q.Context())
	if err != nil {
		return units.Read{}, err
	}
	r, err := q.read(name, units.KindLength, shop.Preferences(w).Unit(units.KindLength))
	if err != nil {
		return units.Read{}, err
	}
	if r == nil {
		return units.Read{}, fmt.Errorf("no wall was entered: type what the gauge reads at the crown, such as 1.987")
	}
	return *r, nil
}

// wallDoubt questions a wall beside the others of its batch.
func wallDoubt(b job.Batch, m job.ShellMeasured) string {
	see := bearing.Sighting{What: "the wall of " + m.ID, Value: m.Wall.Value, Wall: true, Gauge: m.Gauge, Beside: "the others of this batch"}
	for _, sh := range b.Shells {
		if n := len(sh.Measured); n > 0 && sh.ID != m.ID {
			wall := sh.Measured[n-1].Body.Wall.Value
			if see.Usual == (bearing.Limits{}) {
				see.Usual = bearing.Limits{Min: wall, Max: wall}
			}
			see.Usual.Min, see.Usual.Max = min(see.Usual.Min, wall), max(see.Usual.Max, wall)
		}
	}
	return bearing.Question(see)
}
