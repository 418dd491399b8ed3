// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"image"
	"math"
)

// journal is a crank pin between its cheeks, the shaft across the picture.
type journal struct{ line bool }

func (j journal) at(x, y float64) rgb {
	const top, bottom = 0.42, 1.58
	if cheek := math.Min(x-0.5, 2.5-x); cheek < 0 {
		return web(x, y, -cheek)
	}
	if y < top || y > bottom {
		return hex(0x1d2226).times(0.6 + 0.5*rough(3*x, 3*y, 71))
	}
	c := pin(x, (y-top)/(bottom-top), j.line)
	fillet := math.Min(x-0.5, 2.5-x)
	return c.times(0.62 + 0.38*step(0, 0.10, fillet)) // the fillet is in shade
}

// pin is the ground face of a journal; v from 0 to 1 over its visible half.
func pin(x, v float64, line bool) rgb {
	turn := math.Asin(clamp(math.Abs(2*v-1))) * math.Copysign(1, 2*v-1)
	ground := noise(160*x, 2*turn, 21) - 0.5 // grinding runs around
	c := hex(0x9aa1a8).plus(0.06*ground + 0.04*(rough(4*x, 4*turn, 22)-0.5))
	if line {
		c = c.mix(hex(0xe9edf0), 0.9*bump(x, 1.72, 0.012)).mix(hex(0xd2d7db), 0.5*bump(x, 1.69, 0.05))
	}
	light := 0.28 + 0.62*math.Max(0, math.Cos(turn+0.5)) + 0.55*math.Pow(math.Max(0, math.Cos(turn+0.42)), 40) + 0.16*math.Pow(math.Max(0, math.Cos(turn-0.95)), 20)
	c = c.times(light)
	r := math.Hypot(x-1.25, (v-0.44)*1.16)
	return c.mix(hex(0xd5dade), 0.5*bump(r, 0.075, 0.012)).mix(hex(0x0e1114), soft(0.064-r))
}

// web is a cheek of the crank: cast, with a machined edge.
func web(x, y, d float64) rgb {
	c := hex(0x565c60).times(0.7 + 0.5*rough(7*x, 7*y, 31))
	return c.mix(hex(0x9ca3a8), bump(d, 0.03, 0.028)).times(1 - 0.3*step(0.25, 0.5, d))
}

// crushed is a strip as a cap has flattened it, on the journal, beside the
// scale of its sleeve. Bars are not to scale, wide for narrow.
type crushed struct {
	bar  int  // the bar that it is as wide as, counted from the wide end
	more bool // as wide as the next one almost: between both
}

// barWidths are half widths of the drawn bars.
var barWidths = []float64{0.150, 0.118, 0.094, 0.074, 0.058}

// barDigits stand below them, as the demonstration's strip gauge prints them.
var barDigits = func() (out []*image.Alpha) {
	for _, text := range []string{"0.025", "0.038", "0.051", "0.064", "0.076"} {
		img, err := digits(text)
		if err != nil {
			img = image.NewAlpha(image.Rectangle{})
		}
		out = append(out, img)
	}
	return out
}()

func (s crushed) half() float64 {
	w := barWidths[s.bar]
	if s.more && s.bar+1 < len(barWidths) {
		w = (w + barWidths[s.bar+1]) / 2
	}
	return w
}

func (s crushed) at(x, y float64) rgb {
	const top, bottom = 0.10, 1.05
	switch {
	case y < bottom:
		c := pin(x*0.6+2, clamp((y-top)/(bottom-top)), false)
		if y < top {
			c = hex(0x1d2226)
		}
		edge := s.half() + 0.012*(noise(0, 14*y, 51)-0.5) + 0.012*(noise(0, 40*y, 52)-0.5)
		d := math.Min(edge-math.Abs(x-1.5+0.02*math.Sin(3*y)), math.Min(y-0.18, 1.0-y))
		strip := hex(0xe3d9bf).times(0.85+0.25*rough(6*x, 6*y, 53)).mix(hex(0xfaf6ea), 0.4*bump(y, 0.4, 0.15))
		return c.times(1-0.3*step(-0.03, 0, d)).mix(strip, 0.92*soft(d))
	default:
		return sleeve(x, y)
	}
}

// sleeve is the paper that a strip comes in, with its scale.
func sleeve(x, y float64) rgb {
	return laid(x, y, within(x, y, 0.12, 1.13, 2.88, 1.80, 0.02), func() rgb { return scale(x, y) })
}

// scale is the sleeve's print.
func scale(x, y float64) rgb {
	paper := hex(0xf2efe4).times(0.97 + 0.05*rough(5*x, 5*y, 61))
	for i, w := range barWidths {
		cx := 0.42 + 0.54*float64(i)
		bar := math.Min(w-math.Abs(x-cx), math.Min(y-1.20, 1.52-y))
		paper = paper.mix(hex(0x2a3238), soft(bar))
		img := barDigits[i]
		const pixel = 3.0 / pictureWidth
		px, py := int((x-cx)/pixel+float64(img.Bounds().Dx())/2), int((y-1.56)/pixel)
		if p := (image.Point{X: px, Y: py}); p.In(img.Bounds()) {
			paper = paper.mix(hex(0x20282e), float64(img.AlphaAt(px, py).A)/255)
		}
	}
	return paper
}
