// SPDX-License-Identifier: Apache-2.0

package web

import (
	"errors"
	"fmt"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/units"
)

// agreeView is the estimate to talk through, and what was agreed.
type agreeView struct {
	Job       string
	Kept      string
	Problem   string
	Plan      planView
	HasPlan   bool
	Edition   string
	Newer     *newerPlan
	E         job.AgreeView
	Horizon   string // as asked for, else as on record
	PerYear   string
	Ahead     string // the horizon that the figures are for, in words
	Asked     bool   // it is not the one on record
	AheadKey  formKey
	Arrival   []string
	Today     string
	Currency  string
	Offer     formView
	Authority formView
	Given     []consentView
	Ceiling   string // in all, in words
	Beyond    string // the ceiling is below the estimate
	Refuse    formView
	Open      []option // offers that are neither in nor refused
	Stop      formView
	Stops     []stopView
	Change    formView
	Changes   []changeView
	InScope   []option
	NotIn     []option
}

// newerPlan is another plan that the job could use.
type newerPlan struct {
	Title, Hash string
	Was, Now    string // totals of the same work
	Key         formKey
}

// consentView is who agreed to what.
type consentView struct {
	Words, Name string
	Strokes     string
	Label       string
}

type stopView struct {
	When, Then string
	Routes     []job.Route
}

type changeView struct {
	Seq        int64
	Title, Why string
	What       string
	Photos     []photoView
	Price      string
	Answer     string
	State      string
	By         consentView
	Form       formView
}

var howOptions = []option{{"signed", "signed here"}, {"spoken", "by word of mouth or phone"}, {"written", "in writing"}}

func (s *server) agreePage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showAgree(q, http.StatusOK, l, "")
}

func (s *server) showAgree(q *request, status int, l *shop.Loaded, problem string) error {
	v := agreeView{Job: l.ID, Kept: q.lastKept(l), Problem: problem, HasPlan: l.Basis.Plan != nil, Arrival: said(l, "arrival"), Today: s.today(),
		Offer: q.oneOf(l, "offer"), Authority: q.oneOf(l, "authority"), Refuse: q.oneOf(l, "refuse"), Stop: q.oneOf(l, "stop"), Change: q.oneOf(l, "change")}
	var err error
	if v.Plan, err = s.planView(q, l); err != nil {
		return err
	}
	v.Currency = "EUR"
	if p := l.Basis.Plan; p != nil {
		v.Edition, v.Currency = strings.TrimSpace(p.Title+" "+p.Edition), string(p.Currency)
		needs, err := s.needs(q, l, &v)
		if err != nil {
			return err
		}
		if v.E, err = job.ShowAgree(l.State, p, q.draft(l), needs); err != nil {
			return err
		}
		if err := s.newer(q, l, &v); err != nil {
			return err
		}
		for _, r := range v.E.Offers {
			if !r.In && r.Refused == "" {
				v.Open = append(v.Open, option{r.ID, r.Title})
			}
		}
		for _, w := range p.Work {
			if slices.Contains(job.DraftOf(l.State), w.ID) {
				v.InScope = append(v.InScope, option{w.ID, w.Title})
			} else {
				v.NotIn = append(v.NotIn, option{w.ID, w.Title})
			}
		}
	}
	if err := s.agreed(q, l, &v); err != nil {
		return err
	}
	preset(&v.Authority, map[string]string{"on": v.Today, "how": "signed", "ceiling": v.E.Amount})
	preset(&v.Stop, map[string]string{"when": "a journal is damaged", "then": "stop, photograph, call",
		"route1": "fit as it is", "route2": "polish by hand", "route3": "undersize shells after grinding, engine out", "route4": "replacement crankshaft"})
	if v.Change.Typed["title"] == "" {
		v.Change.Typed["title"] = q.value("found")
	}
	return q.showForm(status, l, "Agree", "Agree", agreeBody(v))
}

// preset fills what nobody typed into.
func preset(f *formView, usual map[string]string) {
	if f.Typed["id"] != "" {
		return // it came back
	}
	for name, text := range usual {
		f.Typed[name] = text
	}
}

// draft is the work that is in: as the page asks, else as it stands.
func (q *request) draft(l *shop.Loaded) []string {
	draft := slices.Clone(job.DraftOf(l.State))
	if q.value("set") != "" {
		draft = slices.Clone(q.Form["in"])
	}
	draft = slices.DeleteFunc(draft, func(id string) bool { _, ok := l.Basis.Plan.WorkByID(id); return !ok })
	if flip := q.value("flip"); flip != "" {
		if i := slices.Index(draft, flip); i >= 0 {
			draft = slices.Delete(draft, i, i+1)
		} else if _, ok := l.Basis.Plan.WorkByID(flip); ok {
			draft = append(draft, flip)
		}
	}
	return draft
}

// needs is what the chances rest on, with the horizon that is asked for in
// place of the one on record.
func (s *server) needs(q *request, l *shop.Loaded, v *agreeView) (job.Needs, error) {
	n, err := s.shop.Needs(q.Context(), l)
	if err != nil {
		return n, err
	}
	if h := l.State.Horizon; h != nil {
		v.Ahead = h.Body.Text()
		v.Horizon, v.PerYear = h.Body.Typed()
	}
	typed := q.value("horizon")
	if !q.Form.Has("horizon") {
		return n, nil
	}
	v.Horizon, v.PerYear = typed, q.value("per_year")
	h, err := q.horizon()
	switch {
	case err != nil && v.Problem == "":
		v.Problem = sentence(err.Error())
	case h != nil:
		km := h.Km()
		v.Asked = n.Horizon == nil || *n.Horizon != km
		n.Horizon, v.Ahead, v.AheadKey = &km, h.Text(), q.newKey()
	case err == nil:
		n.Horizon, v.Ahead = nil, ""
	}
	return n, nil
}

var inYears = regexp.MustCompile(`^([0-9]+(?:[.,][0-9]+)?)\s*(?:y|years?)$`)

// horizon is the owner's: a distance, or years with the distance in a year. It
// is nil where none is asked for.
func (q *request) horizon() (*job.HorizonSet, error) {
	text := q.value("horizon")
	if text == "" {
		return nil, nil
	}
	h := job.HorizonSet{}
	var err error
	if m := inYears.FindStringSubmatch(strings.ToLower(text)); m != nil {
		if h.Years, err = strconv.ParseFloat(strings.Replace(m[1], ",", ".", 1), 64); err != nil {
			return nil, err
		}
		if h.PerYear, err = q.read("per_year", units.KindDistance, units.UnitKilometre); err != nil {
			return nil, err
		}
	} else if h.Distance, err = q.read("horizon", units.KindDistance, units.UnitKilometre); err != nil {
		return nil, err
	}
	if _, err := job.Propose("job/x", "horizon_set", h); err != nil {
		return nil, errors.New(strings.TrimPrefix(err.Error(), "job: horizon_set: "))
	}
	return &h, nil
}

// newer offers another plan of the family; the job keeps what it pinned.
func (s *server) newer(q *request, l *shop.Loaded, v *agreeView) error {
	p, err := s.shop.NewerPlan(q.Context(), l)
	if p == nil || err != nil {
		return err
	}
	n := newerPlan{Title: strings.TrimSpace(p.Title + " " + p.Edition), Hash: p.Hash, Was: v.E.Total, Now: "not the same work", Key: q.newKey()}
	if e, err := job.ShowAgree(l.State, p, v.E.Draft, job.Needs{}); err == nil {
		n.Now = e.Total
	}
	v.Newer = &n
	return nil
}

// agreed gathers what is on record.
func (s *server) agreed(q *request, l *shop.Loaded, v *agreeView) error {
	for _, a := range l.State.Authorities {
		c, err := s.consent(q, saidAt(l, a.At.Seq), a.Body.Consent)
		if err != nil {
			return err
		}
		v.Given = append(v.Given, c)
	}
	if c, currency, ok := job.AuthorityCeiling(l.State); ok {
		v.Ceiling = c.String() + " " + currency
		if total, toCome := job.AgreedTotal(l.State, l.Basis.Plan); total != nil && total.Cmp(c) > 0 {
			v.Beyond = "The agreed work comes to " + total.String() + " " + currency + ", more than that: ask again, or take work out."
		} else if toCome != "" {
			v.Beyond = "A price is still to come: " + toCome + "."
		}
	}
	for _, x := range l.State.Stops {
		v.Stops = append(v.Stops, stopView{x.Body.When, x.Body.Then, x.Body.Routes})
	}
	for _, c := range l.State.Changes {
		x := changeView{Seq: c.At.Seq, Title: c.Body.Title, Why: c.Body.Why, Price: "price to come", Answer: "not asked yet", State: "unproven"}
		if len(c.Body.Photos) > 0 {
			x.Photos = photosOf(l, func(line job.Line) bool { return line.Seq == c.At.Seq })
		}
		if c.Body.Price != "" {
			x.Price = c.Body.Price + " " + c.Body.Currency
		}
		if len(c.Body.Add) > 0 {
			x.What = "adds " + job.WorkTitles(l.Basis.Plan, c.Body.Add)
		}
		if len(c.Body.Remove) > 0 {
			x.What = strings.TrimPrefix(x.What+"; takes out "+job.WorkTitles(l.Basis.Plan, c.Body.Remove), "; ")
		}
		x.Form = q.oneOf(l, "answer-"+strconv.FormatInt(x.Seq, 10))
		preset(&x.Form, map[string]string{"on": v.Today, "how": "signed", "ceiling": strings.TrimPrefix(c.Body.Price, "-")})
		if strings.HasPrefix(c.Body.Price, "-") {
			x.Form.Typed["ceiling"] = ""
		}
		if c.Answer != nil {
			x.Answer, x.State = c.Answer.Body.Answer, map[bool]string{true: "fits", false: "soft"}[c.Accepted()]
			var err error
			if x.By, err = s.consent(q, saidAt(l, c.Answer.At.Seq), c.Answer.Body.Consent); err != nil {
				return err
			}
		}
		v.Changes = append(v.Changes, x)
	}
	return nil
}

func (s *server) consent(q *request, words string, c job.Consent) (consentView, error) {
	who, err := s.shop.SignedBy(q.Context(), c.Signature)
	v := consentView{Words: words, Name: who.Name, Strokes: who.Strokes}
	if who.Name != "" {
		v.Label = fmt.Sprintf("Signature of %s", who.Name)
	}
	return v, err
}
