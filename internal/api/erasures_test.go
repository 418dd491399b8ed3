// SPDX-License-Identifier: Apache-2.0

package api_test

import (
	"bytes"
	"image/png"
	"net/http"
	"testing"

	"witnessmark/internal/api"
	"witnessmark/internal/job"
	"witnessmark/record"
)

// A manager erases a photo: the entry stays, the photo is gone for good, and
// the log verifies. Sent twice it counts once.
func TestErasures(t *testing.T) {
	k := newKit(t)
	c := k.as(job.Manager)
	var file bytes.Buffer
	k.must(png.Encode(&file, drawn()))
	p, err := c.AddPhoto(t.Context(), k.job, file.Bytes())
	k.must(err)
	_, err = c.Append(t.Context(), k.job, "wear_seen", job.WearSeen{Position: 2, Half: "upper", Severity: 1, Photos: []string{p.Photo}}, 0)
	k.must(err)
	id, err := record.NewID(k.clock.Now(), zeros{})
	k.must(err)
	body := api.NewErasure{ID: id, Names: []string{p.Photo}, Reason: "shows a face"}
	k.refused(k.as(job.Technician).Send(t.Context(), http.MethodPost, "/jobs/0500/erasures", body, nil), http.StatusForbidden, "role")
	none := body
	none.Names = []string{p.Photo[:len(p.Photo)-4] + "0000"}
	k.refused(c.Send(t.Context(), http.MethodPost, "/jobs/0500/erasures", none, nil), http.StatusUnprocessableEntity, "nothing of this name")
	for range 2 {
		k.must(c.Send(t.Context(), http.MethodPost, "/jobs/0500/erasures", body, nil))
	}
	var all api.Erasables
	k.must(c.Send(t.Context(), http.MethodGet, "/jobs/0500/erasures", nil, &all))
	if len(all.Things) != 1 || !all.Things[0].Erased || all.Things[0].What != "photo" || all.Stays == "" {
		t.Errorf("listed %+v", all)
	}
	_, err = c.Photo(t.Context(), k.job, p.Photo)
	k.refused(err, http.StatusGone, "erased")
	l, err := k.shop.Job(t.Context(), k.job)
	k.must(err)
	if n := len(l.State.Erased); n != 1 {
		t.Errorf("%d erasures on record", n)
	}
	v, err := k.shop.Verify(t.Context(), k.job)
	k.must(err)
	if !v.OK {
		t.Errorf("after erasing: %s", v)
	}
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) { clear(p); return len(p), nil }

// Somebody gets another role; once they have left their name can be erased.
func TestPersonChanges(t *testing.T) {
	k := newKit(t)
	c := k.as(job.Manager)
	var p api.Person
	k.must(c.Send(t.Context(), http.MethodPut, "/people/p-technician", api.PersonChange{Role: job.Inspector}, &p))
	if p.Role != job.Inspector || p.Name == "" {
		t.Errorf("changed to %+v", p)
	}
	erase := func() error {
		return c.Send(t.Context(), http.MethodPost, "/people/p-technician/erasure", api.PersonErasure{Reason: "asked for"}, nil)
	}
	k.refused(erase(), http.StatusUnprocessableEntity, "still works here")
	k.must(c.Send(t.Context(), http.MethodPost, "/people/p-technician/leave", api.Leaving{}, nil))
	k.must(erase())
}
