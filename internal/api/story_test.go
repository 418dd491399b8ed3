// SPDX-License-Identifier: Apache-2.0

package api_test

import (
	"net/http"
	"slices"
	"testing"

	"witnessmark/internal/api"
	"witnessmark/internal/api/client"
	"witnessmark/internal/job"
	"witnessmark/record"
)

// A job from the first entry to a bundle that anybody can verify, over the
// interface alone: read, find what stands in the way, let one thing stand by
// somebody else's word, hand over, seal, take the bundle away.
func TestStory(t *testing.T) {
	k, ctx, id := newKit(t), t.Context(), "0412"
	manager, technician, inspector := k.as(job.Manager), k.as(job.Technician), k.as(job.Inspector)
	_, err := manager.AddTool(ctx, "BG-1", "tool_added", job.ToolAdded{ID: "BG-1", Kind: "bore_gauge", Title: "Bore gauge"})
	k.must(err)
	opened, err := technician.OpenJob(ctx, api.NewJob{Number: id, Vehicle: "Invented saloon", Purpose: "Big ends", Sheet: k.sheet, Owner: &api.Contact{Name: "An Owner"}, Invented: true})
	k.must(err)
	if opened.Job != id || opened.Entries != 3 {
		t.Fatalf("opened %+v", opened)
	}
	for position := 1; position <= 8; position++ {
		_, err := technician.Append(ctx, id, "reading", clearance(t, job.AsFitted, position, map[bool]string{true: "0.068", false: "0.045"}[position == 4]), 0)
		k.must(err)
	}
	_, err = technician.AddNote(ctx, id, api.NewNote{Words: "The owner asked for the old shells."})
	k.must(err)

	j, err := technician.Job(ctx, id)
	k.must(err)
	wide := slices.IndexFunc(j.Assessment.Obstacles, func(o job.Obstacle) bool { return o.Code == job.TooWide && o.Position == 4 })
	if wide < 0 || j.Words.Finding == nil || j.Words.Finding.Position != 4 || j.Assessment.CloseUp {
		t.Fatalf("position 4 is not found too wide: %+v", j.Words.Finding)
	}
	key := j.Assessment.Obstacles[wide].Key
	concession := api.NewConcession{Obstacle: key, Reason: "Run in gently, looked at again after 1000 km.", Saw: j.Size}
	if concession.ID, err = client.NewID(); err != nil {
		t.Fatal(err)
	}
	first, err := inspector.Concede(ctx, id, concession)
	k.must(err)
	again, err := inspector.Concede(ctx, id, concession)
	k.must(err)
	if again.Sequence != first.Sequence || !again.Existed || first.Existed {
		t.Errorf("sent twice: %+v, then %+v", first, again)
	}
	k.conceded(technician, id, key)

	// What was seen before the concession is not what is handed over.
	_, err = technician.HandOver(ctx, id, "", j.Size)
	p := k.refused(err, http.StatusConflict, "went on")
	if p.Saw != j.Size || p.Sequence != first.Sequence {
		t.Errorf("the conflict says %d and %d", p.Saw, p.Sequence)
	}
	over, err := technician.HandOver(ctx, id, "", first.Sequence)
	k.must(err)
	twice, err := technician.HandOver(ctx, id, "", first.Sequence)
	k.must(err)
	if twice.Sequence != over.Sequence {
		t.Errorf("handed over twice: %d and %d", over.Sequence, twice.Sequence)
	}
	seal, err := technician.Seal(ctx, id, over.Sequence)
	k.must(err)
	if seal.Covers != over.Sequence || seal.Sequence != over.Sequence+1 {
		t.Errorf("the seal covers %d and is entry %d", seal.Covers, seal.Sequence)
	}
	k.verifies(technician, id, seal)
}

func (k *kit) conceded(c *client.Client, id, key string) {
	k.Helper()
	j, err := c.Job(k.Context(), id)
	k.must(err)
	for _, o := range j.Assessment.Obstacles {
		if o.Key == key && o.Blocks(job.CloseUp) {
			k.Errorf("%s still stands in the way", key)
		}
	}
}

// verifies holds the record on the server and the bundle taken away against
// the public key.
func (k *kit) verifies(c *client.Client, id string, seal api.Seal) {
	k.Helper()
	v, err := c.Verify(k.Context(), id)
	k.must(err)
	if !v.OK || v.Sealed != seal.Covers || len(v.Seals) != 1 || v.Seals[0].Fingerprint != seal.Fingerprint {
		k.Errorf("verified on the server: %+v", v)
	}
	w, err := c.Workshop(k.Context())
	k.must(err)
	data, err := c.Bundle(k.Context(), id)
	k.must(err)
	b, verified := record.VerifyBundle(data, w.PublicKey)
	if !verified.OK || verified.Sealed != seal.Covers {
		k.Errorf("the bundle: %s %v", verified, verified.Problems)
	}
	entries, err := c.Entries(k.Context(), id, 0)
	k.must(err)
	if !slices.EqualFunc(entries, b.Entries, func(x, y record.Entry) bool { return string(x.Line()) == string(y.Line()) }) {
		k.Error("the entries are not those of the bundle, byte for byte")
	}
	for _, f := range []string{"report.html", "report.pdf"} {
		if len(b.Files[f]) == 0 {
			k.Errorf("the bundle has no %s", f)
		}
	}
}
