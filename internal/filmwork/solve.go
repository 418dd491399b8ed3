// SPDX-License-Identifier: Apache-2.0

package filmwork

import (
	"context"
	"errors"
	"math"
	"runtime"
	"sync"

	"witnessmark/film"
)

// phase is one position as found or as fitted.
type phase struct {
	position int
	fitted   bool
}

// solved is a case with its outcome, for what is computed on from it.
type solved struct {
	c    film.Case
	r    film.Result
	warm film.Warm
}

// points is how many instants of a cycle are kept.
const points = 180

// job is one computation under way.
type job struct {
	ctx    context.Context
	ask    Ask
	m      *model
	hot    *film.Cycle
	warmUp *film.Cycle
	step   func(n int)
}

// films computes the film of every position on every oil, hot and warming up.
func (j *job) films() (*Result, error) {
	res := &Result{SpeedRPM: rpm(j.m.rated), WarmUpRPM: rpm(j.m.warmUp), InletC: j.m.inlet, WarmUpC: j.m.cold, ClearanceMM: j.m.middle,
		LeastFilmUM: j.m.least, ModelSpread: film.UsualModelSpread, PeriodDeg: deg(j.hot.Period()),
		Oils: []Oil{}, Positions: []PositionFilm{}, Assumed: j.m.assumed, runs: map[phase]*solved{}}
	for _, f := range j.m.oils {
		res.Oils = append(res.Oils, f.Oil)
	}
	middle := PhaseFilm{ClearanceMM: j.m.middle, Surfaces: j.m.surfaces(nil)}
	var err error
	if res.referenceRun, err = j.phase(&middle); err != nil {
		return nil, err
	}
	res.Middle, res.Reference = middle.Cycle, middle.Oils
	var all []phase
	var into []*PhaseFilm
	for _, p := range j.ask.Positions {
		out := PositionFilm{Position: p.Position, Cylinder: p.Cylinder}
		out.Found, out.Fitted = j.begun(p.Found, p.FoundRough), j.begun(p.Fitted, p.FittedRough)
		res.Positions = append(res.Positions, out)
		for _, x := range []*PhaseFilm{out.Found, out.Fitted} {
			if x != nil {
				all, into = append(all, phase{p.Position, x == out.Fitted}), append(into, x)
			}
		}
	}
	runs := make([]*solved, len(all))
	err = each(j.ctx, len(all), func(i int) (err error) {
		runs[i], err = j.phase(into[i])
		return err
	})
	if err != nil {
		return nil, err
	}
	for i, x := range all {
		res.runs[x] = runs[i]
	}
	res.compare()
	return res, nil
}

func (j *job) begun(c *Clearance, rough *Roughness) *PhaseFilm {
	if c == nil {
		return nil
	}
	return &PhaseFilm{ClearanceMM: c.MM, U: c.U, Censored: c.Censored, Surfaces: j.m.surfaces(rough)}
}

// compare sets every ratio to the sheet's middle clearance on its usual oil.
func (r *Result) compare() {
	ref := 0.0
	if len(r.Reference) > 0 {
		ref = r.Reference[0].Hot.MinFilmUM
	}
	set := func(oils []OilFilm) {
		for i := range oils {
			for _, f := range []*Film{&oils[i].Hot, &oils[i].WarmUp} {
				if ref > 0 && f.Held() {
					f.Ratio = f.MinFilmUM / ref
				}
			}
		}
	}
	set(r.Reference)
	for _, p := range r.Positions {
		for _, x := range []*PhaseFilm{p.Found, p.Fitted} {
			if x != nil {
				set(x.Oils)
			}
		}
	}
}

// phase fills one position's films; the run on the usual oil, hot, is nil
// where no film holds.
func (j *job) phase(p *PhaseFilm) (*solved, error) {
	var usual *solved
	for i, f := range j.m.oils {
		keep := 0
		if i == 0 {
			keep = points
		}
		hot, run, err := j.one(p.ClearanceMM+j.m.hotChange, j.m.rated, j.hot, film.Thermal{Oil: f.m, Inlet: j.m.inlet}, keep)
		if err != nil {
			return nil, err
		}
		if i == 0 && run != nil {
			usual, p.Cycle = run, instants(run.r.Points)
		}
		cold, _, err := j.one(p.ClearanceMM, j.m.warmUp, j.warmUp, film.Thermal{Oil: f.m, Inlet: j.m.cold}, 0)
		if err != nil {
			return nil, err
		}
		out := OilFilm{Hot: hot, WarmUp: cold}
		if f.low != nil {
			low, _, err := j.one(p.ClearanceMM+j.m.hotChange, j.m.rated, j.hot, film.Thermal{Oil: f.low, Inlet: j.m.inlet}, 0)
			if err != nil {
				return nil, err
			}
			high, _, err := j.one(p.ClearanceMM+j.m.hotChange, j.m.rated, j.hot, film.Thermal{Oil: f.high, Inlet: j.m.inlet}, 0)
			if err != nil {
				return nil, err
			}
			out.HotLowUM, out.HotHighUM = low.MinFilmUM, high.MinFilmUM
		}
		if s := p.Surfaces; s != nil {
			out.Hot.against(s.CombinedUM)
			out.WarmUp.against(s.CombinedUM)
		}
		p.Oils = append(p.Oils, out)
		j.step(1)
	}
	return usual, nil
}

// one solves one case with its heat balance. A film that fails is an answer;
// an error is something else.
func (j *job) one(clearanceMM, speed float64, load *film.Cycle, t film.Thermal, keep int) (Film, *solved, error) {
	if err := j.ctx.Err(); err != nil {
		return Film{}, nil, err
	}
	c := film.Case{Bearing: j.m.bearing, Speed: speed, Load: load, Method: film.Map, Viscosity: 1e-2, Options: film.Options{Points: keep}}
	c.Bearing.Clearance = clearanceMM * 1e-3
	r, w, err := film.SolveWarm(c, t)
	if err != nil {
		return failed(err)
	}
	c.Viscosity = w.Viscosity
	f := Film{MinFilmUM: r.MinFilm * 1e6, AtDeg: deg(r.MinFilmAngle), DirectionDeg: math.Remainder(deg(r.MinFilmDirection), 360), Half: "cap", Eccentricity: r.EccentricityMax, MaxPressure: r.MaxPressure * 1e-6,
		FrictionW: r.Friction, SideFlow: r.SideFlow * 1e6, TemperatureC: w.Temperature, ViscosityMPas: w.Viscosity * 1e3, Converged: r.Converged}
	if film.OnUpperHalf(r.MinFilmDirection) {
		f.Half = "rod"
	}
	return f, &solved{c: c, r: r, warm: w}, nil
}

// against sets the film over the roughness in µm.
func (f *Film) against(roughness float64) {
	if l := film.Lambda(f.MinFilmUM, roughness); l > 0 {
		f.Lambda = &l
	}
}

// failed tells a film that fails, or a clearance that has none, from an error
// of the calculation's own.
func failed(err error) (Film, *solved, error) {
	var over *film.OverloadError
	var settle *film.SettleError
	var outside *film.RangeError
	f := Film{Failed: err.Error()}
	if errors.As(err, &over) {
		f.FailedKN = over.Load * 1e-3
	}
	if over != nil || errors.As(err, &settle) || errors.As(err, &outside) {
		return f, nil, nil
	}
	return Film{}, nil, err
}

func instants(ps []film.Point) []Instant {
	out := make([]Instant, len(ps))
	for i, p := range ps {
		out[i] = Instant{AngleDeg: deg(p.Angle), X: p.X, Y: p.Y, FilmUM: p.Film * 1e6, DirectionDeg: deg(p.Direction), Fx: p.Fx, Fy: p.Fy}
	}
	return out
}

// shapes computes what the measured form costs, where there is one.
func (j *job) shapes(res *Result) error {
	return each(j.ctx, len(j.ask.Positions), func(i int) error {
		s := j.ask.Positions[i].Shape
		run := res.runs[phase{j.ask.Positions[i].Position, res.Positions[i].Fitted != nil}]
		if s == nil || run == nil {
			return nil
		}
		out := &ShapeFilm{Form: *s}
		for _, v := range []struct {
			shape film.Shape
			to    *float64
		}{{film.Shape{}, &out.RoundUM}, {s.film(0), &out.AsIsUM}, {s.film(2), &out.WorstUM}} {
			if err := j.ctx.Err(); err != nil {
				return err
			}
			c := run.c
			c.Method, c.Shape, c.Options = film.Field, v.shape, film.Options{Bare: true, Tolerance: 1e-3} // their ratio is said in thirds
			r, err := film.Solve(c)
			if err != nil {
				f, _, err := failed(err)
				if err != nil {
					return err
				}
				out.Failed = f.Failed
				continue
			}
			*v.to = r.MinFilm * 1e6
		}
		res.Positions[i].Shape = out
		j.step(1)
		return nil
	})
}

// film is the shape with every difference larger by k of its spread.
func (s *Shape) film(k float64) film.Shape {
	more := func(mm float64) float64 {
		if mm == 0 {
			return 0
		}
		return (mm + math.Copysign(k*s.U, mm)) * 1e-3
	}
	rad := func(d float64) float64 { return d * math.Pi / 180 }
	return film.Shape{JournalOvality: more(s.JournalOvality), JournalOvalityAt: rad(s.JournalOvalityAt), JournalTaper: more(s.JournalTaper),
		JournalBarrel: more(s.JournalBarrel), BoreOvality: more(s.BoreOvality), BoreOvalityAt: rad(s.BoreOvalityAt)}
}

// each runs n pieces on all cores and returns the first error.
func each(ctx context.Context, n int, do func(i int) error) error {
	work := make(chan int, n)
	for i := range n {
		work <- i
	}
	close(work)
	var wg sync.WaitGroup
	var once sync.Once
	var failed error
	for range min(n, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for i := range work {
				err := ctx.Err()
				if err == nil {
					err = do(i)
				}
				if err != nil {
					once.Do(func() { failed = err })
					return
				}
			}
		})
	}
	wg.Wait()
	return failed
}

func deg(rad float64) float64 { return rad * 180 / math.Pi }
func rpm(w float64) float64   { return w * 30 / math.Pi }
