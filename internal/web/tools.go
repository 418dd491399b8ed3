// SPDX-License-Identifier: Apache-2.0

package web

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"witnessmark/fastener"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/record"
	"witnessmark/units"
)

// toolsView is the tool register.
type toolsView struct {
	Rows    []toolRow
	Retired []toolRow
	May     bool // add and calibrate
	Late    int
}

type toolRow struct {
	ID, Title, Kind string
	Extra           []string
	Standing        job.WordView
}

// toolView is one tool with its history.
type toolView struct {
	toolRow
	Retired   bool
	History   []job.Line
	Kept      string
	Problem   string
	Today     string
	Calibrate formView
	Test      formView
	Retire    formView
	Describe  formView
	Measures  []option
	Length    bool // it reads lengths
	Count     formView
	Torque    bool // it has cycles to count
	Manager   bool
	Decider   bool
	Dated     bool // it is calibrated
}

// newToolView is the form that puts a tool into the register.
type newToolView struct {
	formView
	Kinds []option
	Unit  string
}

func (s *server) toolsPage(q *request) error {
	tools, err := s.shop.Tools(q.Context())
	if err != nil {
		return err
	}
	v := toolsView{May: q.person.Role == job.Manager}
	for _, id := range allTools(tools) {
		t := tools[id]
		row := toolRowOf(t, s.today())
		if t.Retired != nil {
			v.Retired = append(v.Retired, row)
			continue
		}
		if row.Standing.State == "out" {
			v.Late++
		}
		v.Rows = append(v.Rows, row)
	}
	slices.SortStableFunc(v.Rows, func(a, b toolRow) int { return urgency(a) - urgency(b) })
	return q.page(http.StatusOK, frame{Title: "Tool register"}, toolsBody(v))
}

// urgency puts what needs attention first.
func urgency(r toolRow) int {
	return map[string]int{"out": 0, "unproven": 1}[r.Standing.State] + map[string]int{"fits": 2, "soft": 2}[r.Standing.State]
}

func toolRowOf(t job.Tool, today string) toolRow {
	return toolRow{ID: t.ID, Title: t.Title, Kind: sentenceStart(t.KindWords()), Extra: t.Extra(), Standing: t.Standing(today)}
}

func (s *server) toolPage(q *request) error {
	return s.showTool(q, http.StatusOK, "")
}

func (s *server) showTool(q *request, status int, problem string) error {
	t, err := s.shop.Tool(q.Context(), q.PathValue("tool"))
	if err != nil {
		return err
	}
	v := toolView{toolRow: toolRowOf(t, s.today()), Retired: t.Retired != nil, Problem: problem, Today: s.today(), Calibrate: q.oneOf(nil, "calibrate"),
		Test: q.oneOf(nil, "test"), Retire: q.oneOf(nil, "retire"), Count: q.oneOf(nil, "count"), Torque: t.Kind == "torque_wrench", Manager: q.person.Role == job.Manager, Decider: deciders.admits(q.person.Role),
		Dated: t.NeedsCalibration || len(t.Calibrations) > 0}
	v.describe(t, q)
	if v.History, err = s.shop.History(q.Context(), toolSubject(t.ID)); err != nil {
		return err
	}
	for _, line := range v.History {
		if strconv.FormatInt(line.Seq, 10) == q.URL.Query().Get("kept") {
			v.Kept = line.Words
		}
	}
	for _, f := range []formView{v.Calibrate, v.Test, v.Count} {
		if f.Typed["date"] == "" {
			f.Typed["date"] = s.today()
		}
	}
	return q.page(status, frame{Title: t.ID + " · Tool register"}, toolBody(v))
}

// describe fills the description's form with what is known.
func (v *toolView) describe(t job.Tool, q *request) {
	v.Describe, v.Length = q.oneOf(nil, "describe"), toolQuantity(t.Kind) == units.KindLength
	for _, m := range job.Measurable {
		v.Measures = append(v.Measures, option{m, strings.ReplaceAll(m, "_", " ")})
	}
	if q.value("form") == "describe" {
		return
	}
	v.Describe.Many = map[string][]string{"measures": t.Measures()}
	if d := t.Described; d != nil {
		v.Describe.Typed["set_with"], v.Describe.Typed["remark"] = d.Body.SetWith, d.Body.Remark
		for name, r := range map[string]*units.Read{"low": d.Body.Low, "high": d.Body.High, "resolution": d.Body.Resolution} {
			if r != nil {
				v.Describe.Typed[name] = r.String()
			}
		}
		if d.Body.Expansion > 0 {
			v.Describe.Typed["expansion"] = strconv.FormatFloat(d.Body.Expansion, 'g', -1, 64)
		}
		if d.Body.IntervalMonths > 0 {
			v.Describe.Typed["interval"] = strconv.Itoa(d.Body.IntervalMonths)
		}
	}
}

func toolSubject(id string) string { return "tool/" + id }

func toolPath(id string) string { return "/tools/" + id }

func (s *server) newToolPage(q *request) error {
	return s.showNewTool(q, http.StatusOK, "")
}

func (s *server) showNewTool(q *request, status int, problem string) error {
	v := newToolView{formView: q.oneOf(nil, "tool")}
	v.Problem = problem
	w, err := s.shop.Workshop(q.Context())
	if err != nil {
		return err
	}
	v.Unit = shop.Preferences(w).Unit(units.KindLength).Symbol
	for _, k := range job.ToolKinds {
		v.Kinds = append(v.Kinds, option{k, job.ToolAdded{Kind: k}.KindWords()})
	}
	return q.page(status, frame{Title: "Add a tool"}, newToolBody(v))
}

// keepTool puts a tool into the register.
func (s *server) keepTool(q *request) error {
	render := func(status int, problem string) error { return s.showNewTool(q, status, problem) }
	body, err := s.typedTool(q)
	if err != nil {
		return q.again(&shop.Refusal{Cause: err}, render)
	}
	if err := s.keepInRegister(q, body.ID, "tool_added", body); err != nil {
		return q.again(err, render)
	}
	return q.see(toolPath(body.ID))
}

func (s *server) typedTool(q *request) (job.ToolAdded, error) {
	b := job.ToolAdded{ID: q.value("tool"), Kind: q.value("kind"), Title: q.value("title"), Batch: q.value("batch"), Expires: q.value("expires"), NeedsCalibration: q.checked("needs_calibration")}
	if err := record.CheckSubject(toolSubject(b.ID)); err != nil {
		return b, fmt.Errorf("tool id %q: use letters, digits, points and dashes, such as TW-2", b.ID)
	}
	if t, err := s.shop.Tool(q.Context(), b.ID); err == nil {
		return b, fmt.Errorf("tool %s is in the register already: %s. Choose another id, or open that tool", b.ID, t.Title)
	}
	w, err := s.shop.Workshop(q.Context())
	if err != nil {
		return b, err
	}
	unit := shop.Preferences(w).Unit(units.KindLength)
	if b.Graduations, err = graduations(q.value("graduations"), unit); err != nil {
		return b, err
	}
	if b.Kind == "strip_gauge" && len(b.Graduations) < 2 {
		return b, fmt.Errorf("a strip gauge needs its scale: write the clearances that its sleeve shows, from narrow to wide")
	}
	b.TorqueTool, err = typedTorqueTool(q)
	if err != nil {
		return b, err
	}
	kind := toolQuantity(b.Kind)
	assumed := shop.Preferences(w).Unit(kind)
	if b.Low, err = q.read("low", kind, assumed); err != nil {
		return b, err
	}
	if b.High, err = q.read("high", kind, assumed); err != nil {
		return b, err
	}
	if b.Resolution, err = q.read("resolution", kind, assumed); err != nil {
		return b, err
	}
	if b.U, err = q.read("u", kind, assumed); err != nil {
		return b, err
	}
	b.TolerancePercent, err = percentOf(q.value("tolerance"))
	return b, err
}

// toolQuantity is what a kind of tool reads.
func toolQuantity(kind string) units.Kind {
	switch kind {
	case "torque_wrench":
		return units.KindTorque
	case "angle_gauge":
		return units.KindAngle
	case "pressure_gauge":
		return units.KindPressure
	}
	return units.KindLength
}

// graduations reads the clearances of a scale, one after another.
func graduations(text string, assumed units.Unit) ([]units.Read, error) {
	var out []units.Read
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ';' || r == '\n' || r == ' ' || r == '\t' }) {
		part = strings.Trim(part, ",")
		if part == "" || part == assumed.Symbol {
			continue
		}
		r, err := units.Parse(units.KindLength, part, assumed)
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, nil
}

// percentOf reads "4" or "4 %"; empty is none.
func percentOf(text string) (float64, error) {
	text = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "%"))
	if text == "" {
		return 0, nil
	}
	p, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", "."), 64)
	if err != nil {
		return 0, fmt.Errorf("%q is no percentage: write it as 4 %%", text)
	}
	return p, nil
}

// keepInRegister appends to the log of a tool.
func (s *server) keepInRegister(q *request, id, kind string, body any) error {
	if err := shop.May(q.person.Role, kind); err != nil {
		return err
	}
	_, _, err := s.shop.Append(q.Context(), q.person.ID, shop.Input{ID: q.value("id"), Subject: toolSubject(id), Kind: kind, Body: body, DeviceTime: q.deviceTime()})
	return err
}

// keepOnTool keeps an entry about the tool of the path and shows it again.
func (s *server) keepOnTool(q *request, kind string, body any, err error) error {
	id := q.PathValue("tool")
	if _, missing := s.shop.Tool(q.Context(), id); missing != nil {
		return missing
	}
	if err == nil {
		err = s.keepInRegister(q, id, kind, body)
	} else {
		err = &shop.Refusal{Cause: err}
	}
	if err != nil {
		return q.again(err, func(status int, problem string) error { return s.showTool(q, status, problem) })
	}
	return q.see(toolPath(id))
}

func (s *server) keepCalibration(q *request) error {
	body := job.ToolCalibrated{Date: q.value("date"), Due: q.value("due"), By: q.value("by"), Certificate: q.value("certificate")}
	t, err := s.shop.Tool(q.Context(), q.PathValue("tool"))
	if err != nil {
		return err
	}
	kind := toolQuantity(t.Kind)
	body.U, err = q.read("u", kind, kind.Canonical())
	if body.U != nil {
		body.K = 2
		if k := q.value("k"); k != "" && err == nil {
			if body.K, err = percentOf(k); err == nil && (body.K < 1 || body.K > 10) {
				err = fmt.Errorf("coverage factor %s: write a number from 1 to 10, such as 2", k)
			}
		}
	}
	return s.keepOnTool(q, "tool_calibrated", body, err)
}

// keepDescription keeps what a gauge measures and what a budget needs of it.
func (s *server) keepDescription(q *request) error {
	t, err := s.shop.Tool(q.Context(), q.PathValue("tool"))
	if err != nil {
		return err
	}
	b := job.ToolDescribed{Measures: q.Form["measures"], SetWith: q.value("set_with"), Remark: q.value("remark")}
	kind := toolQuantity(t.Kind)
	for _, f := range []struct {
		name string
		to   **units.Read
	}{{"low", &b.Low}, {"high", &b.High}, {"resolution", &b.Resolution}} {
		if err == nil {
			*f.to, err = q.read(f.name, kind, kind.Canonical())
		}
	}
	if err == nil {
		b.Expansion, err = percentOf(q.value("expansion"))
	}
	if m := q.value("interval"); m != "" && err == nil {
		if b.IntervalMonths, err = strconv.Atoi(m); err != nil {
			err = fmt.Errorf("interval %q: write whole months, such as 12", m)
		}
	}
	return s.keepOnTool(q, "tool_described", b, err)
}

// typedTorqueTool reads what ISO 6789 says of a torque tool, and how good an
// angle gauge is.
func typedTorqueTool(q *request) (t job.TorqueTool, err error) {
	t.ISO6789 = q.value("iso_6789")
	if text := q.value("max_cycles"); text != "" {
		if t.MaxCycles, err = strconv.Atoi(text); err != nil {
			return t, fmt.Errorf("calibration after %q cycles: write a whole number, such as 5000", text)
		}
	}
	t.AngleTolerance, err = q.read("angle_tolerance", units.KindAngle, units.UnitDegree)
	return t, err
}

// toolClasses are the classes of ISO 6789 to choose from.
func toolClasses() []option {
	var out []option
	for _, c := range fastener.ToolClasses() {
		out = append(out, option{c.Type + " " + c.Class, c.String() + ": " + c.Words()})
	}
	return out
}

// keepCount keeps what the counter of a torque tool showed.
func (s *server) keepCount(q *request) error {
	n, err := strconv.Atoi(q.value("cycles"))
	if err != nil {
		err = fmt.Errorf("%q is no number of cycles: write what the counter shows, such as 3400", q.value("cycles"))
	}
	return s.keepOnTool(q, "tool_counted", job.ToolCounted{Date: q.value("date"), Cycles: n}, err)
}

func (s *server) keepTest(q *request) error {
	var err error
	if v := q.value("inside"); v != "yes" && v != "no" {
		err = fmt.Errorf("say whether it was inside or outside its tolerance")
	}
	return s.keepOnTool(q, "tool_tested", job.ToolTested{Date: q.value("date"), Inside: q.value("inside") == "yes", Remark: q.value("remark")}, err)
}

func (s *server) keepRetired(q *request) error {
	return s.keepOnTool(q, "tool_retired", job.ToolRetired{Reason: q.value("reason")}, nil)
}
