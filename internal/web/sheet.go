// SPDX-License-Identifier: Apache-2.0

package web

import (
	"errors"
	"net/http"
	"strconv"
	"strings"

	"witnessmark/engine"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// jobSheetView is the engine sheet that a job rests on, and the others that it
// could rest on.
type jobSheetView struct {
	formView
	Pinned    *sheetView
	Reason    string // for which the pinned one was adopted
	Others    []sheetRow
	Unchecked []string // values that a decision rests on
}

// sheetView is a sheet as a page to read.
type sheetView struct {
	Hash     string
	Family   string
	Title    string
	Edition  string
	Invented bool
	Facts    []fact
	Parts    []sheetPart
	Sources  []fact
	Warnings []string
	Cautions []string
	Checked  int
	Of       int
}

type fact struct{ Name, Text string }

// sheetPart is one part of a sheet with its values.
type sheetPart struct {
	Title  string
	Values []sheetValue
}

// sheetValue is one value with what it rests on.
type sheetValue struct {
	Path, Name, Text, Source string
	Checked                  bool
	By                       string
}

// sheetRow is one line of a list of sheets.
type sheetRow struct {
	Hash, Family, Title, Edition string
	Invented                     bool
	Unchecked                    int
}

func (s *server) jobSheetPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showJobSheet(q, http.StatusOK, l, "")
}

func (s *server) showJobSheet(q *request, status int, l *shop.Loaded, problem string) error {
	all, err := s.shop.Sheets(q.Context())
	if err != nil {
		return err
	}
	v := jobSheetView{formView: q.form(l), Reason: l.State.Sheet.Reason}
	v.Problem = problem
	if l.Basis.Sheet != nil {
		pinned := viewSheet(l.State.Sheet.Sheet, l.Basis.Sheet)
		v.Pinned = &pinned
	}
	for _, o := range l.Assessment.Obstacles {
		if o.Code == job.Unchecked {
			v.Unchecked = o.Items
		}
	}
	for _, x := range all {
		if x.Hash != l.State.Sheet.Sheet {
			v.Others = append(v.Others, sheetRowOf(x))
		}
	}
	return q.showForm(status, l, "Engine sheet", "", jobSheetBody(v))
}

var errAdoptWhy = errors.New("the job rests on a sheet already: say why another one is adopted")

func (s *server) adoptSheet(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	sheet, err := s.shop.Sheet(q.Context(), q.value("sheet"))
	if err != nil {
		return errNotFound
	}
	body := job.SheetAdopted{Sheet: q.value("sheet"), Family: sheet.Family, Reason: q.value("reason")}
	if l.Basis.Sheet != nil && body.Reason == "" {
		err = errAdoptWhy
	}
	return q.submit(l, "sheet_adopted", body, err, jobPath(l.ID)+"/sheet", func(status int, problem string) error {
		return s.showJobSheet(q, status, l, problem)
	})
}

func sheetRowOf(x shop.SheetInfo) sheetRow {
	r := sheetRow{Hash: x.Hash, Family: x.Sheet.Family, Title: x.Sheet.Title, Edition: x.Sheet.Edition, Invented: x.Sheet.Invented}
	for _, v := range x.Sheet.Values() {
		if !v.Checked {
			r.Unchecked++
		}
	}
	return r
}

// viewSheet puts a sheet into a page to read: every value with its source.
func viewSheet(hash string, sheet *engine.Sheet) sheetView {
	v := sheetView{Hash: hash, Family: sheet.Family, Title: sheet.Title, Edition: sheet.Edition, Invented: sheet.Invented}
	v.facts(sheet)
	text := sheet.Written()
	for _, r := range sheet.Values() {
		if text[r.Path] == "" {
			continue
		}
		head, name, _ := strings.Cut(r.Path, ".")
		if name == "" {
			name = head
		}
		if n := len(v.Parts); n == 0 || v.Parts[n-1].Title != pathWords(head) {
			v.Parts = append(v.Parts, sheetPart{Title: pathWords(head)})
		}
		p := &v.Parts[len(v.Parts)-1]
		p.Values = append(p.Values, sheetValue{Path: r.Path, Name: pathWords(name), Text: text[r.Path], Source: sourceShort(r.Basis), Checked: r.Checked, By: r.CheckedBy})
		v.Of++
		if r.Checked {
			v.Checked++
		}
	}
	for _, w := range sheet.Warnings() {
		v.Warnings = append(v.Warnings, "Line "+strconv.Itoa(w.Line)+": "+w.What+". "+sentence(w.Want))
	}
	for _, c := range sheet.Cautions {
		v.Cautions = append(v.Cautions, c.Text)
	}
	return v
}

// facts are what a sheet says beside its values.
func (v *sheetView) facts(sheet *engine.Sheet) {
	var positions []string
	for _, p := range sheet.Positions() {
		positions = append(positions, strconv.Itoa(p.Number)+" is "+p.Cylinder)
	}
	var order []string
	for _, n := range sheet.AccessOrder() {
		order = append(order, strconv.Itoa(n))
	}
	v.Facts = []fact{
		{"Layout", string(sheet.Layout.Kind) + ", " + strconv.Itoa(len(positions)) + " big ends"},
		{"Positions and cylinders", strings.Join(positions, ", ")},
		{"Numbering", sheet.Layout.Numbering},
		{"As the throws come round", strings.Join(order, ", ")},
		{"Firing order", strings.Join(sheet.Layout.FiringOrder, ", ")},
	}
	for _, f := range sheet.Fasteners {
		var stages []string
		for _, st := range f.Stages {
			stages = append(stages, asks(st))
		}
		v.Facts = append(v.Facts, fact{f.Title, strings.Join([]string{string(f.Thread), f.Use.String(), strings.Join(stages, " → ")}, " · ")})
	}
	for _, w := range sheet.BigEnd.Shell.Construction.Wear {
		v.Facts = append(v.Facts, fact{"Shell wear", w.Words})
	}
	for id, src := range sheet.Sources {
		v.Sources = append(v.Sources, fact{id, strings.TrimSpace(src.Title + " " + src.Edition)})
	}
	sortFacts(v.Sources)
}

// sourceShort names a source as the sheet does; its title stands among the
// sources.
func sourceShort(b engine.Basis) string {
	if b.Source == "" {
		return "no source named"
	}
	return strings.TrimSpace(b.Source + " " + b.Locator)
}
