// SPDX-License-Identifier: Apache-2.0

package web

import (
	"bytes"
	"fmt"
	"net/http"
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
	for _, o := range report.Bags(p) {
		v.Bags = append(v.Bags, option{o.Operation, o.Title})
	}
	for _, x := range job.ShowParts(p.Parts, nil, p.Plan, s.today()).Rows {
		v.Bins = append(v.Bins, option{x.Part, x.Title})
	}
	return q.showForm(status, l, "Labels", "Parts", labelsBody(v))
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
		list, err = report.Stickers(p, asked["bag"], asked["bin"], asked.Get("other"))
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
