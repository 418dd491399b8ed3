// SPDX-License-Identifier: Apache-2.0

package web

import (
	"errors"
	"net/http"
	"slices"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// debrisView is what lay where, what was done about it, and the mains.
type debrisView struct {
	Job      string
	Kept     string
	Problem  string
	Places   []debrisPlace
	Circuit  []debrisPart
	Metal    bool // metal was found: the oil circuit has to be dealt with
	Found    formView
	Mains    formView
	MainsOn  []string
	Standing []string
	Asked    []job.PhotoAsk
}

type debrisPlace struct {
	Code, Title, Said string
	Needed, Metal     bool
	Key               formKey
}

type debrisPart struct {
	Code, Title, How string
	Key              formKey
}

var (
	debrisPlaceOptions  = []option{{"filter", "oil filter"}, {"sump", "sump"}, {"strainer", "strainer"}, {"magnet", "drain plug magnet"}, {"housing", "housing"}}
	debrisKindOptions   = []option{{"copper", "copper colour"}, {"grey_overlay", "grey overlay"}, {"aluminium", "aluminium"}, {"steel", "steel, a magnet takes it"}, {"plastic", "plastic"}, {"sealant", "sealant"}}
	debrisAmountOptions = []option{{"trace", "a trace"}, {"some", "some"}, {"much", "much"}}
	debrisPartOptions   = []option{{"cooler", "oil cooler"}, {"lines", "oil lines"}, {"housing", "filter housing"}, {"pickup", "oil pick-up"}}
	debrisHowOptions    = []option{{"cleaned", "cleaned"}, {"renewed", "renewed"}, {"found_clean", "found clean"}, {"not_fitted", "not fitted"}}
)

func (s *server) debrisPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showDebris(q, http.StatusOK, l, "")
}

func (s *server) showDebris(q *request, status int, l *shop.Loaded, problem string) error {
	v := debrisView{Job: l.ID, Kept: q.lastKept(l), Problem: problem, Found: q.oneOf(l, "found"), Mains: q.oneOf(l, "mains"), Asked: l.PhotosAsked("debris", 0), MainsOn: said(l, "mains_seen")}
	for _, o := range debrisPlaceOptions {
		p := debrisPlace{Code: o.Code, Title: o.Words, Needed: o.Code == "filter" || o.Code == "sump", Key: q.newKey()}
		for _, d := range l.State.Debris {
			if d.Body.Place == o.Code {
				p.Said, p.Metal = saidAt(l, d.At.Seq), d.Body.Metal()
			}
		}
		v.Places = append(v.Places, p)
	}
	for _, o := range debrisPartOptions {
		p := debrisPart{Code: o.Code, Title: o.Words, Key: q.newKey()}
		if d, ok := l.State.DebrisDealt[o.Code]; ok {
			p.How = d.Body.How
		}
		v.Circuit = append(v.Circuit, p)
	}
	v.Metal = slices.ContainsFunc(l.State.Debris, func(d job.Noted[job.DebrisFound]) bool { return d.Body.Metal() })
	for _, o := range standing(l, job.DebrisNotRead, job.DebrisMetal) {
		v.Standing = append(v.Standing, o.What)
	}
	return q.showForm(status, l, "Debris", "Strip", debrisBody(v))
}

func (s *server) keepDebris(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	body := job.DebrisFound{Place: q.value("place"), Kinds: q.Form["kind"], Amount: q.value("amount"), Remark: q.value("remark")}
	if body.Amount == "none" {
		body.Kinds = []string{"none"}
	} else if len(body.Kinds) == 0 {
		err = errNoDebrisKind
	}
	return q.submit(l, "debris_found", body, err, jobPath(l.ID)+"/debris", func(status int, problem string) error {
		return s.showDebris(q, status, l, problem)
	})
}

func (s *server) keepDealt(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	body := job.DebrisDealt{Part: q.value("part"), How: q.value("how")}
	return q.submit(l, "debris_dealt", body, nil, jobPath(l.ID)+"/debris", func(status int, problem string) error {
		return s.showDebris(q, status, l, problem)
	})
}

func (s *server) keepMains(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	body := job.MainsSeen{Bearings: q.value("bearings"), Finding: q.value("finding")}
	return q.submit(l, "mains_seen", body, nil, jobPath(l.ID)+"/debris", func(status int, problem string) error {
		return s.showDebris(q, status, l, problem)
	})
}

var errNoDebrisKind = errors.New("debris: nothing chosen: say what it was, or that there was none")

func howWords(code string) string {
	for _, o := range debrisHowOptions {
		if o.Code == code {
			return o.Words
		}
	}
	return code
}
