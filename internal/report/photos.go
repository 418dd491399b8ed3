// SPDX-License-Identifier: Apache-2.0

package report

import (
	"bytes"
	"context"
	"encoding/base64"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	_ "image/png" // drawn by hand or by the program
	"math"

	"witnessmark/internal/job"
	"witnessmark/internal/photo"
	"witnessmark/internal/shop"
	"witnessmark/internal/store"
)

// Photo is one photo that the record names, as small as paper needs it.
type Photo struct {
	Seq      int64 // of the entry that named it
	Position int
	Place    string // "position 4 (B2)"; empty: none named
	Title    string // of the entry: Wear seen
	Words    string // of the entry
	Person   string
	Time     string
	JPEG     []byte // nil: Gone says why
	Width    int    // pixels
	Height   int
	Gone     string     // "erased", or what is wrong with it
	Marks    []job.Mark // drawn on it
}

// Why a photo is not shown.
const (
	goneErased  = "This photo was erased. The seal still holds its commitment."
	goneMissing = "This photo is named in the record but is not in the data folder."
	goneHeld    = "This photo was not handed over. The seal holds its commitment."
	goneDamaged = "This photo can’t be shown: what is kept is damaged or is no picture."
)

// photos gathers the photos that entries name, in their order, small.
func (d *Data) photos(ctx context.Context, s *shop.Shop, l *shop.Loaded) error {
	lines := map[int64]job.Line{}
	for _, line := range d.Lines {
		lines[line.Seq] = line
	}
	name := l.Basis.Namer()
	for _, p := range l.State.Photos {
		line := lines[p.At.Seq]
		ph := Photo{Seq: p.At.Seq, Position: line.Position, Title: line.Title, Words: line.Now, Person: line.Person, Time: line.Received}
		if ph.Position != 0 {
			ph.Place = "position " + name(ph.Position)
		}
		if m, ok := l.State.Marked[p.Commitment]; ok {
			ph.Marks = m.Body.Marks
		}
		if d.hold.Photos {
			ph.Gone, ph.Marks = goneHeld, nil
			d.Photos = append(d.Photos, ph)
			continue
		}
		if err := ph.load(ctx, s, l, p.Commitment); err != nil {
			return fmt.Errorf("report: photo of entry %d: %w", p.At.Seq, err)
		}
		d.Photos = append(d.Photos, ph)
	}
	return nil
}

func (p *Photo) load(ctx context.Context, s *shop.Shop, l *shop.Loaded, commitment string) error {
	data, err := s.Thumbnail(ctx, l, commitment)
	if err != nil && !unkept(err) {
		// What is kept is no JPEG, or a damaged one.
		if data, err = s.Photo(ctx, l, commitment); err == nil {
			data, err = asJPEG(data)
		}
	}
	switch {
	case errors.Is(err, shop.ErrErased):
		p.Gone = goneErased
	case errors.Is(err, store.ErrNotFound):
		p.Gone = goneMissing
	case errors.Is(err, store.ErrDamaged), errors.Is(err, errNoPicture):
		p.Gone = goneDamaged
	case err != nil:
		return err
	default:
		p.JPEG = data
		if p.Width, p.Height, err = photo.Size(data); err != nil || p.Width < 1 || p.Height < 1 {
			p.JPEG, p.Gone = nil, goneDamaged
		}
	}
	return nil
}

// unkept reports that there is nothing to look at.
func unkept(err error) bool {
	return errors.Is(err, shop.ErrErased) || errors.Is(err, store.ErrNotFound) || errors.Is(err, store.ErrDamaged)
}

var errNoPicture = errors.New("no picture")

// asJPEG turns any small picture into the format that paper embeds.
func asJPEG(data []byte) ([]byte, error) {
	c, _, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil || c.Width*c.Height > photo.MaxPixels {
		return nil, errNoPicture
	}
	img, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, errNoPicture
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 88}); err != nil {
		return nil, fmt.Errorf("%w: %w", errNoPicture, err)
	}
	return photo.Thumbnail(b.Bytes())
}

// title says where a photo belongs: "Entry 19, position 1 (A1): Wear seen".
func (p Photo) title() string {
	return commas(fmt.Sprintf("Entry %d", p.Seq), p.Place) + ": " + p.Title
}

func (p Photo) dataURI() string {
	return "data:image/jpeg;base64," + base64.StdEncoding.EncodeToString(p.JPEG)
}

// path is what somebody drew on the photo, as an SVG path in its pixels.
func (p Photo) path(m job.Mark) string {
	w, h := float64(p.Width), float64(p.Height)
	x1, y1, x2, y2 := m.X1*w, m.Y1*h, m.X2*w, m.Y2*h
	if m.Shape == "circle" {
		r := math.Hypot(x2-x1, y2-y1)
		return fmt.Sprintf("M%.1f %.1fa%.1f %.1f 0 1 0 %.1f 0a%.1f %.1f 0 1 0 %.1f 0", x1-r, y1, r, r, 2*r, r, r, -2*r)
	}
	a, head := math.Atan2(y2-y1, x2-x1), max(w, h)/22
	return fmt.Sprintf("M%.1f %.1fL%.1f %.1fM%.1f %.1fL%.1f %.1fL%.1f %.1f", x1, y1, x2, y2,
		x2-head*math.Cos(a-0.45), y2-head*math.Sin(a-0.45), x2, y2, x2-head*math.Cos(a+0.45), y2-head*math.Sin(a+0.45))
}
