// SPDX-License-Identifier: Apache-2.0

package web

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/record"
)

// workshopView is what the workshop decides for itself.
type workshopView struct {
	formView
	Confidence string // as it is now
	Assumed    bool
	Now        string // the confidence in words
	One        bool
	Said       bool
	History    []job.Line
	Name, Zone string
	Key0       string // the public key
	Hours      hoursView
}

func (s *server) workshopPage(q *request) error { return s.showWorkshop(q, http.StatusOK, "") }

func (s *server) showWorkshop(q *request, status int, problem string) error {
	w, err := s.shop.Workshop(q.Context())
	if err != nil {
		return err
	}
	v := workshopView{formView: q.oneOf(nil, "settings"), One: w.One(), Said: q.URL.Query().Get("said") != "", Name: s.shop.Config().Name, Zone: s.shop.Zone().String()}
	v.Problem = problem
	c := w.Confidence
	if c == 0 {
		c, v.Assumed = job.DefaultConfidence, true
	}
	v.Confidence = percentText(c)
	v.Now = "Now " + v.Confidence + "."
	if v.Assumed {
		v.Now = "Now " + v.Confidence + ", assumed: nobody has set it."
	}
	if q.Method != http.MethodPost {
		v.Typed["units"], v.Typed["one"] = w.Units, map[bool]string{true: "yes", false: "no"}[w.OnePerson]
		if !v.Assumed {
			v.Typed["confidence"] = v.Confidence
		}
	}
	lines, err := s.shop.History(q.Context(), record.Workshop)
	if err != nil {
		return err
	}
	v.History = job.LinesOf(lines, "settings_changed", "key_renewed", "erased")
	if v.Key0, err = s.shop.VerifierKey(); err != nil {
		return err
	}
	if v.Hours, err = s.hoursView(q, w); err != nil {
		return err
	}
	return q.page(status, frame{Title: "Workshop settings"}, workshopBody(v))
}

func (s *server) keepWorkshop(q *request) error {
	render := func(status int, problem string) error { return s.showWorkshop(q, status, problem) }
	one := q.value("one") == "yes"
	body := job.SettingsChanged{Units: q.value("units"), OnePerson: &one, Reason: q.value("reason")}
	var err error
	if body.Confidence, err = probability(q.value("confidence")); err != nil {
		return q.again(&shop.Refusal{Cause: err}, render)
	}
	if err := shop.May(q.person.Role, "settings_changed"); err != nil {
		return err
	}
	in := shop.Input{ID: q.value("id"), Subject: record.Workshop, Kind: "settings_changed", Body: body, DeviceTime: q.deviceTime()}
	if _, _, err := s.shop.Append(q.Context(), q.person.ID, in); err != nil {
		return q.again(err, render)
	}
	return q.see("/settings?said=1")
}

// probability reads "80 %" or "0.80"; empty is none. A plain number above 1
// is a percentage.
func probability(text string) (float64, error) {
	if strings.TrimSpace(text) == "" {
		return 0, nil
	}
	p, err := strconv.ParseFloat(strings.ReplaceAll(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "%")), ",", "."), 64)
	if err != nil {
		return 0, fmt.Errorf("confidence %q is no number: write it as 80 %% or 0.80", text)
	}
	if p > 1 || strings.Contains(text, "%") {
		p /= 100
	}
	if p < 0.5 || p > 0.9999 {
		return 0, fmt.Errorf("confidence %q: write a value from 50 %% to 99.99 %%, such as 80 %%", text)
	}
	return p, nil
}

func percentText(p float64) string { return strconv.FormatFloat(p*100, 'f', -1, 64) + " %" }

// helpPage says how a day goes.
func (s *server) helpPage(q *request) error {
	return q.page(http.StatusOK, frame{Title: "Help"}, helpBody(q.person.Role == job.Manager))
}
