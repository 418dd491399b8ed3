// SPDX-License-Identifier: Apache-2.0

package report

import (
	"math"
	"strings"

	"witnessmark/internal/draw"
	"witnessmark/internal/job"
)

// The contact sheet, in mm.
const (
	photosAcross = 3
	photoGap     = 5.0
	photoRatio   = 0.75 // height of the room for a photo over its width
)

// photosPart is the contact sheet.
func (d Data) photosPart(p *paper) {
	if len(d.Photos) == 0 {
		return
	}
	w := (p.width() - photoGap*(photosAcross-1)) / photosAcross
	p.heading("Photos", w*photoRatio+25)
	p.para(d.photosLead(), small)
	p.gap(2)
	for i := 0; i < len(d.Photos); i += photosAcross {
		d.photoRow(p, d.Photos[i:min(i+photosAcross, len(d.Photos))], w)
	}
}

// photosLead says what the contact sheet shows.
func (d Data) photosLead() string {
	lead := counted(len(d.Photos), "photo", "photos") + " in the order of the record"
	if d.hold.Photos {
		return lead + ", not handed over with this copy."
	}
	return lead + ", reduced in size. The job’s bundle holds them as they were kept."
}

// photoRow sets photos side by side, each with its caption below.
func (d Data) photoRow(p *paper, row []Photo, w float64) {
	h := w * photoRatio
	captions := make([][]laid, len(row))
	high := 0.0
	for i, ph := range row {
		captions[i] = ph.caption().lay(w)
		// A caption ends with the page; what it cuts stands under its entry.
		if most := int((p.bottom - p.top - h) / 2 / small.height()); len(captions[i]) > most {
			captions[i] = captions[i][:most]
		}
		high = max(high, heightOf(captions[i]))
	}
	p.need(h + 1.2 + high)
	for i, ph := range row {
		x := p.left + float64(i)*(w+photoGap)
		p.photo(ph, x, p.y, w, h)
		y := p.y + h + 1.2
		for _, l := range captions[i] {
			p.laid(x, y, l)
			y += l.t.height()
		}
	}
	p.y += h + 1.2 + high + 3
}

func (p Photo) caption() cell {
	c := cell{{text: p.title(), t: type_{size: sizeSmall, bold: true}}}
	for _, l := range clipped(p.Words, 200, small, 2) {
		c = append(c, run{text: l, t: small.of(draw.InkText)})
	}
	if p.Gone != "" && p.JPEG != nil {
		c = append(c, run{text: p.Gone, t: small})
	}
	return append(c, run{text: strings.Join(filled(p.Person, p.Time), ", "), t: small})
}

// photo puts one photo into a box, with what was drawn on it.
func (p *paper) photo(ph Photo, x, y, w, h float64) {
	p.rect(x, y, w, h, draw.Style{Fill: draw.InkFaint})
	if ph.JPEG == nil {
		t := small.of(draw.InkText)
		ty := y + h/2 - t.height()
		for _, l := range wrap(ph.Gone, w-8, t) {
			p.set(x+w/2, ty, l, t, draw.Middle)
			ty += t.height()
		}
		return
	}
	if p.dry {
		return
	}
	k := min(w/float64(ph.Width), h/float64(ph.Height))
	pw, phh := float64(ph.Width)*k, float64(ph.Height)*k
	px, py := x+(w-pw)/2, y+(h-phh)/2
	p.doc.ImageOptions(p.embed(ph.JPEG), px, py, pw, phh, false, jpegOptions, 0, "")
	for _, m := range ph.Marks {
		p.marked(m, px, py, pw, phh)
	}
}

// marked draws what somebody drew on a photo: dark on light, so that it shows
// on any.
func (p *paper) marked(m job.Mark, x, y, w, h float64) {
	x1, y1, x2, y2 := x+m.X1*w, y+m.Y1*h, x+m.X2*w, y+m.Y2*h
	for _, s := range []draw.Style{{Stroke: draw.InkSheet, Width: 1.1}, {Stroke: draw.InkOut, Width: 0.55}} {
		if m.Shape == "circle" {
			// A circle at the edge ends with the photo.
			p.doc.ClipRect(x, y, w, h, false)
			p.c.Circle(x1, y1, math.Hypot(x2-x1, y2-y1), s)
			p.doc.ClipEnd()
			continue
		}
		p.c.Line(x1, y1, x2, y2, s)
		a := math.Atan2(y2-y1, x2-x1)
		for _, side := range []float64{-1, 1} {
			p.c.Line(x2, y2, x2-3*math.Cos(a+side*0.45), y2-3*math.Sin(a+side*0.45), s)
		}
	}
}
