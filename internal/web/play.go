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

// playView is end float and side clearance: what was read, its limits, and
// which thrust washers would make it right.
type playView struct {
	Job      string
	Kept     string
	Problem  string
	Unit     string
	Float    playForm
	Side     playForm
	Found    *job.ValueView
	Fitted   *job.ValueView
	Sides    []job.SideView
	Thrust   *job.ThrustView
	In       formView
	Keys     []formKey // of each choice
	Gauges   []toolChoice
	Try      string // thicknesses that were typed to choose from
	TryWrong string
	May      bool
	Cautions []string
	Refused  []job.ObstacleView // what stands in the way
}

// playForm is the entry of one kind of play.
type playForm struct {
	Form   formView
	Limit  string
	Source string
	Tools  []toolChoice
	Doubts []string
	At     []option
	Hint   string
}

var usualPlay = []string{
	"Keep fingers out from between counterweights and block while the crankshaft is levered to and fro. Lever on a counterweight, never on a journal.",
}

func playLimited(l *shop.Loaded) bool {
	return l.Basis.Sheet.EndFloat.Given() || l.Basis.Sheet.SideClearance.Limit.Given()
}

func (s *server) playPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showPlay(q, http.StatusOK, l, "")
}

func (s *server) showPlay(q *request, status int, l *shop.Loaded, problem string) error {
	if l.Basis.Sheet == nil {
		return q.see(jobPath(l.ID) + "/sheet")
	}
	view := l.View()
	v := playView{Job: l.ID, Kept: q.lastKept(l), Problem: problem, Unit: unitOf(l, units.KindLength).Symbol, Found: view.FloatFound, Fitted: view.EndFloat,
		Sides: view.Sides, In: q.oneOf(l, "thrust"), Gauges: toolChoices(l, s.today(), "micrometer", "tube_micrometer"), May: hands.admits(q.person.Role),
		Cautions: stepCautions(l, "play", usualPlay...), Refused: standing(l, job.PlayMissing)}
	v.Float, v.Side = s.floatForm(q, l), s.sideForm(q, l, view)
	if doubt, ok := strings.CutPrefix(problem, doubtMark); ok {
		v.Problem = ""
		form := &v.Float
		if q.value("of") == job.OfSideClearance {
			form = &v.Side
		}
		form.Doubts = []string{doubt}
	}
	if v.In.Typed["phase"] == "" {
		v.In.Typed["phase"] = job.AsFound
	}
	v.Thrust = view.Thrust
	s.tryThicknesses(q, l, &v)
	if v.Thrust != nil {
		for range v.Thrust.Choices {
			v.Keys = append(v.Keys, q.newKey())
		}
	}
	return q.showForm(status, l, "End float, side clearance", "Assemble", playBody(v))
}

func (s *server) floatForm(q *request, l *shop.Loaded) playForm {
	v := playForm{Form: q.oneOf(l, job.OfEndFloat), Tools: toolChoices(l, s.today(), "dial_indicator", "feeler_gauge")}
	if b := l.Basis.Sheet.EndFloat.Bounds(); b.Given() {
		v.Limit, v.Source = b.In(l.Voice.Units), sourceOf(l.Basis.Sheet, b.Basis)
	}
	if v.Form.Typed["phase"] == "" {
		v.Form.Typed["phase"] = job.AsFitted
	}
	return v
}

func (s *server) sideForm(q *request, l *shop.Loaded, view job.View) playForm {
	v := playForm{Form: q.oneOf(l, job.OfSideClearance), Tools: toolChoices(l, s.today(), "feeler_gauge", "dial_indicator")}
	if b := l.Basis.Sheet.SideClearance.Limit.Bounds(); b.Given() {
		v.Limit, v.Source = b.In(l.Voice.Units), sourceOf(l.Basis.Sheet, b.Basis)
	}
	first := ""
	for _, side := range view.Sides {
		at := strconv.Itoa(side.At)
		if side.Rods != "" {
			v.Hint = "The rods of a throw share one gap: push them apart or to one side, and read it once for the throw."
		}
		if side.Value == nil && first == "" {
			first = at
		}
		v.At = append(v.At, option{at, side.Title()})
	}
	if v.Form.Typed["position"] == "" { // on to the next that is not read
		v.Form.Typed["position"] = first
	}
	return v
}

// tryThicknesses chooses among what somebody typed in place of the sheet's.
func (s *server) tryThicknesses(q *request, l *shop.Loaded, v *playView) {
	v.Try = strings.TrimSpace(q.URL.Query().Get("at_hand"))
	if v.Try == "" {
		return
	}
	list, err := thicknesses(v.Try, unitOf(l, units.KindLength))
	if err != nil {
		t := troubleOf(&shop.Refusal{Cause: err})
		v.TryWrong = t.Detail + " " + t.Next
		return
	}
	typed := make([]units.Read, len(list))
	for i, w := range list {
		typed[i] = w.Thickness
	}
	t, err := job.ChooseThrust(l.State, l.Basis, typed)
	v.Thrust = job.ShowThrust(t, err, l.Assessment, l.State, l.Basis, l.Voice)
}

// thicknesses reads a list: parts with semicolons or spaces between, each with or
// without a unit, and its mark behind an equals sign. A comma is a decimal one.
func thicknesses(text string, assumed units.Unit) ([]job.ThrustWasher, error) {
	var out []job.ThrustWasher
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ';' || r == '\n' }) {
		number, id, _ := strings.Cut(part, "=")
		for _, f := range glueUnits(strings.Fields(number)) {
			r, err := units.Parse(units.KindLength, f, assumed)
			if err != nil {
				return nil, err
			}
			out = append(out, job.ThrustWasher{ID: strings.TrimSpace(id), Thickness: r})
		}
	}
	if len(out) == 0 || len(out) > 40 {
		return nil, errors.New("write one thickness or several with a space or a semicolon between, such as 2.31 2.36 2.41")
	}
	return out, nil
}

// glueUnits puts a unit that stands alone back to its number.
func glueUnits(fields []string) []string {
	var out []string
	for _, f := range fields {
		if len(out) > 0 && !strings.ContainsAny(f, "0123456789") {
			out[len(out)-1] += " " + f
			continue
		}
		out = append(out, f)
	}
	return out
}

// keepPlay keeps a reading of end float or side clearance.
func (s *server) keepPlay(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	unit := l.Voice.Units.Unit(units.KindLength)
	body := job.Reading{Of: q.value("of"), Phase: q.value("phase"), Position: q.number("position"), Gauge: q.value("gauge")}
	if body.Phase == "" {
		body.Phase = job.AsFitted
	}
	if body.Value, err = q.read("value", units.KindLength, unit); err == nil {
		body.U, err = q.read("u", units.KindLength, unit)
	}
	if err == nil && body.Of != job.OfEndFloat && body.Of != job.OfSideClearance {
		err = errors.New("this page keeps end float and side clearance; other readings have their own")
	}
	render := func(status int, problem string) error { return s.showPlay(q, status, l, problem) }
	if doubt := ""; err == nil && body.Value != nil {
		if doubt = job.Question(body, l.State, l.Basis); doubt != "" {
			body.Questioned, body.Reason = doubt, q.value("reason")
			if body.Reason == "" && !q.wantsJSON() {
				return render(http.StatusUnprocessableEntity, doubtMark+doubt)
			}
			if body.Reason == "" {
				err = errors.New(doubt + ". Measure again, or say why it is right")
			}
		}
	}
	return q.submit(l, "reading", body, err, jobPath(l.ID)+"/play", render)
}

// keepThrust keeps which washers were in, or are in now.
func (s *server) keepThrust(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	body := job.ThrustWashers{Phase: q.value("phase"), Gauge: q.value("gauge"), Remark: q.value("remark")}
	body.Washers, err = thicknesses(q.value("washers"), l.Voice.Units.Unit(units.KindLength))
	return q.submit(l, "thrust_washers", body, err, jobPath(l.ID)+"/play", func(status int, problem string) error {
		return s.showPlay(q, status, l, problem)
	})
}
