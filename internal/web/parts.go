// SPDX-License-Identifier: Apache-2.0

package web

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/scope"
)

// partsView is every part of a job with its forms.
type partsView struct {
	Job       string
	Kept      string
	Problem   string
	Sum       string // how many are here, coming, late
	Start     string // the earliest start, in words
	Risk      string
	HasPlan   bool
	Order     formView // what is to order, at once
	ToOrder   []orderLine
	Rows      []partRow
	New       formView // a part that the plan does not have
	Today     string
	Suppliers []string
	Clashes   []string
	HandsIn   bool
	Plan      planView
}

// orderLine is a part in the form that orders several at once.
type orderLine struct {
	Part, Title, Quantity, Key string
	On                         bool
}

// partRow is one part with its forms.
type partRow struct {
	job.PartView
	Anchor string
	Open   bool // its forms are open, because one of them came back
	Arrive formView
	Steps  map[string]formView // by what they record
}

// partSteps are what can be recorded of a part, each a form of its own.
var partSteps = []string{"order", "promise", "back", "arrive", "check", "right", "fit", "return"}

var returnOptions = []option{{"not_needed", "not needed"}, {"wrong", "wrong part"}, {"damaged", "damaged"}}

func (s *server) partsPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showParts(q, http.StatusOK, l, "")
}

func (s *server) showParts(q *request, status int, l *shop.Loaded, problem string) error {
	p, err := s.shop.Planned(q.Context(), l)
	if err != nil {
		return err
	}
	parts := job.ShowParts(p.Parts, p.Dates, p.Plan, s.today())
	v := partsView{Job: l.ID, Kept: q.lastKept(l), Problem: problem, HasPlan: p.Plan != nil, Today: s.today(), Order: q.oneOf(l, "order-all"), New: q.oneOf(l, "new"),
		Sum: partsSum(parts), HandsIn: hands.admits(q.person.Role)}
	if p.Dates != nil {
		d := job.ShowDates(*p.Dates, p.Planning, p.Parts)
		v.Start, v.Risk = d.Title, d.Risk
	}
	suppliers, err := s.shop.Suppliers(q.Context())
	if err != nil {
		return err
	}
	for _, x := range suppliers {
		v.Suppliers = append(v.Suppliers, x.Name)
	}
	for _, row := range parts.Rows {
		v.Rows = append(v.Rows, s.partRow(q, l, row))
		if row.State.Word == "to order" {
			v.ToOrder = append(v.ToOrder, orderLine{row.Part, row.Title, row.Quantity, q.newKey().ID, true})
		}
	}
	for _, f := range []*formView{&v.Order, &v.New} {
		if f.Typed["on"] == "" {
			f.Typed["on"] = v.Today
		}
	}
	if v.Clashes, err = s.clashes(q, l.ID); err != nil {
		return err
	}
	if p.Trouble != "" {
		v.Clashes = append(v.Clashes, "No date can be reckoned: "+sentence(p.Trouble))
	}
	if v.Plan, err = s.planView(q, l); err != nil {
		return err
	}
	return q.showForm(status, l, "Parts", "Parts", partsBody(v))
}

func (s *server) partRow(q *request, l *shop.Loaded, row job.PartView) partRow {
	r := partRow{PartView: row, Anchor: anchor("part", row.Part), Steps: map[string]formView{}}
	for _, step := range partSteps {
		f := q.oneOf(l, step+"-"+row.Part)
		r.Open = r.Open || q.Method == http.MethodPost && q.value("form") == step+"-"+row.Part && step != "arrive"
		for name, usual := range map[string]string{"on": s.today(), "quantity": row.Missing} {
			if f.Typed[name] == "" {
				f.Typed[name] = usual
			}
		}
		r.Steps[step] = f
	}
	return r
}

// clashes are the tools of a job that another job has too.
func (s *server) clashes(q *request, id string) ([]string, error) {
	all, err := s.shop.Clashes(q.Context())
	if err != nil {
		return nil, err
	}
	all = slices.DeleteFunc(all, func(c scope.Clash) bool { return id != "" && !slices.Contains(c.Jobs[:], id) })
	return job.Clashes(all), nil
}

func partsSum(v job.PartsView) string {
	var out []string
	for _, x := range []struct {
		n    int
		what string
	}{{v.Late, "to look at"}, {v.ToOrder, "to order"}, {v.Coming, "coming"}, {v.Here, "here"}} {
		if x.n > 0 {
			out = append(out, strconv.Itoa(x.n)+" "+x.what)
		}
	}
	return strings.Join(out, ", ")
}

// anchor is a name on a page for an id of a plan.
func anchor(kind, id string) string {
	return kind + "-" + strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '_' {
			return r
		}
		return '-'
	}, id)
}

// keepParts records what happened to a part.
func (s *server) keepParts(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	part := q.value("part")
	back := jobPath(l.ID) + "/parts"
	render := func(status int, problem string) error { return s.showParts(q, status, l, problem) }
	if q.value("step") == "order-all" {
		if err := s.orderAll(q, l); err != nil {
			return q.again(err, render)
		}
		return q.see(back)
	}
	kind, body, err := partEntry(q, part)
	if kind == "part_fitted" && err == nil && !hands.admits(q.person.Role) {
		return &shop.ErrNotAllowed{Role: q.person.Role, What: job.Title(kind)}
	}
	return q.submit(l, kind, body, err, back+"#"+anchor("part", part), render)
}

// partEntry is the entry of a part's form.
func partEntry(q *request, part string) (kind string, body any, err error) {
	n := func() (x float64) {
		if err == nil {
			x, err = amount(q.value("quantity"))
		}
		return x
	}
	switch q.value("step") {
	case "order":
		return "part_ordered", job.PartOrdered{Part: part, Title: q.value("title"), Number: q.value("number"), Quantity: n(), Supplier: q.value("supplier"),
			On: q.value("on"), Promised: q.value("promised")}, err
	case "promise":
		return "part_promised", job.PartPromised{Part: part, For: q.value("promised")}, nil
	case "back":
		return "part_back_ordered", job.PartBackOrdered{Part: part, Short: n(), Until: q.value("promised"), Remark: q.value("remark")}, err
	case "arrive":
		return "part_arrived", job.PartArrived{Part: part, Quantity: n(), Number: scanned(q.value("number")), On: q.value("came")}, err
	case "check":
		return "part_checked", job.PartChecked{Part: part, Seen: scanned(q.value("number")), Expected: q.value("expected")}, nil
	case "right":
		if q.value("reason") == "" {
			return "", nil, fmt.Errorf("say why %s is the right part, such as: the maker's new number", q.value("number"))
		}
		return "part_checked", job.PartChecked{Part: part, Seen: q.value("number"), Expected: q.value("expected"), Right: q.value("reason")}, nil
	case "fit":
		return "part_fitted", job.PartFitted{Part: part, Title: q.value("title"), Quantity: n(), Position: q.number("position")}, err
	case "return":
		return "part_returned", job.PartReturned{Part: part, Quantity: n(), Why: q.value("why"), Remark: q.value("remark")}, err
	}
	return "", nil, fmt.Errorf("nothing is said to have happened to the part: choose ordered, promised, arrived or another")
}

// scanned takes what a scanner adds off a part number.
func scanned(text string) string {
	if l, ok := job.ParseLabel(text); ok {
		return l.Item
	}
	return strings.TrimSpace(text)
}

// amount reads "8", "8.5" or "8,5".
func amount(text string) (float64, error) {
	x, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", "."), 64)
	if err != nil || !(x > 0) {
		return 0, fmt.Errorf("%q is no number of parts: write how many, such as 8", text)
	}
	return x, nil
}

// orderAll orders the parts that are ticked, each an entry of its own.
func (s *server) orderAll(q *request, l *shop.Loaded) error {
	parts := q.Form["order"]
	if len(parts) == 0 {
		return &shop.Refusal{Cause: fmt.Errorf("no part is ticked: tick what was ordered")}
	}
	for _, part := range parts {
		n, err := amount(q.value("quantity:" + part))
		if err != nil {
			return &shop.Refusal{Cause: fmt.Errorf("%s: %w", part, err)}
		}
		body := job.PartOrdered{Part: part, Title: q.value("title:" + part), Quantity: n, Supplier: q.value("supplier"), On: q.value("on"), Promised: q.value("promised")}
		in := shop.Input{ID: q.value("key:" + part), Subject: l.Subject, Kind: "part_ordered", Body: body, DeviceTime: q.deviceTime()}
		if _, _, err := s.shop.Append(q.Context(), q.person.ID, in); err != nil {
			return err
		}
	}
	return nil
}
