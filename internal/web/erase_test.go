// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"
	"strings"
	"testing"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// A manager erases a note and a photo: chosen, repeated, confirmed by the job's
// number. The record keeps the entries, says who erased what and why, and
// verifies.
func TestErase(t *testing.T) {
	b := newKit(t).as(job.Manager)
	const secret = "The owner lives at Nowhere Row."
	b.page("/note").press("main form button.go", "words", secret).follow()
	b.seePhoto()
	b.page("/record").count(`a[href$="/erase"]`, 1)
	page := b.page("/erase")
	page.says(".choice", secret)
	page.says(".notice", "Backups, bundles and printed reports")
	page.press("main form button", "reason", "").says(".problem", "Nothing is chosen")
	note := page.Find(`input[name=what]`).First().AttrOr("value", "")
	page.press("main form button", "what", note, "reason", "").says(".problem", "The reason is empty")
	again := page.press("main form button", "what", note, "reason", "asked for by letter")
	again.says("h1", "Erase this for good?")
	again.says("main", "asked for by letter")
	if len(b.state().State.Erased) != 0 {
		t.Fatal("erased before it was confirmed")
	}
	wrong := again.press("button.danger", "number", "0501")
	wrong.says(".problem", "is not the number of this job, 0500")
	done := wrong.press("button.danger", "number", "0500").follow()
	if strings.Contains(done.body, secret) {
		t.Error("the note is still on the page")
	}
	done.says(".lines", "Note of entry")
	b.page("/record").says(".record", "Reason: asked for by letter")
	v, err := b.shop.Verify(t.Context(), b.job)
	b.must(err)
	if !v.OK || strings.Contains(b.page("/record").body, secret) {
		t.Errorf("after erasing: %s, or the words are still shown", v)
	}
	for _, role := range []string{job.Technician, job.Office} {
		if a := b.as(role).get("/jobs/0500/erase"); a.status != http.StatusForbidden {
			t.Errorf("a %s may erase: %d", role, a.status)
		}
	}
}

// Somebody gets another name and role; the last manager stays one; a name is
// erased once its person has left.
func TestPersonChanged(t *testing.T) {
	b := newKit(t).as(job.Manager)
	who := func(id string) shop.Person {
		people, err := b.shop.People(t.Context())
		b.must(err)
		for _, p := range people {
			if p.ID == id {
				return p
			}
		}
		t.Fatalf("nobody is %s", id)
		return shop.Person{}
	}
	change := `form[action="/people/p-technician/change"] button`
	b.get("/people").press(change, "name", "Other Name", "role", job.Inspector).follow().says(".kept", "Changed")
	if p := who("p-technician"); p.Name != "Other Name" || p.Role != job.Inspector {
		t.Errorf("changed to %+v", p)
	}
	b.get("/people").press(change, "name", "Some office").says(".problem", "is p-office's already")
	b.get("/people").press(`form[action="/people/p-manager/change"] button`, "role", job.Office).says(".problem", "the last manager")
	b.get("/people").press(`form[action="/people/p-technician/left"] button`).follow()
	b.get("/people").press(`form[action="/people/p-technician/erase"] button`, "reason", "asked for").follow().says(".kept", "The name is erased")
	if p := who("p-technician"); p.Name != shop.ErasedWords {
		t.Errorf("the name is %q", p.Name)
	}
}
