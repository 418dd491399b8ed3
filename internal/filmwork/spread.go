// SPDX-License-Identifier: Apache-2.0

package filmwork

import (
	"math"
	"slices"

	"witnessmark/film"
)

const (
	samples = 10_000
	seed    = 52_018
)

// spreads draws the least film of every position within what is not known
// exactly, and holds it against the others draw by draw.
func (j *job) spreads(res *Result) error {
	films := map[bool]map[int][]float64{false: {}, true: {}} // by phase and position
	for i := range res.Positions {
		p := &res.Positions[i]
		now := p.Now()
		run := res.runs[phase{p.Position, p.Fitted != nil}]
		if now == nil || run == nil {
			continue
		}
		s, err := j.draw(run, now.U, uint64(p.Position))
		if err != nil {
			return err
		}
		films[p.Fitted != nil][p.Position] = s.Films
		now.Spread = &Spread{Samples: samples, Failed: s.Failed, FilmUM: quantiles(s.Films, 1e6)}
		if now.Surfaces != nil {
			now.Spread.BelowRoughness = below(s.Films, now.Surfaces.CombinedUM*1e-6)
		}
		if j.m.least != nil {
			now.Spread.BelowLimit = below(s.Films, *j.m.least*1e-6)
		}
		j.step(1)
	}
	for _, all := range films {
		if len(all) != 1 || res.referenceRun == nil {
			continue
		}
		s, err := j.draw(res.referenceRun, 0, 0)
		if err != nil {
			return err
		}
		all[0] = s.Films // alone it stands beside the sheet's middle
	}
	for i := range res.Positions {
		all := films[res.Positions[i].Fitted != nil]
		if own := all[res.Positions[i].Position]; own != nil {
			res.Positions[i].Now().Spread.Beside = quantiles(beside(own, all, res.Positions[i].Position), 1)
		}
	}
	return nil
}

func (j *job) draw(run *solved, u float64, position uint64) (*film.Sampled, error) {
	oil, at, rate := j.m.oils[0].m, run.warm.Temperature, run.r.ShearRate
	base, err := oil.Sheared(at, rate)
	if err != nil {
		return nil, err
	}
	answer := func(dt float64) float64 {
		eta, err := oil.Sheared(at+dt, rate)
		if err != nil {
			return math.NaN()
		}
		return eta / base
	}
	c := run.c
	c.Options = film.Options{Bare: true}
	s := film.Spread{Clearance: min(u*1e-3, c.Bearing.Clearance), Temperature: temperatureDoubt, Load: loadDoubt, Model: film.UsualModelSpread, Position: position}
	return film.MonteCarlo(j.ctx, c, s, answer, samples, seed, nil)
}

// beside is a position's film over the middle of the others', draw by draw.
func beside(own []float64, all map[int][]float64, position int) []float64 {
	out := make([]float64, len(own))
	others := make([]float64, 0, len(all))
	for i := range own {
		others = others[:0]
		for p, films := range all {
			if p != position {
				others = append(others, films[i])
			}
		}
		if m := median(others); m > 0 {
			out[i] = own[i] / m
		}
	}
	return out
}

// median sorts its list.
func median(list []float64) float64 {
	n := len(list)
	if n == 0 {
		return 0
	}
	slices.Sort(list)
	return (list[(n-1)/2] + list[n/2]) / 2
}

// quantiles are the 0, 5 … 100 % ends of a sample, scaled.
func quantiles(list []float64, scale float64) []float64 {
	sorted := slices.Sorted(slices.Values(list))
	out := make([]float64, 21)
	for i := range out {
		out[i] = sorted[i*(len(sorted)-1)/20] * scale
	}
	return out
}

// below is the share of samples below a limit; nil where there is none.
func below(list []float64, limit float64) *float64 {
	if !(limit > 0) {
		return nil
	}
	n := 0
	for _, f := range list {
		if f < limit {
			n++
		}
	}
	p := float64(n) / float64(len(list))
	return &p
}

// How fine the map is.
const (
	mapClearances = 17
	mapSpeeds     = 13
)

// sweep computes the map, from below the sheet's least clearance to above the
// widest that was measured.
func (j *job) sweep(res *Result) error {
	lo, hi := j.m.middle*0.6, j.m.middle*1.6
	for _, p := range res.Positions {
		for _, x := range []*PhaseFilm{p.Found, p.Fitted} {
			if x != nil {
				lo, hi = min(lo, x.ClearanceMM*0.95), max(hi, x.ClearanceMM*1.1)
			}
		}
	}
	// A slip of the pen must not stretch it beyond use.
	lo, hi = max(lo, 0.3*j.m.middle), min(hi, 3*j.m.middle)
	spec := film.SweepSpec{Bearing: j.m.bearing, Cycle: j.engineCycle, Method: film.Map}
	out := &Map{}
	for _, c := range even(lo, hi, mapClearances) {
		out.ClearancesMM = append(out.ClearancesMM, c)
		spec.Clearances = append(spec.Clearances, (c+j.m.hotChange)*1e-3)
	}
	// Below a quarter of the rated speed nobody asks for full load.
	for _, v := range even(max(j.m.idle, j.m.rated/4), j.m.over, mapSpeeds) {
		out.SpeedsRPM = append(out.SpeedsRPM, rpm(v))
		spec.Speeds = append(spec.Speeds, v)
	}
	for _, f := range j.m.oils {
		spec.Oils = append(spec.Oils, film.Grade{Name: f.Grade, Thermal: film.Thermal{Oil: f.m, Inlet: j.m.inlet}})
	}
	was := 0
	m, err := film.Sweep(j.ctx, spec, func(done, _ int) {
		j.step(done - was)
		was = done
	})
	if err != nil {
		return err
	}
	ref := res.Reference[0].Hot.MinFilmUM * 1e-6
	for o := range spec.Oils {
		var bySpeed [][]float64
		for s := range spec.Speeds {
			row := make([]float64, len(spec.Clearances))
			for c := range row {
				if cell := m.At(c, s, o); cell.Err == nil && ref > 0 {
					row[c] = cell.MinFilm / ref
				}
			}
			bySpeed = append(bySpeed, row)
		}
		out.Ratio = append(out.Ratio, bySpeed)
	}
	res.Map = out
	return nil
}

func (j *job) engineCycle(speed float64) (*film.Cycle, error) { return j.m.engine.Cycle(speed) }

func even(lo, hi float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = lo + (hi-lo)*float64(i)/float64(n-1)
	}
	return out
}
