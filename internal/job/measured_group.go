// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"
	"slices"

	"witnessmark/metrology"
	"witnessmark/units"
)

// partGroup is what was read with one gauge at one temperature.
type partGroup struct {
	gauge      string
	warm, cool *units.Read
	read       []*Noted[Reading]
}

// groupKey tells one group from another; an absent temperature is no number
// and has a flag.
type groupKey struct {
	gauge        string
	warm, cool   float64
	warmed, cold bool
}

func groups(read []*Noted[Reading]) []partGroup {
	var out []partGroup
	at := map[groupKey]int{}
	for _, r := range read {
		warm, cool := r.Body.PartTemperature, r.Body.GaugeTemperature
		k := groupKey{gauge: r.Body.Gauge, warmed: warm != nil, cold: cool != nil}
		if warm != nil {
			k.warm = warm.Value
		}
		if cool != nil {
			k.cool = cool.Value
		}
		i, ok := at[k]
		if !ok {
			i = len(out)
			at[k] = i
			out = append(out, partGroup{gauge: r.Body.Gauge, warm: warm, cool: cool})
		}
		out[i].read = append(out[i].read, r)
	}
	return out
}

func seqs(read []*Noted[Reading]) []int64 {
	out := make([]int64, 0, len(read))
	for _, r := range read {
		out = append(out, r.At.Seq)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// group works out what was read with one gauge, and returns it at 20 °C.
func (a *assessor) group(m *Measured, g partGroup) (metrology.Measurement, error) {
	in := a.b.Tools[g.gauge].Instrument()
	rep := in.EffectiveRepeatability()
	places := make([]metrology.Place, 0, len(g.read))
	for _, r := range g.read {
		b := &r.Body
		p := metrology.Place{Plane: b.Plane, At: a.planeAt(b.Plane), Reading: b.Value.Value}
		if b.Angle != nil {
			p.Angle = &b.Angle.Value
		}
		if b.U != nil {
			rep = metrology.Repeatability{StdDev: math.Max(rep.StdDev, b.U.Value)}
			in.From = SpreadStated
		}
		if rep.StdDev == 0 { // nothing known of the gauge: a step of what was written
			rep = metrology.AssumedRepeatability(b.Value.Resolution)
		}
		m.decimals = max(m.decimals, decimals(*b))
		if b.Reason != "" && b.Questioned != "" && !slices.Contains(m.Kept, b.Reason) {
			m.Kept = append(m.Kept, b.Reason)
		}
		places = append(places, p)
	}
	form, err := metrology.FitForm(places, rep)
	if err != nil {
		return metrology.Measurement{}, err
	}
	if !slices.Contains(m.Gauges, g.gauge) && g.gauge != "" {
		m.Gauges = append(m.Gauges, g.gauge)
	}
	m.SpreadFrom, m.PersonsUnknown = in.From, in.From == SpreadStudy && in.PersonsFrom != SpreadStudy
	m.take(form)
	length := metrology.Length{Name: ofWords[m.Part], Sign: 1, Read: form.Diameter, DegreesOfFreedom: form.DegreesOfFreedom,
		Shared: a.shared(in), Part: a.thermal(m.Part, g.warm), Scale: scaleThermal(in, g)}
	if g.warm != nil {
		m.PartCelsius = &g.warm.Value
	}
	c, err := workOut([]metrology.Length{length}, nil)
	if err != nil {
		return metrology.Measurement{}, err
	}
	b := budgeted(c)
	m.Budget = &b
	m.lengths = append(m.lengths, length)
	return c.Measurement(), nil
}

// planeAt is where a plane lies along the journal, mm from its front.
func (a *assessor) planeAt(plane string) float64 {
	w, _ := a.b.Sheet.BigEnd.Width.Target()
	switch plane {
	case "middle":
		return w / 2
	case "rear":
		return w
	}
	return 0
}

// shared is what every reading with the gauge has in common: its calibration,
// that of what it is set with, and the persons.
func (a *assessor) shared(in Instrument) []metrology.Shared {
	var out []metrology.Shared
	add := func(name string, u float64) {
		if u > 0 {
			out = append(out, metrology.Shared{Name: name, U: u})
		}
	}
	add("calibration of "+in.Tool, in.StandardCalibration())
	if in.SetWith != "" {
		add("calibration of "+in.SetWith, a.b.Tools[in.SetWith].Instrument().StandardCalibration())
	}
	add("persons reading "+in.Tool, in.Reproducibility)
	return out
}
