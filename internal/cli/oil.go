// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"witnessmark/oil"
)

// oilResult is what `oil` prints.
type oilResult struct {
	Name           string     `json:"name,omitempty"`
	Standard       string     `json:"standard,omitempty"`
	ViscosityIndex *float64   `json:"viscosity_index"` // null where it is not defined
	ShearRate      float64    `json:"shear_rate_per_s"`
	At             []oilPoint `json:"at"`
	Assumed        []string   `json:"assumed"`
}

// oilPoint is the oil at one temperature; low and high are the ends of a
// grade's range.
type oilPoint struct {
	Temperature float64 `json:"temperature_C"`
	oilValues
	Low  *oilValues `json:"low,omitempty"`
	High *oilValues `json:"high,omitempty"`
}

type oilValues struct {
	Kinematic float64 `json:"kinematic_mm2_s"`
	Density   float64 `json:"density_kg_m3"`
	Dynamic   float64 `json:"dynamic_mPa_s"`
	HighShear float64 `json:"high_shear_mPa_s"`
}

type oilFlags struct {
	grade, at                      string
	v40, v100, hths, density, rate float64
}

func newOilCommand(a *app) *cobra.Command {
	var f oilFlags
	c := example(&cobra.Command{
		Use:   "oil {--grade GRADE | --v40 V --v100 V [--hths H] [--density D]} [--at T,T,...]",
		Short: "Viscosity of an oil at the temperatures asked for",
		Long: `Viscosity of an oil, from its own sheet or from a grade.

Kinematic viscosity follows ASTM D341 between two points, dynamic viscosity is
without shear, high-shear at 10⁶ 1/s unless --rate says otherwise. A grade is a
range: the middle is printed with its ends, and what was assumed. The product's
own values (--v40, --v100, --hths) are better.`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error { return runOil(a, f) },
	}, "  witnessmark oil --grade 5W-40 --at 40,100,150\n"+
		"  witnessmark oil --v40 91.3 --v100 14.5 --hths 3.7 --at 90 --json")
	p := c.Flags()
	p.StringVar(&f.grade, "grade", "", "SAE J300 grade such as 5W-40, or ISO 3448 such as \"VG 46\"")
	p.Float64Var(&f.v40, "v40", 0, "kinematic viscosity at 40 °C, mm²/s")
	p.Float64Var(&f.v100, "v100", 0, "kinematic viscosity at 100 °C, mm²/s")
	p.Float64Var(&f.hths, "hths", 0, "high-shear viscosity at 150 °C, mPa·s")
	p.Float64Var(&f.density, "density", 0, "density at 15 °C, kg/m³")
	p.Float64Var(&f.rate, "rate", oil.HTHSRate, "shear rate of the high-shear value, 1/s")
	p.StringVar(&f.at, "at", "40,100,150", "temperatures, °C, separated by commas")
	return c
}

// notThinning is assumed of an oil without a high-shear value.
const notThinning = "no high-shear value was given: taken as not thinning under shear"

func runOil(a *app, f oilFlags) error {
	temps, err := parseTemperatures(f.at)
	if err != nil {
		return usage(err)
	}
	band, g, err := f.oils()
	if err != nil {
		return usage(fmt.Errorf("oil: %w", err))
	}
	r := oilResult{Name: band[0].Oil().Name, Standard: g.Standard, ShearRate: f.rate, Assumed: append([]string{}, band[0].Oil().Assumed...)}
	if band[0].Oil().HTHS == 0 {
		r.Assumed = append(r.Assumed, notThinning)
	}
	if vi, err := oil.ViscosityIndex(band[0].Oil().V40, band[0].Oil().V100); err == nil {
		r.ViscosityIndex = &vi
	}
	for _, t := range temps {
		p := oilPoint{Temperature: t}
		for i, into := range []**oilValues{nil, &p.Low, &p.High}[:len(band)] {
			v, err := valuesAt(band[i], t, f.rate)
			if err != nil {
				return usage(fmt.Errorf("oil: --at %g: %w", t, err))
			}
			if into == nil {
				p.oilValues = v
			} else {
				*into = &v
			}
		}
		r.At = append(r.At, p)
	}
	return couldNot(a.emit(r, func(w io.Writer) { printOil(w, r) }))
}

// oils returns the oil, or the middle, thinnest and thickest of a grade.
func (f oilFlags) oils() ([]*oil.Model, oil.Grade, error) {
	own := f.v40 != 0 || f.v100 != 0
	if (f.grade == "") == !own {
		return nil, oil.Grade{}, fmt.Errorf("give either --grade, or --v40 and --v100")
	}
	list := []oil.Oil{{V40: f.v40, V100: f.v100, HTHS: f.hths, Density15: f.density}}
	var g oil.Grade
	if !own {
		var err error
		if g, err = oil.ParseGrade(f.grade); err != nil {
			return nil, g, err
		}
		b, err := g.Band()
		if err != nil {
			return nil, g, err
		}
		list = []oil.Oil{b.Mid, b.Low, b.High}
		for i := range list {
			list[i].Density15 = f.density
			if f.hths != 0 {
				list[i].HTHS = f.hths
			}
		}
	}
	var models []*oil.Model
	for _, o := range list {
		m, err := o.Prepare()
		if err != nil {
			return nil, g, err
		}
		models = append(models, m)
	}
	return models, g, nil
}

func valuesAt(m *oil.Model, t, rate float64) (v oilValues, err error) {
	if v.Kinematic, err = m.Kinematic(t); err != nil {
		return v, err
	}
	if v.Density, err = m.Density(t); err != nil {
		return v, err
	}
	if v.Dynamic, err = m.Dynamic(t); err != nil {
		return v, err
	}
	v.HighShear, err = m.Sheared(t, rate)
	return v, err
}

func parseTemperatures(s string) ([]float64, error) {
	var list []float64
	for _, part := range strings.Split(s, ",") {
		t, err := strconv.ParseFloat(strings.TrimSpace(part), 64)
		if err != nil || math.IsNaN(t) || math.IsInf(t, 0) {
			return nil, fmt.Errorf("oil: --at %q: %q is not a temperature; write °C such as 40,100,150", s, part)
		}
		list = append(list, t)
	}
	return list, nil
}

func printOil(w io.Writer, r oilResult) {
	if r.Name != "" {
		fmt.Fprintf(w, "%s, %s\n", r.Name, r.Standard)
	}
	if r.ViscosityIndex != nil {
		fmt.Fprintf(w, "viscosity index %.0f (ASTM D2270)\n", *r.ViscosityIndex)
	}
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(tw, "°C\tmm²/s\tmPa·s\tmPa·s sheared\tfrom\tto\t")
	for _, p := range r.At {
		fmt.Fprintf(tw, "%g\t%.4g\t%.4g\t%.4g\t", p.Temperature, p.Kinematic, p.Dynamic, p.HighShear)
		if p.Low != nil {
			fmt.Fprintf(tw, "%.4g\t%.4g\t", p.Low.HighShear, p.High.HighShear)
		}
		fmt.Fprintln(tw)
	}
	tw.Flush()
	for _, s := range r.Assumed {
		fmt.Fprintf(w, "assumed: %s\n", s)
	}
}
