// SPDX-License-Identifier: Apache-2.0

package api_test

import (
	"net/http"
	"strings"
	"testing"

	"witnessmark/internal/api"
	"witnessmark/internal/api/client"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// send proposes an entry under a path.
func (k *kit) send(c *client.Client, path, kind string, body any, saw int64) (kept api.Kept, err error) {
	k.Helper()
	p, err := client.Propose(kind, body, saw)
	k.must(err)
	return kept, c.Send(k.Context(), http.MethodPost, path, p, &kept)
}

// A batch begins once; sent twice it is the same. What was entered by mistake
// is taken back, and what belongs elsewhere is refused.
func TestBatchBeginsOnce(t *testing.T) {
	k := newKit(t)
	c := k.as(job.Technician)
	const path = "/stock/B-7/entries"
	p, err := client.Propose("batch_added", job.BatchAdded{ID: "B-7", Part: "INV"}, 0)
	k.must(err)
	var first, again api.Kept
	k.must(c.Send(t.Context(), http.MethodPost, path, p, &first))
	k.must(c.Send(t.Context(), http.MethodPost, path, p, &again))
	if first.Existed || !again.Existed || again.Sequence != first.Sequence {
		t.Errorf("first %+v, then %+v", first, again)
	}
	_, err = k.send(c, path, "batch_added", job.BatchAdded{ID: "B-7", Part: "another"}, 0)
	k.refused(err, http.StatusUnprocessableEntity, "in stock already")
	_, err = k.send(c, path, "batch_added", job.BatchAdded{ID: "B-8"}, 0)
	k.refused(err, http.StatusUnprocessableEntity, `the path says "B-7"`)
	_, err = k.send(c, path, "last_look", job.LastLook{}, 0)
	k.refused(err, http.StatusUnprocessableEntity, "log of stock")
	_, err = k.send(c, "/stock/B-9/entries", "shell_measured", job.ShellMeasured{ID: "U1", Half: job.Upper, Wall: *length(t, "1.988 mm")}, 0)
	k.refused(err, http.StatusNotFound, "")

	measured, err := k.send(c, path, "shell_measured", job.ShellMeasured{ID: "U1", Half: job.Upper, Wall: *length(t, "1.988 mm")}, 0)
	k.must(err)
	slip, err := k.send(c, path, "shell_measured", job.ShellMeasured{ID: "U1", Half: job.Upper, Wall: *length(t, "1.998 mm")}, 0)
	k.must(err)
	if _, err := k.send(c, path, "correction", job.Correction{Replaces: slip.Sequence, Reason: "misread"}, slip.Sequence); err != nil {
		t.Fatal(err)
	}
	var stock api.Stock
	k.must(c.Send(t.Context(), http.MethodGet, "/stock", nil, &stock))
	if len(stock.Batches) != 1 || stock.Batches[0].Part != "INV" || len(stock.Batches[0].Shells) != 1 || stock.Batches[0].Shells[0].WallMM != 1.988 || measured.Sequence != 2 {
		t.Errorf("%+v", stock)
	}
}

// While a study is read nothing gives a figure of the other person away: not
// the study, not the changes, not what a refusal says.
func TestStudyStaysBlind(t *testing.T) {
	k := newKit(t)
	_, _, err := k.shop.Append(t.Context(), "p-manager", shop.Input{Subject: "tool/DI-1", Kind: "tool_added", Body: job.ToolAdded{ID: "DI-1", Kind: "dial_indicator", Title: "Dial"}})
	k.must(err)
	one, two := k.as(job.Technician), k.as(job.Inspector)
	const path = "/studies/S1/entries"
	open := job.StudyOpened{ID: "S1", Gauge: "DI-1", Parts: []string{"1", "2"}, Persons: []string{"p-technician", "p-inspector"}, Rounds: 2, Seed: 5}
	_, err = k.send(one, "/studies/S2/entries", "study_opened", open, 0)
	k.refused(err, http.StatusUnprocessableEntity, `the path says "S2"`)
	_, err = k.send(one, path, "study_opened", open, 0)
	k.must(err)
	_, err = k.send(two, path, "study_opened", open, 0)
	k.refused(err, http.StatusUnprocessableEntity, "begun before")

	g, err := k.shop.Study(t.Context(), "S1")
	k.must(err)
	step := g.Next("p-technician")
	_, err = k.send(two, path, "study_read", job.StudyRead{Step: step, Value: *length(t, "0.0999 mm")}, 0)
	k.refused(err, http.StatusUnprocessableEntity, "somebody else’s to read")
	const figure = "0.0271"
	_, err = k.send(one, path, "study_read", job.StudyRead{Step: step, Value: *length(t, figure+" mm")}, 0)
	k.must(err)
	_, err = k.send(one, path, "study_read", job.StudyRead{Step: step, Value: *length(t, "0.0272 mm")}, 0)
	refusal := k.refused(err, http.StatusUnprocessableEntity, "is read already")
	again := job.StudyAgain{Step: step, Reason: "mistyped"}
	_, err = k.send(two, path, "study_again", again, 0)
	k.refused(err, http.StatusUnprocessableEntity, "somebody else’s to read")
	_, err = k.send(one, path, "study_again", again, 0)
	k.must(err)
	_, err = k.send(one, path, "study_again", again, 0)
	k.refused(err, http.StatusUnprocessableEntity, "only the reading before can be taken back")
	_, err = k.send(one, path, "study_read", job.StudyRead{Step: step, Value: *length(t, figure+" mm")}, 0)
	k.must(err)
	_, err = k.send(one, path, "correction", job.Correction{Replaces: 2, Reason: "x"}, 2)
	k.refused(err, http.StatusUnprocessableEntity, "log of study")
	for _, at := range []string{"/changes", "/studies/S1", "/tools/DI-1", "/tools", "/jobs/0500/entries", "/workshop"} {
		var body []byte
		k.must(two.Send(t.Context(), http.MethodGet, at, nil, &body))
		if strings.Contains(string(body), figure) || strings.Contains(refusal.Detail, figure) {
			t.Errorf("%s gives %s away: %s", at, figure, body)
		}
	}
	// Once all is read everybody sees all.
	for n, s := range g.Steps {
		if n+1 != step {
			_, _, err := k.shop.Append(t.Context(), s.Person, shop.Input{Subject: g.Subject, Kind: "study_read", Body: job.StudyRead{Step: n + 1, Value: *length(t, "0.03 mm")}})
			k.must(err)
		}
	}
	var done api.Study
	k.must(two.Send(t.Context(), http.MethodGet, "/studies/S1", nil, &done))
	if len(done.Readings) != 8 || done.Read != 8 || done.Readings[step-1].Value.Value != 0.0271 {
		t.Errorf("%+v", done)
	}
}
