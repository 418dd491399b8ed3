// SPDX-License-Identifier: Apache-2.0

package film

import (
	"errors"
	"fmt"
	"math"

	"witnessmark/oil"
)

// Thermal says what oil reaches the bearing and how its heat is carried off.
type Thermal struct {
	Oil          *oil.Model
	Inlet        float64 // °C
	SpecificHeat float64 // J/(kg·K); 0 means 2000, usual for engine oil (common practice, no source)
	Share        float64 // of the friction that the oil carries; 0 means all of it
}

// Warm is the outcome of a heat balance.
type Warm struct {
	Temperature float64 // °C, of the film: the mean of inlet and outlet
	Outlet      float64 // °C
	Viscosity   float64 // Pa·s, in the film
	Iterations  int
}

const usualSpecificHeat = 2000

func (t Thermal) check() error {
	if t.Oil == nil {
		return fmt.Errorf("heat balance: there is no oil")
	}
	for _, err := range []error{
		within("inlet temperature", "°C", t.Inlet, -40, 200),
		within("specific heat", "J/(kg·K)", t.SpecificHeat, 500, 5000),
		within("share of heat carried by the oil", "", t.Share, 0.05, 1),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

// SettleError says that the heat balance found no temperature.
type SettleError struct {
	Low, High float64 // °C, tried
	Outlet    float64 // °C, of a balance that was found but lets the oil leave hotter than High; else 0
	Cause     error   // why the hotter end failed
}

func (e *SettleError) Error() string {
	if e.Outlet > 0 {
		return fmt.Sprintf("the oil would leave the film at %.0f °C, hotter than the %.0f °C up to which it is known; use a cooler inlet, a wider clearance or less speed", e.Outlet, e.High)
	}
	s := fmt.Sprintf("the film temperature does not settle between %.1f and %.1f °C: the hotter the oil, the thinner the film and the less it carries off", e.Low, e.High)
	if e.Cause != nil {
		s += "; " + e.Cause.Error()
	}
	return s + "; use thicker oil, a cooler inlet or a wider clearance"
}

// Unwrap returns why the hotter end failed.
func (e *SettleError) Unwrap() error { return e.Cause }

// SolveWarm solves the case with the viscosity that its own heat gives.
//
//	T = T_in + ½ ΔT,  ΔT = share · P/(ρ c_p Q)
//
// P and Q are the cycle's mean friction and side flow; the viscosity is taken at
// T and sheared at the mean of journal speed over gap. The case's Viscosity is
// ignored. The balance is met to 0.001 °C.
//
// It returns a *SettleError if no temperature satisfies it, or only one at which
// the oil leaves hotter than its viscosity is known.
//
// Source: the effective temperature as the mean of inlet and outlet, ISO 7902-1
// and Raimondi and Boyd (1958), from memory.
func SolveWarm(c Case, t Thermal) (Result, Warm, error) {
	c.Viscosity = 1e-2 // until the balance gives one
	if err := c.Check(); err != nil {
		return Result{}, Warm{}, err
	}
	f, err := NewFilm(c)
	if err != nil {
		return Result{}, Warm{}, err
	}
	var w worker
	return w.solveWarm(&c, f, t)
}

func (w *worker) solveWarm(c *Case, f Film, t Thermal) (Result, Warm, error) {
	d := *c
	d.Options.Bare = false // friction and flow are what it is about
	var last Result
	warm, err := balance(t, func(mu float64) (heat, error) {
		d.Viscosity = mu
		r, err := w.solve(&d, f)
		last = r
		return heat{r.Friction, r.SideFlow, r.ShearRate}, err
	})
	return last, warm, err
}

// SolveSteadyWarm is [SolveWarm] for a steady load.
func SolveSteadyWarm(c SteadyCase, t Thermal) (SteadyResult, Warm, error) {
	var last SteadyResult
	warm, err := balance(t, func(mu float64) (heat, error) {
		c.Viscosity = mu
		r, err := SolveSteady(c)
		last = r
		return heat{r.Friction, r.SideFlow, r.ShearRate}, err
	})
	return last, warm, err
}

// SolveAt solves the case for an oil at a known film temperature (°C): only the
// shear thinning is left to settle. It returns the viscosity in the film, Pa·s.
func SolveAt(c Case, m *oil.Model, temperature float64) (Result, float64, error) {
	c.Viscosity = 1e-2
	if err := c.Check(); err != nil {
		return Result{}, 0, err
	}
	f, err := NewFilm(c)
	if err != nil {
		return Result{}, 0, err
	}
	var w worker
	var last Result
	c.Options.Bare = false
	mu, err := shearedAt(m, temperature, func(mu float64) (heat, error) {
		c.Viscosity = mu
		r, err := w.solve(&c, f)
		last = r
		return heat{rate: r.ShearRate}, err
	})
	return last, mu, err
}

// SolveSteadyAt is [SolveAt] for a steady load.
func SolveSteadyAt(c SteadyCase, m *oil.Model, temperature float64) (SteadyResult, float64, error) {
	var last SteadyResult
	mu, err := shearedAt(m, temperature, func(mu float64) (heat, error) {
		c.Viscosity = mu
		r, err := SolveSteady(c)
		last = r
		return heat{rate: r.ShearRate}, err
	})
	return last, mu, err
}

// shearedAt runs the film until its shear rate and viscosity agree; the rate
// answers weakly to the viscosity, so a few runs do.
func shearedAt(m *oil.Model, temperature float64, run func(mu float64) (heat, error)) (mu float64, err error) {
	if m == nil {
		return 0, fmt.Errorf("there is no oil")
	}
	rate := 0.0
	for range 12 {
		eta, err := m.Sheared(temperature, rate)
		if err != nil {
			return 0, err
		}
		was := mu
		mu = eta * 1e-3
		h, err := run(mu)
		if err != nil {
			return mu, err
		}
		rate = h.rate
		if math.Abs(mu-was) < 1e-5*mu {
			break
		}
	}
	return mu, nil
}

// heat is what a film gives off and what carries it.
type heat struct{ friction, flow, rate float64 }

// balance finds the temperature at which run's friction warms run's flow to it.
// The film's own shear rate feeds back into the viscosity; it is taken from the
// run before, which settles with the temperature.
func balance(t Thermal, run func(mu float64) (heat, error)) (Warm, error) {
	if t.SpecificHeat == 0 {
		t.SpecificHeat = usualSpecificHeat
	}
	if t.Share == 0 {
		t.Share = 1
	}
	if err := t.check(); err != nil {
		return Warm{}, err
	}
	out := Warm{}
	rate := 0.0
	// excess runs the film at temp and returns by how much its own heat exceeds it.
	excess := func(temp float64) (float64, error) {
		for range 6 {
			out.Iterations++
			eta, err := t.Oil.Sheared(temp, rate)
			if err != nil {
				return 0, err
			}
			h, err := run(eta * 1e-3)
			if err != nil {
				return 0, err
			}
			before := rate
			rate = h.rate
			again, err := t.Oil.Sheared(temp, rate)
			if err != nil {
				return 0, err
			}
			rho, err := t.Oil.Density(temp)
			if err != nil {
				return 0, err
			}
			rise := t.Share * h.friction / (rho * t.SpecificHeat * h.flow)
			if math.IsNaN(rise) || math.IsInf(rise, 0) {
				return 0, fmt.Errorf("heat balance: no oil flows")
			}
			out.Temperature, out.Outlet, out.Viscosity = t.Inlet+rise/2, t.Inlet+rise, eta*1e-3
			if math.Abs(again-eta) < 1e-4*eta || before == rate {
				break
			}
		}
		return out.Temperature - temp, nil
	}
	lo := t.Inlet
	fl, err := excess(lo)
	if err != nil {
		return out, err
	}
	// Hotter oil makes less heat and flows more, so the answer lies at or below
	// what the inlet's own viscosity gives.
	hi := math.Min(lo+fl, oil.HottestC)
	fh, err := excess(hi)
	for err != nil {
		// Too thin to hold there: look between.
		var over *OverloadError
		if !errors.As(err, &over) || hi-lo < 0.01 {
			return out, &SettleError{Low: lo, High: hi, Cause: err}
		}
		mid := (lo + hi) / 2
		f, failed := excess(mid)
		switch {
		case failed != nil:
			hi, err = mid, failed
		case f > 0:
			lo, fl = mid, f
		default:
			hi, fh, err = mid, f, nil
		}
	}
	// The film's shear rate feeds back a little, so the end may lie short.
	for widen := 0.1; fh > 0.001; widen *= 4 {
		if hi >= oil.HottestC || widen > 100 {
			return out, &SettleError{Low: lo, High: hi}
		}
		lo, fl = hi, fh
		hi = math.Min(hi+widen, oil.HottestC)
		if fh, err = excess(hi); err != nil {
			return out, &SettleError{Low: lo, High: hi, Cause: err}
		}
	}
	if err := settle(excess, lo, fl, hi, fh, t.Inlet); err != nil {
		return out, err
	}
	if out.Outlet > oil.HottestC {
		return out, &SettleError{Low: t.Inlet, High: oil.HottestC, Outlet: out.Outlet}
	}
	return out, nil
}

// settle closes the bracket to 0.001 °C.
func settle(excess func(float64) (float64, error), lo, fl, hi, fh, inlet float64) error {
	side := 0
	for range 60 {
		if math.Abs(fl) < 1e-9 {
			_, err := excess(lo)
			return err
		}
		x := (lo*fh - hi*fl) / (fh - fl)
		f, err := excess(x)
		if err != nil {
			return &SettleError{Low: inlet, High: x, Cause: err}
		}
		// An orbit's own tolerance moves the heat by some thousandths of a
		// kelvin: the bracket cannot say more than that.
		if math.Abs(f) < 1e-3 || hi-lo < 2e-3 {
			return nil
		}
		if f > 0 {
			lo, fl = x, f
			if side == 1 {
				fh /= 2
			}
			side = 1
		} else {
			hi, fh = x, f
			if side == -1 {
				fl /= 2
			}
			side = -1
		}
	}
	return &SettleError{Low: lo, High: hi}
}
