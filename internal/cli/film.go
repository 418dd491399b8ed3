// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"

	"github.com/spf13/cobra"

	"witnessmark/film"
)

// filmResult is what `film` prints.
type filmResult struct {
	MinFilm      float64  `json:"min_film_um"`
	MinFilmAt    float64  `json:"min_film_at_deg"`
	Direction    float64  `json:"min_film_direction_deg"`
	Half         string   `json:"half,omitempty"` // on a big end: rod or cap
	Eccentricity float64  `json:"eccentricity_ratio_max"`
	MaxPressure  float64  `json:"max_pressure_MPa"`
	Friction     float64  `json:"friction_W"`
	SideFlow     float64  `json:"side_flow_mL_s"`
	Temperature  *float64 `json:"temperature_C"`
	Outlet       *float64 `json:"outlet_C,omitempty"`
	Viscosity    float64  `json:"viscosity_mPa_s"`
	Lambda       *float64 `json:"lambda,omitempty"` // least film over combined roughness
	PeakLoad     float64  `json:"peak_load_N"`
	Converged    bool     `json:"converged"`
	Cycles       int      `json:"cycles"`
	Method       string   `json:"method"`
	Boundary     string   `json:"boundary"`

	Sommerfeld *float64 `json:"sommerfeld,omitempty"`
	Attitude   *float64 `json:"attitude_deg,omitempty"`

	Points  []filmPoint `json:"points,omitempty"`
	Assumed []string    `json:"assumed"`
}

// filmPoint is one instant of the cycle.
type filmPoint struct {
	Angle     float64 `json:"angle_deg"`
	X         float64 `json:"eccentricity_x"`
	Y         float64 `json:"eccentricity_y"`
	Film      float64 `json:"film_um"`
	Direction float64 `json:"direction_deg"`
	Fx        float64 `json:"fx_N"`
	Fy        float64 `json:"fy_N"`
	Pressure  float64 `json:"pressure_MPa"`
}

func newFilmCommand(a *app) *cobra.Command {
	return example(&cobra.Command{
		Use:   "film CASE.yaml",
		Short: "Oil film of a bearing under a steady or varying load",
		Long: `Oil film of a bearing under a steady or varying load.

CASE.yaml (- for standard input), quantities with their units:

  bearing: {diameter: 52 mm, width: 18 mm, clearance: 50 µm}   # diametral
  oil: {viscosity: 9 mPa·s}     # or {grade: 5W-40, temperature: 110 °C},
                                # or {grade: 5W-40, inlet: 95 °C}: heat balance
  speed: 4000 rpm
  load: {steady: 8 kN}          # or {table: load.csv, frame: fixed},
                                # or {table: load.csv, frame: rod, crank_radius: 43 mm, rod_length: 144 mm},
                                # or {engine: {bore: 86 mm, stroke: 87 mm, rod_length: 144 mm,
                                #      reciprocating_mass: 0.52 kg, rotating_mass: 0.42 kg,
                                #      compression_ratio: 11, peak_pressure: 85 bar}}
  method: map                   # short, map or field
  boundary: natural             # or widest_gap, for a steady load with field

A table has the columns angle_deg,fx_N,fy_N: the load on the journal over one
period, the last row repeating the first. x points along the rod to the piston
(rod) or is fixed; y is 90° ahead in the sense of rotation. Instead of a grade:
v40, v100, hths. Also: roughness: {journal, shell}, shape: {journal_ovality,
journal_taper, ...} (field only), points: N.

Rigid parts, one viscosity, no misalignment, no grooves: a calculation for
comparing choices, not an approval. Absolute values are good to a third or so.`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return a.film(args[0]) },
	}, "  witnessmark film case.yaml\n  witnessmark film case.yaml --json")
}

func (a *app) film(file string) error {
	text, err := a.readFile(file, 64<<10)
	if err != nil {
		return err
	}
	var y filmYAML
	if err := strictYAML(text, &y); err != nil {
		return usagef("%s: %w", file, err)
	}
	c, err := y.toCase(a, filepath.Dir(file))
	var missing *couldNotError
	if errors.As(err, &missing) {
		return fmt.Errorf("%s: %w", file, err)
	}
	if err != nil {
		return usagef("%s: %w", file, err)
	}
	r, err := c.solve()
	if err != nil {
		return a.filmFailure(file, err)
	}
	return couldNot(a.emit(r, func(w io.Writer) { printFilm(w, r) }))
}

// filmNone is what `film` prints when no film carries the load.
type filmNone struct {
	Converged bool     `json:"converged"`
	Error     string   `json:"error"`
	Load      *float64 `json:"failed_load_N,omitempty"`
	At        *float64 `json:"failed_at_deg,omitempty"`
	Held      *float64 `json:"load_held_N,omitempty"` // steady: the most that the method holds
}

// filmFailure tells a film that fails from input that can't be used: the first
// is an answer, and the answer is no.
func (a *app) filmFailure(file string, err error) error {
	var over *film.OverloadError
	var settle *film.SettleError
	isOver, isSettle := errors.As(err, &over), errors.As(err, &settle)
	if !isOver && !isSettle {
		return usagef("%s: %w", file, err)
	}
	a.say("%s: %v", file, err)
	out := filmNone{Error: err.Error()}
	if isOver {
		at := degrees360(over.Angle, false)
		out.Load = &over.Load
		if out.At = &at; over.Held > 0 {
			out.At, out.Held = nil, &over.Held
		}
	}
	if err := a.emit(out, func(io.Writer) {}); err != nil {
		return couldNot(err)
	}
	return errNo
}

func (c *filmCase) solve() (filmResult, error) {
	if c.isSteady {
		return c.solveSteady()
	}
	var r film.Result
	var err error
	out := filmResult{Boundary: string(film.Natural), Assumed: append([]string{}, c.assumed...)}
	switch {
	case c.balanced:
		var w film.Warm
		r, w, err = film.SolveWarm(c.varying, c.thermal)
		out.warm(w)
	case c.atFixed:
		var mu float64
		r, mu, err = film.SolveAt(c.varying, c.oil, c.temperature)
		out.Viscosity, out.Temperature = 1e3*mu, &c.temperature
	default:
		r, err = film.Solve(c.varying)
		out.Viscosity = 1e3 * c.varying.Viscosity
	}
	if err != nil {
		return out, err
	}
	out.MinFilm, out.MinFilmAt, out.Direction = 1e6*r.MinFilm, degrees360(r.MinFilmAngle, false), degrees360(r.MinFilmDirection, true)
	if c.rod {
		out.Half = "cap"
		if film.OnUpperHalf(r.MinFilmDirection) {
			out.Half = "rod"
		}
	}
	out.Eccentricity, out.MaxPressure, out.Friction, out.SideFlow = r.EccentricityMax, 1e-6*r.MaxPressure, r.Friction, 1e6*r.SideFlow
	out.PeakLoad, out.Converged, out.Cycles, out.Method = r.PeakLoad, r.Converged, r.Cycles, string(r.Method)
	for _, p := range r.Points {
		out.Points = append(out.Points, filmPoint{degrees360(p.Angle, false), p.X, p.Y, 1e6 * p.Film, degrees360(p.Direction, true), p.Fx, p.Fy, 1e-6 * p.Pressure})
	}
	out.lambda(c.roughness)
	return out, nil
}

func (c *filmCase) solveSteady() (filmResult, error) {
	var r film.SteadyResult
	var err error
	out := filmResult{Assumed: append([]string{}, c.assumed...), PeakLoad: c.steady.Load, Converged: true}
	switch {
	case c.balanced:
		var w film.Warm
		r, w, err = film.SolveSteadyWarm(c.steady, c.thermal)
		out.warm(w)
	case c.atFixed:
		var mu float64
		r, mu, err = film.SolveSteadyAt(c.steady, c.oil, c.temperature)
		out.Viscosity, out.Temperature = 1e3*mu, &c.temperature
	default:
		r, err = film.SolveSteady(c.steady)
		out.Viscosity = 1e3 * c.steady.Viscosity
	}
	if err != nil {
		return out, err
	}
	at := degrees360(r.Direction, true)
	out.MinFilm, out.MinFilmAt, out.Direction = 1e6*r.MinFilm, at, at
	out.Eccentricity, out.MaxPressure, out.Friction, out.SideFlow = r.Eccentricity, 1e-6*r.MaxPressure, r.Friction, 1e6*r.SideFlow
	out.Method, out.Boundary = string(r.Method), string(r.Boundary)
	attitude := r.Attitude * 180 / math.Pi
	out.Sommerfeld, out.Attitude = &r.Sommerfeld, &attitude
	out.lambda(c.roughness)
	return out, nil
}

func (r *filmResult) warm(w film.Warm) {
	r.Temperature, r.Outlet, r.Viscosity = &w.Temperature, &w.Outlet, 1e3*w.Viscosity
}

func (r *filmResult) lambda(roughness float64) {
	if roughness > 0 {
		l := r.MinFilm * 1e-6 / roughness
		r.Lambda = &l
	}
}

// degrees360 turns radians into degrees, a direction into (−180, 180].
func degrees360(rad float64, direction bool) float64 {
	d := rad * 180 / math.Pi
	if direction {
		if d = math.Mod(d, 360); d > 180 {
			d -= 360
		} else if d <= -180 {
			d += 360
		}
	}
	return d
}

func printFilm(w io.Writer, r filmResult) {
	fmt.Fprintf(w, "Least film %.1f µm", r.MinFilm)
	if r.Sommerfeld == nil {
		fmt.Fprintf(w, " at %.0f°", r.MinFilmAt)
	}
	if r.Half != "" {
		fmt.Fprintf(w, ", in the %s's half", r.Half)
	}
	fmt.Fprintf(w, " (eccentricity ratio %.3f, method %s)\n", r.Eccentricity, r.Method)
	if r.Sommerfeld != nil {
		fmt.Fprintf(w, "Sommerfeld number %.4g, attitude %.1f°, boundary %s\n", *r.Sommerfeld, *r.Attitude, r.Boundary)
	}
	if r.Lambda != nil {
		fmt.Fprintf(w, "Film over combined roughness %.2g\n", *r.Lambda)
	}
	fmt.Fprintf(w, "Greatest pressure %.0f MPa, friction %.0f W, side flow %.2g mL/s\n", r.MaxPressure, r.Friction, r.SideFlow)
	if r.Temperature != nil {
		fmt.Fprintf(w, "Film at %.0f °C, %.2f mPa·s\n", *r.Temperature, r.Viscosity)
	}
	if !r.Converged {
		fmt.Fprintf(w, "The orbit did not close after %d cycles.\n", r.Cycles)
	}
	for _, s := range r.Assumed {
		fmt.Fprintf(w, "assumed: %s\n", s)
	}
	fmt.Fprintln(w, "Rigid parts, one viscosity, no misalignment unless given: a calculation for comparing\nchoices, not an approval. Absolute values are good to a third or so.")
}
