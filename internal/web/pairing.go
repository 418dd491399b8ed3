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
)

// pairingPage chooses shells for a job and shows the strip as it would be.
type pairingBodyView struct {
	formView
	job.PairingView
	May     bool
	Fits    string // what is offered, so that nothing else is adopted
	Query   string // of what was asked, for links
	AsideBy map[int]bool
	FreeBy  map[int]bool
	Help    []job.HelpLine
	Nothing int
	Helped  bool
	Batches []string
	Undo    int64 // the entry that was adopted
}

func (s *server) pairingPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showPairing(q, http.StatusOK, l, "")
}

// pairingAsk is what was asked for, in the address or in the form.
func (q *request) pairingAsk() (ask job.PairingAsk) {
	_ = q.ParseForm()
	for _, name := range []struct {
		field string
		to    *[]int
	}{{"aside", &ask.Aside}, {"free", &ask.Free}} {
		for _, text := range q.Form[name.field] {
			if n, err := strconv.Atoi(text); err == nil && !slices.Contains(*name.to, n) {
				*name.to = append(*name.to, n)
			}
		}
		slices.Sort(*name.to)
	}
	return ask
}

func askQuery(ask job.PairingAsk) string {
	v := url.Values{}
	for _, n := range ask.Aside {
		v.Add("aside", strconv.Itoa(n))
	}
	for _, n := range ask.Free {
		v.Add("free", strconv.Itoa(n))
	}
	return v.Encode()
}

func (s *server) showPairing(q *request, status int, l *shop.Loaded, problem string) error {
	ask := q.pairingAsk()
	p, err := s.shop.Pairing(q.Context(), l, ask)
	if errors.Is(err, shop.ErrNoLimits) {
		return q.see(jobPath(l.ID) + "/sheet")
	}
	if err != nil {
		return err
	}
	v := pairingBodyView{formView: q.form(l), May: hands.admits(q.person.Role), Query: askQuery(ask), Batches: p.Case.Batches, AsideBy: map[int]bool{}, FreeBy: map[int]bool{}}
	v.PairingView = job.ShowPairing(p.Case, p.Best, p.Remedies, p.Err, l.Assessment, l.State, l.Basis, l.Voice)
	v.formView.Problem = problem
	for _, n := range ask.Aside {
		v.AsideBy[n] = true
	}
	for _, n := range ask.Free {
		v.FreeBy[n] = true
	}
	if p.Err == nil {
		v.Fits = fitsText(p.Case.Adopt(p.Best))
	}
	if l.State.Pairing != nil {
		v.Undo = l.State.Pairing.At.Seq
	}
	if v.Helped = q.URL.Query().Get("more") != "" && p.Err == nil; v.Helped {
		help, err := s.shop.OneMore(p)
		if err != nil {
			return err
		}
		v.Help, v.Nothing = p.Case.ShowHelp(help)
	}
	return q.showForm(status, l, "Choose shells", "Assemble", pairingBody(v))
}

// fitsText names an offer.
func fitsText(b job.PairingAdopted) string {
	var out []string
	for _, f := range b.Fits {
		out = append(out, fmt.Sprintf("%d=%s/%s+%s/%s", f.Position, f.Upper.Batch, f.Upper.ID, f.Lower.Batch, f.Lower.ID))
	}
	return strings.Join(out, " ")
}

// keepPairing adopts the offer that was shown; when the stock or a size changed
// meanwhile there is another, and it is shown first.
func (s *server) keepPairing(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	p, err := s.shop.Pairing(q.Context(), l, q.pairingAsk())
	if err != nil {
		return err
	}
	render := func(status int, problem string) error { return s.showPairing(q, status, l, problem) }
	switch {
	case p.Err != nil:
		return q.again(&shop.Refusal{Cause: p.Err}, render)
	case fitsText(p.Case.Adopt(p.Best)) != q.value("fits"):
		return q.again(&shop.Refusal{Cause: errors.New("the stock or a size changed since this choice was shown: look at the new one below, then adopt it")}, render)
	}
	return q.submit(l, "pairing_adopted", p.Case.Adopt(p.Best), nil, jobPath(l.ID)+"/pairing?"+askQuery(q.pairingAsk()), render)
}
