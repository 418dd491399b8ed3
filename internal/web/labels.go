// SPDX-License-Identifier: Apache-2.0

package web

import (
	"bytes"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/internal/report"
	"witnessmark/internal/shop"
)

// labelsView is the choice of labels and of the sheet they go on.
type labelsView struct {
	Job     string
	Problem string
	Form    formView
	Bags    []option
	Bins    []option
}

var paperOptions = []option{{"a4", "A4, 210 × 297 mm"}, {"letter", "Letter, 8.5 × 11 in"}}

// usualGrid is 3 × 8 on plain paper, to be cut.
var usualGrid = map[string]string{"paper": "a4", "columns": "3", "rows": "8", "margin_top": "8", "margin_side": "6", "gap_across": "0", "gap_down": "0", "skip": "0", "frame": "1"}

func (s *server) labelsPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showLabels(q, http.StatusOK, l, "")
}

func (s *server) showLabels(q *request, status int, l *shop.Loaded, problem string) error {
	p, err := s.shop.Planned(q.Context(), l)
	if err != nil {
		return err
	}
	v := labelsView{Job: l.ID, Problem: problem, Form: q.oneOf(l, "labels")}
	asked := q.URL.Query()
	for name, usual := range usualGrid {
		if name == "paper" {
			usual = report.PaperOf(s.shop, "").Paper
		}
		v.Form.Typed[name] = usual
		if asked.Has(name) || asked.Has("columns") {
			v.Form.Typed[name] = asked.Get(name)
		}
	}
	v.Form.Typed["other"] = asked.Get("other")
	v.Form.Many = asked
	v.Bags = append(v.Bags, s.bagOptions(l, p)...)
	for _, x := range job.ShowParts(p.Parts, nil, p.Plan, s.today()).Rows {
		v.Bins = append(v.Bins, option{x.Part, x.Title})
	}
	return q.showForm(status, l, "Labels", "Parts", labelsBody(v))
}

// bagOptions are the operations whose bags may be marked: of the plan, and on
// record.
func (s *server) bagOptions(l *shop.Loaded, p *shop.Planned) []option {
	var out []option
	for _, o := range p.Operations {
		out = append(out, option{o.ID, o.Title})
	}
	for _, o := range l.State.Operations {
		if !slices.ContainsFunc(out, func(x option) bool { return x.Code == o.Body.Operation }) {
			out = append(out, option{o.Body.Operation, operationTitle(o.Body)})
		}
	}
	return out
}

// labelsFile is the sheet as a PDF.
func (s *server) labelsFile(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	p, err := s.shop.Planned(q.Context(), l)
	if err != nil {
		return err
	}
	asked := q.URL.Query()
	grid, err := gridOf(asked.Get)
	var list []report.Sticker
	if err == nil {
		list, err = s.stickers(l, p, asked["bag"], asked["bin"], asked.Get("other"))
	}
	if err != nil {
		return q.again(&shop.Refusal{Cause: err}, func(status int, problem string) error { return s.showLabels(q, status, l, problem) })
	}
	var b bytes.Buffer
	if err := report.Labels(&b, grid, list, "Labels of job "+l.ID, s.shop.Program()); err != nil {
		return err
	}
	h := q.w.Header()
	h.Set("Content-Type", "application/pdf")
	h.Set("Content-Disposition", `inline; filename="labels-`+l.ID+`.pdf"`)
	q.w.WriteHeader(http.StatusOK)
	_, err = q.w.Write(b.Bytes())
	return err
}

func gridOf(get func(string) string) (g report.Grid, err error) {
	g.Paper, g.Frame = get("paper"), get("frame") != ""
	for _, x := range []struct {
		name, words string
		into        *int
	}{{"columns", "columns", &g.Columns}, {"rows", "rows", &g.Rows}, {"skip", "labels used already", &g.Skip}} {
		if *x.into, err = strconv.Atoi(strings.TrimSpace(get(x.name))); err != nil {
			return g, fmt.Errorf("%s %q: write a whole number, such as 3", x.words, get(x.name))
		}
	}
	for _, x := range []struct {
		name, words string
		into        *float64
	}{{"margin_top", "margin above", &g.MarginTop}, {"margin_side", "margin at the side", &g.MarginSide}, {"gap_across", "gap across", &g.GapAcross}, {"gap_down", "gap down", &g.GapDown}} {
		text := strings.TrimSpace(strings.ReplaceAll(get(x.name), ",", "."))
		if *x.into, err = strconv.ParseFloat(text, 64); err != nil {
			return g, fmt.Errorf("%s %q: write millimetres, such as 8.5", x.words, get(x.name))
		}
	}
	return g, g.Check()
}

// stickers are the labels that were chosen. Other names stand one a line.
func (s *server) stickers(l *shop.Loaded, p *shop.Planned, bags, bins []string, other string) ([]report.Sticker, error) {
	v := l.View()
	about := strings.TrimSpace("Job " + v.Number + " · " + v.Vehicle)
	var out []report.Sticker
	add := func(kind, item, title string, more ...string) {
		out = append(out, report.Sticker{Code: job.Label{Job: l.ID, Kind: kind, Item: item}.Text(), Title: title, Lines: append([]string{about}, more...)})
	}
	for _, o := range s.bagOptions(l, p) {
		if slices.Contains(bags, o.Code) {
			var things []string
			for _, x := range p.Operations {
				if x.ID == o.Code {
					for _, t := range x.Things {
						things = append(things, t.Title)
					}
				}
			}
			add(job.LabelBag, o.Code, o.Words, strings.Join(things, ", "))
		}
	}
	for _, x := range p.Parts {
		if slices.Contains(bins, x.Part) {
			add(job.LabelBin, x.Part, x.Title, x.Part)
		}
	}
	for _, name := range strings.FieldsFunc(other, func(r rune) bool { return r == '\n' || r == '\r' || r == ';' }) {
		if name = strings.TrimSpace(name); name != "" && len(name) <= 80 {
			add(job.LabelPlace, name, name)
		}
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("no label is chosen: tick a bag or a bin, or write a name")
	}
	return out, nil
}
