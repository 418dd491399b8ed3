// SPDX-License-Identifier: Apache-2.0

package web

import (
	"errors"
	"fmt"
	"slices"
	"strconv"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// keepAgree keeps what a form of the page for agreeing says.
func (s *server) keepAgree(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	back := jobPath(l.ID) + "/agree"
	render := func(status int, problem string) error { return s.showAgree(q, status, l, problem) }
	switch q.value("step") {
	case "offer":
		body, err := offered(q, l)
		return q.submit(l, "estimate_offered", body, err, back, render)
	case "authority":
		return s.keepConsent(q, l, "authority_given", authority(q, l), back+"#agreed", render)
	case "refuse":
		body := job.OfferRefused{Work: q.value("work"), Reason: q.value("reason")}
		return q.submit(l, "offer_refused", body, offerOf(l, body.Work), back, render)
	case "horizon":
		body, err := q.horizon()
		if err == nil && body == nil {
			err = errors.New("how far the owner means to keep it is empty: write a distance such as 60000 km, or 4 years")
		}
		if err != nil {
			return q.again(&shop.Refusal{Cause: err}, render)
		}
		return q.submit(l, "horizon_set", *body, nil, back+"#horizon", render)
	case "stop":
		return q.submit(l, "stop_point", stopPoint(q), nil, back+"#stops", render)
	case "change":
		body, err := found(q, l)
		return q.submit(l, "change_found", body, err, back+"#changes", render)
	case "answer":
		seq, _ := strconv.ParseInt(q.value("change"), 10, 64)
		body := func(c job.Consent) any {
			return job.ChangeAnswered{Change: seq, Answer: q.value("answer"), Reason: q.value("reason"), Consent: c}
		}
		return s.keepConsent(q, l, "change_answered", body, back+"#changes", render)
	}
	return q.again(&shop.Refusal{Cause: errors.New("nothing is said to be agreed: choose a form of the page")}, render)
}

// offerOf refuses what is no work of the plan.
func offerOf(l *shop.Loaded, work string) error {
	if l.Basis.Plan == nil {
		return errNoPlan
	}
	if _, ok := l.Basis.Plan.WorkByID(work); !ok {
		return fmt.Errorf("not wanted: the plan has no work %q: choose from the list", work)
	}
	return nil
}

func offered(q *request, l *shop.Loaded) (job.EstimateOffered, error) {
	if l.Basis.Plan == nil {
		return job.EstimateOffered{}, errNoPlan
	}
	draft := q.draft(l)
	e, err := job.ShowAgree(l.State, l.Basis.Plan, draft, job.Needs{})
	return job.EstimateOffered{Want: draft, Offers: job.OffersOf(l.State, l.Basis.Plan), Total: e.Amount}, err
}

var errNoPlan = errors.New("the job has no plan yet: adopt one first")

// authority is the body of an authority for the work that is in.
func authority(q *request, l *shop.Loaded) func(job.Consent) any {
	body := job.AuthorityGiven{Work: q.value("work")}
	if l.Basis.Plan != nil {
		body.Want, body.Work = q.draft(l), ""
		if e, err := job.ShowAgree(l.State, l.Basis.Plan, body.Want, job.Needs{}); err == nil {
			body.Total = e.Amount
			for _, r := range e.Offers {
				if !r.In {
					body.Refused = append(body.Refused, r.ID)
				}
			}
		}
		if len(body.Refused) > 0 {
			body.Reason = q.value("reason")
		}
	}
	return func(c job.Consent) any {
		b := body
		b.Consent = c
		return b
	}
}

// keepConsent keeps who agreed beside the log, and the entry.
func (s *server) keepConsent(q *request, l *shop.Loaded, kind string, body func(job.Consent) any, next string, render func(int, string) error) error {
	if err := shop.May(q.person.Role, kind); err != nil {
		return err
	}
	c := job.Consent{On: q.value("on"), How: q.value("how"), Ceiling: q.value("ceiling"), Currency: q.value("currency")}
	who := shop.Signed{Name: q.value("name"), Strokes: q.value("strokes"), Ticked: q.checked("ticked")}
	if c.How == "signed" && who.Strokes == "" && !who.Ticked {
		return q.again(&shop.Refusal{Cause: errors.New("there is no signature: draw it in the field, or write the name and tick the box, or choose spoken or written")}, render)
	}
	if c.How != "signed" {
		who.Strokes = ""
	}
	seq, err := s.shop.Agree(q.Context(), q.person.ID, shop.Consent{ID: q.value("id"), Job: l.ID, Kind: kind, Who: who, Body: func(signature string) any {
		c := c
		c.Signature = signature
		return body(c)
	}}, shop.Input{DeviceTime: q.deviceTime()})
	if err != nil {
		return q.again(err, render)
	}
	return q.see(withKept(next, seq))
}

func stopPoint(q *request) job.StopPoint {
	b := job.StopPoint{When: q.value("when"), Then: q.value("then")}
	for i := 1; i <= routeFields; i++ {
		n := strconv.Itoa(i)
		if t := q.value("route" + n); t != "" {
			b.Routes = append(b.Routes, job.Route{Title: t, Price: q.value("price" + n)})
		}
	}
	return b
}

// routeFields is how many routes from a stop point the form takes.
const routeFields = 5

// change is a finding with its price: the plan's for its work, unless one was
// typed.
func found(q *request, l *shop.Loaded) (job.ChangeFound, error) {
	some := func(name string) []string {
		return slices.DeleteFunc(slices.Clone(q.Form[name]), func(x string) bool { return x == "" })
	}
	b := job.ChangeFound{Title: q.value("title"), Why: q.value("why"), Add: some("add"), Remove: some("remove"), Price: q.value("price"), Currency: q.value("currency")}
	if len(b.Add)+len(b.Remove) == 0 {
		return b, nil
	}
	if l.Basis.Plan == nil {
		return b, errNoPlan
	}
	for _, id := range slices.Concat(b.Add, b.Remove) {
		if _, ok := l.Basis.Plan.WorkByID(id); !ok {
			return b, fmt.Errorf("the plan has no work %q: choose from the list", id)
		}
	}
	if b.Price != "" {
		return b, nil
	}
	var err error
	b.Price, err = job.ChangePrice(l.Basis.Plan, job.DraftOf(l.State), b)
	return b, err
}
