// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"

	"witnessmark/internal/filmwork"
	"witnessmark/metrology"
	"witnessmark/units"
)

// FilmAsk is what the film of a job rests on: the sheet, every position's own
// clearance and the form of its journal and bore, as far as measured.
func FilmAsk(a Assessment, s State, b Basis) filmwork.Ask {
	ask := filmwork.Ask{Sheet: b.Sheet}
	if b.Sheet == nil {
		return ask
	}
	for _, p := range a.Positions {
		ask.Positions = append(ask.Positions, filmwork.Position{Position: p.Position, Cylinder: p.Cylinder,
			Found: filmClearance(p.Found), Fitted: filmClearance(p.Fitted), Shape: filmShape(p.Position, s, b),
			FoundRough: filmRoughness(&s, AsFound, p.Position), FittedRough: filmRoughness(&s, AsFitted, p.Position)})
	}
	return ask
}

func filmClearance(c *Clearance) *filmwork.Clearance {
	if c == nil {
		return nil
	}
	m := metrology.Measurement{Value: c.ValueMM, U: c.U, HalfWidth: c.HalfWidth}
	return &filmwork.Clearance{MM: c.ValueMM, U: m.StandardUncertainty(), Censored: c.Side}
}

// filmShape is the form that direct readings show: the last reading at each
// plane and angle. A taper read off a strip never enters. nil is not measured.
func filmShape(position int, s State, b Basis) *filmwork.Shape {
	journal, bore := directForm(OfJournal, position, s, b), directForm(OfHousingBore, position, s, b)
	out := filmwork.Shape{U: max(journal.u, bore.u) * math.Sqrt2}
	out.JournalOvality, out.JournalOvalityAt = journal.ovality()
	out.BoreOvality, out.BoreOvalityAt = bore.ovality()
	front, isFront := journal.mean("front")
	middle, isMiddle := journal.mean("middle")
	rear, isRear := journal.mean("rear")
	if isFront && isRear {
		out.JournalTaper = front - rear
		if isMiddle {
			out.JournalBarrel = middle - (front+rear)/2
		}
	}
	if out == (filmwork.Shape{U: out.U}) {
		return nil
	}
	return &out
}

// form is the readings of one part by plane and angle.
type form struct {
	at map[formPlace]float64 // mm
	u  float64
}

type formPlace struct {
	plane string
	angle float64 // degrees; −1: not given
}

func directForm(of string, position int, s State, b Basis) form {
	f := form{at: map[formPlace]float64{}}
	for _, r := range s.Readings {
		x := r.Body
		if x.Of != of || x.Position != position || x.Value == nil || x.Strip != nil {
			continue
		}
		place := formPlace{x.Plane, -1}
		if x.Angle != nil {
			place.angle = math.Mod(units.Angle(x.Angle.Value).Degrees()+360, 180) // a diameter repeats after half a turn
		}
		f.at[place] = x.Value.Value
		f.u = max(f.u, direct(x, b.Tools[x.Gauge]).StandardUncertainty())
	}
	return f
}

// ovality is the largest difference of diameters in one plane, and where the
// larger one lies.
func (f form) ovality() (most, at float64) {
	for p, v := range f.at {
		for q, w := range f.at {
			if p.plane != q.plane || p.angle < 0 || q.angle < 0 {
				continue
			}
			if d := v - w; d > most || d == most && d > 0 && p.angle < at {
				most, at = d, p.angle
			}
		}
	}
	return most, at
}

// mean is the mean diameter of a plane.
func (f form) mean(plane string) (float64, bool) {
	sum, n := 0.0, 0
	for p, v := range f.at {
		if p.plane == plane {
			sum, n = sum+v, n+1
		}
	}
	if n == 0 {
		return 0, false
	}
	return math.Round(sum/float64(n)*1e7) / 1e7, true // the order of the sum must not show
}
