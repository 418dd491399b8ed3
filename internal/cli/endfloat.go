// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"witnessmark/bearing"
	"witnessmark/metrology"
	"witnessmark/units"
)

// endFloatResult is what `endfloat` prints.
type endFloatResult struct {
	Gap     float64          `json:"gap_mm"`
	GapU    float64          `json:"gap_u_mm"`
	Needed  float64          `json:"thickness_for_the_middle_mm"` // of all washers together
	Choices []endFloatChoice `json:"choices"`
	Fits    bool             `json:"one_fits"`
	Notes   []string         `json:"notes"`
}

type endFloatChoice struct {
	Washers  []string          `json:"washers"`
	EndFloat float64           `json:"end_float_mm"`
	U        float64           `json:"standard_uncertainty_mm"`
	Verdict  metrology.Verdict `json:"verdict"`
	Within   float64           `json:"probability_within"`
}

type endFloatFlags struct {
	float, u, washerU, min, max string
	in, washers                 []string
	confidence                  float64
}

func newEndFloatCommand(a *app) *cobra.Command {
	var f endFloatFlags
	c := example(&cobra.Command{
		Use:   "endfloat --float F --in T [--in T] --washer T ... --min A --max B",
		Short: "Which thrust washers or shims bring the end float nearest the middle of its limits",
		Long: `Which thrust washers or shims bring the end float nearest the middle of its limits.

The end float that was read and the washers that were in make the gap; every
washer, or every two where two are in, makes an end float of it, the nearest to
the middle of the limits first. Lengths without unit are mm. --in stands once
for a shim, twice for a washer on each side. --washer may carry a name behind an
equals sign: --washer 2.36=groove. As many of each as are needed are taken to be
at hand. Exit code 0 when one is proven to fit, else 1.

Worked out, not measured: read the end float again with the washers in.`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error { return a.endFloat(f) },
	}, "  witnessmark endfloat --float 0.31 --u 0.003 --in 2.31 --in 2.31 --washer 2.31 --washer 2.36 --washer 2.41 --min 0.08 --max 0.25")
	fl := c.Flags()
	fl.StringVar(&f.float, "float", "", "end float that was read")
	fl.StringVar(&f.u, "u", "", "its standard uncertainty (zero unless given)")
	fl.StringArrayVar(&f.in, "in", nil, "thickness of a washer that was in while it was read")
	fl.StringArrayVar(&f.washers, "washer", nil, "thickness to choose from")
	fl.StringVar(&f.washerU, "washer-u", "", "standard uncertainty of a thickness (zero unless given)")
	fl.StringVar(&f.min, "min", "", "lower limit of the end float")
	fl.StringVar(&f.max, "max", "", "upper limit")
	fl.Float64Var(&f.confidence, "confidence", metrology.DefaultConfidence, "probability that is needed, from 0 to 1")
	return c
}

func (a *app) endFloat(f endFloatFlags) error {
	r, err := f.choose()
	if err != nil {
		return usagef("endfloat: %w", err)
	}
	if err := a.emit(r, func(w io.Writer) { printEndFloat(w, r) }); err != nil {
		return couldNot(err)
	}
	if !r.Fits {
		return errNo
	}
	return nil
}

func (f endFloatFlags) choose() (endFloatResult, error) {
	out := endFloatResult{Choices: []endFloatChoice{}, Notes: []string{}}
	if f.float == "" || len(f.in) == 0 || len(f.washers) == 0 || f.min == "" || f.max == "" {
		return out, errors.New("give --float, --in, --washer, --min and --max")
	}
	var float bearing.Estimate
	var limits bearing.Limits
	var washerU float64
	for _, p := range []struct {
		flag, typed string
		into        *float64
	}{{"float", f.float, &float.Value}, {"u", f.u, &float.U}, {"washer-u", f.washerU, &washerU}, {"min", f.min, &limits.Min}, {"max", f.max, &limits.Max}} {
		if p.typed == "" {
			continue
		}
		x, err := units.ParseLength(p.typed, units.UnitMillimetre)
		if err != nil {
			return out, fmt.Errorf("--%s: %w", p.flag, err)
		}
		*p.into = x.MM()
	}
	if f.u == "" || f.washerU == "" {
		out.Notes = append(out.Notes, "an uncertainty that was not given was taken as zero")
	}
	in, err := thicknessFlags("in", f.in, washerU)
	if err != nil {
		return out, err
	}
	washers, err := thicknessFlags("washer", f.washers, washerU)
	if err != nil {
		return out, err
	}
	var present []bearing.Estimate
	for _, w := range in {
		present = append(present, w.Thickness)
	}
	gap, err := bearing.FloatGap(float, present...)
	if err != nil {
		return out, err
	}
	ways, err := bearing.ChooseWashers(gap, limits, washers, len(in))
	if err != nil {
		return out, err
	}
	out.Gap, out.GapU, out.Needed = gap.Value, gap.U, bearing.NeededThickness(gap.Value, limits)
	return out, out.decide(ways, metrology.Limits{Min: limits.Min, Max: limits.Max}, f.confidence)
}

func (r *endFloatResult) decide(ways []bearing.FloatChoice, l metrology.Limits, confidence float64) error {
	for _, w := range ways {
		d, err := metrology.Decide(metrology.Direct(w.EndFloat.Value, w.EndFloat.U), l, confidence)
		if err != nil {
			return err
		}
		r.Fits = r.Fits || d.Verdict == metrology.Within
		r.Choices = append(r.Choices, endFloatChoice{Washers: w.IDs, EndFloat: w.EndFloat.Value, U: w.EndFloat.U, Verdict: d.Verdict, Within: d.Within})
	}
	return nil
}

// thicknessFlags reads "2.36" or "2.36=groove"; one without a name is named by
// its thickness.
func thicknessFlags(flag string, typed []string, u float64) ([]bearing.Washer, error) {
	var out []bearing.Washer
	for _, t := range typed {
		number, name, _ := strings.Cut(t, "=")
		x, err := units.ParseLength(number, units.UnitMillimetre)
		if err != nil {
			return nil, fmt.Errorf("--%s %q: %w", flag, t, err)
		}
		if name == "" {
			name = strings.TrimSpace(number)
		}
		out = append(out, bearing.Washer{ID: name, Thickness: bearing.Estimate{Value: x.MM(), U: u}})
	}
	return out, nil
}

func printEndFloat(w io.Writer, r endFloatResult) {
	words := map[metrology.Verdict]string{
		metrology.Within: "fits", metrology.Above: "too wide", metrology.Below: "too tight", metrology.NotProven: "not proven",
	}
	fmt.Fprintf(w, "Washers and end float share %.3f mm. The middle of the limits takes %.3f mm of washers.\n", r.Gap, r.Needed)
	for _, c := range r.Choices {
		fmt.Fprintf(w, "  %-24s end float %.3f mm: %s\n", strings.Join(c.Washers, " + "), c.EndFloat, words[c.Verdict])
	}
	for _, n := range r.Notes {
		fmt.Fprintf(w, "Note: %s.\n", n)
	}
}
