// SPDX-License-Identifier: Apache-2.0

package report

import (
	"bytes"
	"context"
	"image"
	"image/png"
	"testing"

	"witnessmark/internal/job"
	"witnessmark/internal/photo"
	"witnessmark/internal/shop"
	"witnessmark/record"
)

// TestPhotosAsTheyAre: one that is there, a drawing, one that was erased, one
// that is no picture.
func TestPhotosAsTheyAre(t *testing.T) {
	ctx := context.Background()
	s, id := told.shop, told.cast.Opened
	subject := shop.Subject(id)
	var drawn bytes.Buffer
	if err := png.Encode(&drawn, image.NewGray(image.Rect(0, 0, 1200, 600))); err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, data := range [][]byte{picture(), drawn.Bytes(), append([]byte(nil), picture()[:2000]...), []byte("no picture")} {
		c, err := s.Store().PutBlob(ctx, record.Blob{Data: data})
		if err != nil {
			t.Fatal(err)
		}
		names = append(names, string(c))
	}
	text, err := s.PutWords(ctx, "Four photos.")
	if err != nil {
		t.Fatal(err)
	}
	body := job.Note{Commitment: text, Position: 1, Photos: names}
	if _, _, err := s.Append(ctx, told.cast.People[0].ID, shop.Input{Subject: subject, Kind: "note", Body: body}); err != nil {
		t.Fatal(err)
	}
	erased := photo.Photo{JPEG: picture(), Width: 480, Height: 360}
	e, _, err := s.Append(ctx, told.cast.People[0].ID, shop.Input{Subject: subject, Kind: "note", Body: job.Note{Commitment: text}, Photos: []photo.Photo{erased}})
	if err != nil {
		t.Fatal(err)
	}
	l, err := s.Job(ctx, id)
	if err != nil {
		t.Fatal(err)
	}
	last := l.State.Photos[len(l.State.Photos)-1]
	if err := s.Erase(ctx, subject, last.Commitment); err != nil {
		t.Fatal(err)
	}

	got := gathered(t, id).Photos
	got = got[len(got)-5:]
	for i, want := range []struct {
		gone string
		w, h int
	}{{"", 480, 360}, {"", photo.ThumbSize, photo.ThumbSize / 2}, {goneDamaged, 0, 0}, {goneDamaged, 0, 0}, {goneErased, 0, 0}} {
		p := got[i]
		if p.Gone != want.gone || p.Width != want.w || p.Height != want.h || (p.JPEG == nil) != (want.gone != "") {
			t.Errorf("photo %d: %d × %d, %d bytes, %q; want %+v", i, p.Width, p.Height, len(p.JPEG), p.Gone, want)
		}
	}
	if got[4].Seq != e.Seq || got[0].Title != "Note" || got[0].Place == "" {
		t.Errorf("captions: %+v", got[0].title())
	}
	if data := pdfOf(t, gathered(t, id), Options{}); len(data) < 10_000 {
		t.Errorf("a report of %d bytes", len(data))
	}
}
