// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"
	"strconv"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/units"
)

// handoverView is the end of the job, and what comes after it.
type handoverView struct {
	Job         string
	Kept        string
	Problem     string
	Checks      []job.CheckView // that have anything standing or conceded
	Ready       bool
	Left        int
	Mains       string
	MainsSeen   bool
	OldParts    []string
	Fate        formView
	Advice      []string
	Handover    formView
	Done        string // the handover on record
	By, When    string
	Program     string
	Differences []string
	Compared    bool
	Seal        formView
	Seals       []sealLine
	Unsealed    int64 // entries that no seal covers
	Follow      formView
	Follows     []string
	Distance    string
	Cautions    []string
	May         bool // hand over and seal
	Account     *job.AccountView
}

var (
	fateOptions   = []option{{"shown", "shown to the owner"}, {"kept", "kept by the workshop"}, {"returned", "returned to the owner"}, {"scrapped", "scrapped"}}
	followOptions = []option{{"running_in", "running-in"}, {"oil_change", "first oil and filter change"}, {"torque_recheck", "torque recheck"}, {"warranty", "warranty"}, {"call", "call"}}
)

func (s *server) handoverPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showHandover(q, http.StatusOK, l, "")
}

func (s *server) showHandover(q *request, status int, l *shop.Loaded, problem string) error {
	view := l.View()
	v := handoverView{Job: l.ID, Kept: q.lastKept(l), Problem: problem, Ready: l.Assessment.HandOver, Left: len(l.Assessment.Standing(job.Handover)),
		Mains: view.Mains, MainsSeen: l.Assessment.MainsInspected, OldParts: said(l, "old_parts"), Fate: q.oneOf(l, "fate"), Advice: job.Advice(l.Basis),
		Handover: q.oneOf(l, "handover"), Seal: q.oneOf(l, "seal"), Seals: seals(l), Unsealed: l.State.Size, Follow: q.oneOf(l, "follow"),
		Follows: said(l, "follow_up"), Distance: unitOf(l, units.KindDistance).Symbol, Cautions: stepCautions(l, "handover", usualHandover...),
		May: hands.admits(q.person.Role)}
	for _, c := range view.Checks {
		if len(c.Standing)+len(c.Conceded) > 0 || c.Check == job.Handover {
			v.Checks = append(v.Checks, c)
		}
	}
	for _, f := range []*formView{&v.Handover, &v.Seal} {
		if f.Key.Saw == "" {
			f.Key.Saw = saw(l)
		}
	}
	if n := len(v.Seals); n > 0 {
		v.Unsealed = l.State.Size - v.Seals[n-1].Covers - 1 // less the seal itself
	}
	if a, ok, err := job.AccountOf(l.State, l.Basis); err != nil {
		return err
	} else if ok {
		view := job.ShowAccount(a)
		v.Account = &view
	}
	if err := s.handedOver(q, l, &v); err != nil {
		return err
	}
	return q.showForm(status, l, "Hand over", "Hand over", handoverBody(v))
}

var usualHandover = []string{"What is calculated here is no approval. The owner is told what was not looked at."}

// handedOver says what the handover rested on, and what differs today.
func (s *server) handedOver(q *request, l *shop.Loaded, v *handoverView) error {
	h := l.State.Handover
	if h == nil {
		return nil
	}
	v.Done, v.Program = saidAt(l, h.At.Seq), h.Body.Program
	v.By, v.When = l.Voice.Names[h.At.Person], h.At.Received.In(s.shop.Zone()).Format("2006-01-02 15:04")
	snap, err := s.shop.Snapshot(q.Context(), l)
	if err != nil {
		return err
	}
	v.Differences, v.Compared = job.Differences(snap.Assessment, l.Assessment, l.Basis, l.Voice), true
	return nil
}

func (s *server) keepHandover(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	if err := shop.May(q.person.Role, "handover"); err != nil {
		return err
	}
	seen, _ := strconv.ParseInt(q.value("saw"), 10, 64)
	// Sent twice: the handover that follows what was seen is this one.
	if h := l.State.Handover; h != nil && h.At.Seq == seen+1 && h.At.Person == q.person.ID {
		return q.see(jobPath(l.ID) + "/handover#seal")
	}
	if _, err := s.shop.HandOver(q.Context(), q.person.ID, l.ID, q.value("remark"), seen); err != nil {
		return q.again(err, func(status int, problem string) error { return s.showHandover(q, status, l, problem) })
	}
	return q.see(jobPath(l.ID) + "/handover#seal")
}

func (s *server) keepSeal(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	if err := shop.May(q.person.Role, "seal"); err != nil {
		return err
	}
	seen, _ := strconv.ParseInt(q.value("saw"), 10, 64)
	if _, err := s.shop.Seal(q.Context(), q.person.ID, l.ID, q.value("id"), seen); err != nil {
		return q.again(err, func(status int, problem string) error { return s.showHandover(q, status, l, problem) })
	}
	return q.see(jobPath(l.ID) + "/handover#seals")
}

func (s *server) keepOldParts(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	body := job.OldParts{Parts: q.value("parts"), Fate: q.value("fate"), Remark: q.value("remark")}
	return q.submit(l, "old_parts", body, nil, jobPath(l.ID)+"/handover", func(status int, problem string) error {
		return s.showHandover(q, status, l, problem)
	})
}

func (s *server) keepFollowUp(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	body := job.FollowUp{What: q.value("what"), Finding: q.value("finding"), OK: q.value("ok") == "yes"}
	body.Odometer, err = q.read("odometer", units.KindDistance, unitOf(l, units.KindDistance))
	return q.submit(l, "follow_up", body, err, jobPath(l.ID)+"/handover", func(status int, problem string) error {
		return s.showHandover(q, status, l, problem)
	})
}
