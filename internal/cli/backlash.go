// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"

	"github.com/spf13/cobra"

	"witnessmark/internal/job"
	"witnessmark/mesh"
	"witnessmark/metrology"
	"witnessmark/units"
)

// backlashResult is what `backlash` prints: mm in the transverse plane at the
// pitch circle. A null could not be found or was not asked for.
type backlashResult struct {
	job.Backlash
	Notes []string `json:"notes"`
}

// backlashFlags are the flags as they were typed.
type backlashFlags struct {
	measured, readRadius, pitchRadius, min, max, pressure, helix, u string
	confidence                                                      float64
}

func newBacklashCommand(a *app) *cobra.Command {
	var f backlashFlags
	c := example(&cobra.Command{
		Use:   "backlash FILE.csv --read-radius R --pitch-radius RP --min A --max B --pressure-angle 20deg",
		Short: "Backlash at the pitch circle from indicator readings around a gear",
		Long: `Backlash at the pitch circle from indicator readings around a gear.

FILE.csv (- for standard input) has the columns angle_deg and reading_mm, taken
around the gear with the other one held. Lengths without unit are mm, angles
degrees. The pressure angle is the normal one.

  --measured transverse   reading × pitch radius / reading radius
  --measured normal       reading / (cos αn × cos β), no radii
  --measured axial        reading × tan β, no radii

The verdict holds the least and the greatest reading against the limits; u is
the standard uncertainty of one reading, zero unless given. Exit code 0 when
both are within, else 1.`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return a.backlash(args[0], f) },
	}, "  witnessmark backlash gear.csv --read-radius 50 --pitch-radius 20 --min 0.06 --max 0.08 --pressure-angle 20deg\n"+
		"  witnessmark backlash gear.csv --measured normal --min 0.06 --max 0.08 --pressure-angle 20deg --helix 15deg --u 0.003 --json")
	fl := c.Flags()
	fl.StringVar(&f.measured, "measured", "transverse", "transverse, normal or axial")
	fl.StringVar(&f.readRadius, "read-radius", "", "radius at which the indicator stands")
	fl.StringVar(&f.pitchRadius, "pitch-radius", "", "radius of the pitch circle")
	fl.StringVar(&f.min, "min", "", "lower limit of the backlash at the pitch circle")
	fl.StringVar(&f.max, "max", "", "upper limit")
	fl.StringVar(&f.pressure, "pressure-angle", "", "normal pressure angle, such as 20deg")
	fl.StringVar(&f.helix, "helix", "0", "helix angle at the pitch circle")
	fl.StringVar(&f.u, "u", "", "standard uncertainty of one reading (zero unless given)")
	fl.Float64Var(&f.confidence, "confidence", metrology.DefaultConfidence, "probability that is needed, from 0 to 1")
	return c
}

func (a *app) backlash(file string, f backlashFlags) error {
	setup, limits, u, err := f.parse()
	if err != nil {
		return usagef("backlash: %w", err)
	}
	text, err := a.readFile(file, 16<<20)
	if err != nil {
		return err
	}
	readings, err := mesh.ReadReadings(bytes.NewReader(text))
	if err != nil {
		return usagef("%s: %w", file, err)
	}
	r, err := mesh.Measure(setup, readings)
	if err != nil {
		return usagef("%s: %w", file, err)
	}
	result, err := backlashOf(r, setup, limits, u, f)
	if err != nil {
		return usagef("backlash: %w", err)
	}
	result.Readings = len(readings)
	if err := a.emit(result, func(w io.Writer) { printBacklash(w, result, limits) }); err != nil {
		return couldNot(err)
	}
	if result.Verdict != metrology.Within {
		return errNo
	}
	return nil
}

func (f backlashFlags) parse() (s mesh.Setup, l metrology.Limits, u float64, err error) {
	if s.Measured, err = mesh.ParseDirection(f.measured); err != nil {
		return s, l, 0, fmt.Errorf("--measured: %w", err)
	}
	if f.min == "" && f.max == "" {
		return s, l, 0, errors.New("no limit was given; give --min, --max or both")
	}
	if f.pressure == "" {
		return s, l, 0, errors.New("--pressure-angle is missing; most gears have 20deg")
	}
	l = metrology.Limits{Min: math.Inf(-1), Max: math.Inf(1)}
	for _, p := range []struct {
		flag, typed string
		into        *float64
		angle       bool
	}{
		{"read-radius", f.readRadius, &s.ReadRadius, false}, {"pitch-radius", f.pitchRadius, &s.PitchRadius, false},
		{"min", f.min, &l.Min, false}, {"max", f.max, &l.Max, false}, {"u", f.u, &u, false},
		{"pressure-angle", f.pressure, &s.PressureAngle, true}, {"helix", f.helix, &s.Helix, true},
	} {
		if p.typed == "" {
			continue
		}
		if *p.into, err = lengthOrAngle(p.typed, p.angle); err != nil {
			return s, l, 0, fmt.Errorf("--%s %q: %w", p.flag, p.typed, err)
		}
	}
	if u < 0 {
		return s, l, 0, fmt.Errorf("--u %s is below zero; give a standard uncertainty", f.u)
	}
	return s, l, u, s.Check()
}

// lengthOrAngle reads mm or degrees, which are also what a bare number means.
func lengthOrAngle(text string, angle bool) (float64, error) {
	if angle {
		x, err := units.ParseAngle(text, units.UnitDegree)
		return x.Degrees(), err
	}
	x, err := units.ParseLength(text, units.UnitMillimetre)
	return x.MM(), err
}

func backlashOf(r mesh.Result, s mesh.Setup, l metrology.Limits, u float64, f backlashFlags) (backlashResult, error) {
	out := backlashResult{Notes: []string{}}
	least, err := metrology.Decide(metrology.Measurement{Value: r.Min, U: u * r.Scale}, l, f.confidence)
	if err != nil {
		return out, err
	}
	greatest, err := metrology.Decide(metrology.Measurement{Value: r.Max, U: u * r.Scale}, l, f.confidence)
	if err != nil {
		return out, err
	}
	out.Backlash = job.NewBacklash(r, s, l, least.Verdict, greatest.Verdict)
	out.U, out.Assumed = u, f.u == ""
	if out.Assumed {
		out.Notes = append(out.Notes, "no uncertainty was given; it was taken as zero")
	}
	if out.NoCentre {
		out.Notes = append(out.Notes, "the least is below and the greatest above the limits; no setting of the centres brings both within")
	}
	if out.RunoutAmplitude == nil {
		out.Notes = append(out.Notes, "readings at three different angles are needed for the run-out")
	}
	return out, nil
}

func printBacklash(w io.Writer, r backlashResult, l metrology.Limits) {
	words := map[metrology.Verdict]string{
		metrology.Within: "within the limits", metrology.Above: "above the limits (too wide)",
		metrology.Below: "below the limits (too tight)", metrology.NotProven: "not proven",
	}
	fmt.Fprintf(w, "Backlash at the pitch circle: %.3f to %.3f mm, mean %.3f mm: %s", r.Min, r.Max, r.Mean, words[r.Verdict])
	if _, both := l.Middle(); both {
		fmt.Fprintf(w, " of %.3f to %.3f mm", l.Min, l.Max)
	}
	fmt.Fprintf(w, ".\nSquare to the flank the mean is %.3f mm.\n", r.NormalMean)
	if r.RunoutAmplitude != nil {
		fmt.Fprintf(w, "Once a turn it swings by ±%.3f mm, greatest at %.0f°.\n", *r.RunoutAmplitude, *r.RunoutAngle)
	}
	if r.CentreChange != nil {
		fmt.Fprintf(w, "To bring the mean to the middle, move the centres by %+.3f mm (+ is apart).\n", *r.CentreChange)
	}
	for _, n := range r.Notes {
		fmt.Fprintf(w, "Note: %s.\n", n)
	}
}
