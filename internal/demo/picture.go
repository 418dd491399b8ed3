// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"
	"sync"

	"codeberg.org/go-fonts/dejavu/dejavusans"
	"codeberg.org/go-fonts/dejavu/dejavusansbold"
	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// rgb is a colour, each part from 0 to 1.
type rgb [3]float64

func hex(v uint32) rgb {
	return rgb{float64(v>>16&0xff) / 255, float64(v>>8&0xff) / 255, float64(v&0xff) / 255}
}

func (c rgb) times(k float64) rgb { return rgb{c[0] * k, c[1] * k, c[2] * k} }
func (c rgb) plus(k float64) rgb  { return rgb{c[0] + k, c[1] + k, c[2] + k} }

// mix is c with a part k of d.
func (c rgb) mix(d rgb, k float64) rgb {
	k = clamp(k)
	return rgb{c[0] + (d[0]-c[0])*k, c[1] + (d[1]-c[1])*k, c[2] + (d[2]-c[2])*k}
}

func (c rgb) pixel() color.RGBA {
	b := func(v float64) uint8 { return uint8(255*clamp(v) + 0.5) }
	return color.RGBA{b(c[0]), b(c[1]), b(c[2]), 255}
}

func sq(x float64) float64    { return x * x }
func clamp(x float64) float64 { return min(max(x, 0), 1) }

// step goes from 0 to 1 while x goes from a to b.
func step(a, b, x float64) float64 {
	t := clamp((x - a) / (b - a))
	return t * t * (3 - 2*t)
}

// soft is 1 inside an edge and 0 beyond it; d is the distance inwards.
func soft(d float64) float64 { return step(-0.006, 0.006, d) }

// bump is a hill of height 1 about c.
func bump(x, c, width float64) float64 {
	d := sq((x - c) / width)
	if d > 12 {
		return 0 // no eye sees the rest
	}
	return math.Exp(-d)
}

// chance is a number from 0 to 1 that belongs to a place of a grid.
func chance(x, y int32, seed uint32) float64 {
	h := uint32(x)*0x9E3779B1 ^ uint32(y)*0x85EBCA77 ^ seed*0xC2B2AE3D
	h ^= h >> 15
	h *= 0x2C1B3C6D
	h ^= h >> 12
	h *= 0x297A2D39
	h ^= h >> 15
	return float64(h) / (1 << 32)
}

// noise is smooth from place to place, from 0 to 1.
func noise(x, y float64, seed uint32) float64 {
	fx, fy := math.Floor(x), math.Floor(y)
	ix, iy := int32(fx), int32(fy)
	u, v := step(0, 1, x-fx), step(0, 1, y-fy)
	a, b := chance(ix, iy, seed), chance(ix+1, iy, seed)
	c, d := chance(ix, iy+1, seed), chance(ix+1, iy+1, seed)
	return (a+(b-a)*u)*(1-v) + (c+(d-c)*u)*v
}

// rough is noise of three sizes.
func rough(x, y float64, seed uint32) float64 {
	return (noise(x, y, seed) + 0.5*noise(2*x, 2*y, seed+1) + 0.25*noise(4*x, 4*y, seed+2)) / 1.75
}

// within is how far a point lies inside a rectangle with round corners.
func within(x, y, x0, y0, x1, y1, r float64) float64 {
	dx := math.Max(math.Abs(x-(x0+x1)/2)-(x1-x0)/2+r, 0)
	dy := math.Max(math.Abs(y-(y0+y1)/2)-(y1-y0)/2+r, 0)
	in := math.Min(math.Min(x-x0, x1-x), math.Min(y-y0, y1-y))
	if dx > 0 && dy > 0 {
		return r - math.Hypot(dx, dy)
	}
	return in
}

// cloth is the bench that parts lie on.
func cloth(x, y float64) rgb {
	weave := 0.08 * (sq(math.Mod(14*x, 1)-0.5) + sq(math.Mod(14*y, 1)-0.5))
	return hex(0x40586a).times(0.85 + weave + 0.25*noise(3*x, 3*y, 40))
}

// laid is a thing on the bench, with its shadow; d is the distance inwards from
// its outline. Only what is seen is worked out.
func laid(x, y, d float64, thing func() rgb) rgb {
	if d > 0.006 {
		return thing()
	}
	c := under(cloth(x, y), d)
	if d > -0.006 {
		c = c.mix(thing(), soft(d))
	}
	return c
}

// under is a background with the shadow of what lies inside an outline; d is
// the distance inwards.
func under(c rgb, d float64) rgb { return c.times(1 - 0.55*step(-0.09, 0, d)) }

var faces = sync.OnceValues(func() (out [2]font.Face, err error) {
	for i, ttf := range [][]byte{dejavusans.TTF, dejavusansbold.TTF} {
		f, err := opentype.Parse(ttf)
		if err != nil {
			return out, fmt.Errorf("demo: font: %w", err)
		}
		if out[i], err = opentype.NewFace(f, &opentype.FaceOptions{Size: 15, DPI: 72, Hinting: font.HintingFull}); err != nil {
			return out, fmt.Errorf("demo: font: %w", err)
		}
	}
	return out, nil
})

var faceMu sync.Mutex // a face is no good for two at a time

// label writes below a picture what it shows and that it is none.
func label(img *image.RGBA, caption string) error {
	both, err := faces()
	if err != nil {
		return err
	}
	faceMu.Lock()
	defer faceMu.Unlock()
	const notice = "INVENTED: drawn, no photo"
	b := img.Bounds()
	wide, of := font.MeasureString(both[0], caption).Ceil(), font.MeasureString(both[1], notice).Ceil()
	high := 30
	if wide+of+36 > b.Dx() {
		high = 52 // the notice has a line of its own
	}
	band := image.Rect(b.Min.X, b.Max.Y-high, b.Max.X, b.Max.Y)
	draw.Draw(img, band, image.NewUniform(color.RGBA{0xf6, 0xf4, 0xee, 0xff}), image.Point{}, draw.Src)
	d := font.Drawer{Dst: img, Src: image.NewUniform(color.RGBA{0x20, 0x28, 0x2e, 0xff}), Face: both[0], Dot: fixed.P(12, b.Max.Y-high+20)}
	d.DrawString(caption)
	d.Face, d.Src = both[1], image.NewUniform(color.RGBA{0x9a, 0x3a, 0x10, 0xff})
	d.Dot = fixed.P(b.Max.X-12-of, b.Max.Y-10)
	d.DrawString(notice)
	return nil
}

// digits writes a text into a picture of one colour, for scenes that carry
// figures.
func digits(text string) (*image.Alpha, error) {
	both, err := faces()
	if err != nil {
		return nil, err
	}
	faceMu.Lock()
	defer faceMu.Unlock()
	d := font.Drawer{Src: image.Opaque, Face: both[0]}
	img := image.NewAlpha(image.Rect(0, 0, d.MeasureString(text).Ceil()+2, 20))
	d.Dst, d.Dot = img, fixed.P(1, 15)
	d.DrawString(text)
	return img, nil
}
