// SPDX-License-Identifier: Apache-2.0

package report

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math/rand/v2"
	"testing"
	"time"

	"witnessmark/internal/demo"
	"witnessmark/internal/job"
	"witnessmark/internal/photo"
	"witnessmark/internal/shop"
	"witnessmark/internal/store"
)

// BenchmarkSealedJob prints a sealed job with 40 photos of 2 megapixels, no two
// alike, from disk to bytes: for the first time after the photos came from a
// tablet, and again.
func BenchmarkSealedJob(b *testing.B) {
	b.Run("first", func(b *testing.B) {
		for b.Loop() {
			b.StopTimer()
			s := withPhotos(b, 40)
			b.StartTimer()
			paperOf(b, s)
		}
	})
	b.Run("again", func(b *testing.B) {
		s := withPhotos(b, 40)
		n := paperOf(b, s)
		for b.Loop() {
			paperOf(b, s)
		}
		b.ReportMetric(float64(n)/1000, "kB")
	})
}

func paperOf(b *testing.B, s *shop.Shop) int {
	b.Helper()
	l, err := s.Job(b.Context(), demo.TheCast().HandedOver)
	if err != nil {
		b.Fatal(err)
	}
	d, err := Gather(b.Context(), s, l)
	if err != nil {
		b.Fatal(err)
	}
	if len(d.Photos) < 40 || len(d.Seals) == 0 {
		b.Fatalf("%d photos, %d seals", len(d.Photos), len(d.Seals))
	}
	var out bytes.Buffer
	if err := d.PDF(&out, Options{}); err != nil {
		b.Fatal(err)
	}
	return out.Len()
}

// withPhotos is the invented workshop with more photos in the finished job.
func withPhotos(b *testing.B, n int) *shop.Shop {
	b.Helper()
	r := demo.EndingBefore(time.Now())
	f, err := store.Init(b.Context(), b.TempDir(), demo.Config(), store.Options{Clock: r.Now, NeedSaw: shop.NeedSaw})
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { _ = f.Close() })
	s, err := shop.New(shop.Options{Folder: f, Clock: r.Now, Rand: r, Program: "benchmark"})
	if err != nil {
		b.Fatal(err)
	}
	cast, err := demo.Fill(b.Context(), s, demo.Options{Replay: r})
	if err != nil {
		b.Fatal(err)
	}
	l, err := s.Job(b.Context(), cast.HandedOver)
	if err != nil {
		b.Fatal(err)
	}
	for _, p := range l.State.Photos { // these came past the tablets
		if _, err := s.Thumbnail(b.Context(), l, p.Commitment); err != nil {
			b.Fatal(err)
		}
	}
	for i := range n - len(l.State.Photos) {
		in := shop.Input{Subject: l.Subject, Kind: "follow_up", Body: job.FollowUp{What: "call", OK: true, Finding: fmt.Sprintf("photo %d", i)},
			Photos: []photo.Photo{drawnPhotos(b, n)[i]}}
		if _, _, err := s.Append(b.Context(), "p-1", in); err != nil {
			b.Fatal(err)
		}
	}
	if _, err := s.Seal(b.Context(), "p-1", cast.HandedOver, "", 0); err != nil {
		b.Fatal(err)
	}
	return s
}

// drawnOnce are photos made for the first workshop.
var drawnOnce []photo.Photo

func drawnPhotos(b *testing.B, n int) []photo.Photo {
	b.Helper()
	for i := len(drawnOnce); i < n; i++ {
		drawnOnce = append(drawnOnce, drawnPhoto(b, uint64(i)))
	}
	return drawnOnce
}

// drawnPhoto is as hard to compress as a photo.
func drawnPhoto(b *testing.B, seed uint64) photo.Photo {
	b.Helper()
	rng := rand.New(rand.NewPCG(seed, 1))
	img := image.NewRGBA(image.Rect(0, 0, 1632, 1224))
	for y := range 1224 {
		for x := range 1632 {
			v := uint8((x*x/900+y*y/700)/8) + uint8(rng.UintN(24))
			img.SetRGBA(x, y, color.RGBA{v, v / 2, 255 - v, 255})
		}
	}
	var file bytes.Buffer
	if err := jpeg.Encode(&file, img, nil); err != nil {
		b.Fatal(err)
	}
	p, err := photo.Take(&file)
	if err != nil {
		b.Fatal(err)
	}
	return p
}
