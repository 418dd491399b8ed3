// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"errors"
	"fmt"
	"io"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"witnessmark/bearing"
)

// excessYAML is the file that `excess` reads.
type excessYAML struct {
	Clearance *estimateYAML            `yaml:"clearance"`
	AsFound   *estimateYAML            `yaml:"as_found"`
	Parts     map[string]toleranceYAML `yaml:"parts"`
	Measured  map[string]*estimateYAML `yaml:"measured"`
}

// toleranceYAML is a part's limits and the uncertainty that measuring it would
// have, where the parts differ in that.
type toleranceYAML struct {
	Min *lengthText `yaml:"min"`
	Max *lengthText `yaml:"max"`
	U   *lengthText `yaml:"u"`
}

// excessResult is what `excess` prints.
type excessResult struct {
	Predicted        float64      `json:"predicted_mm"`
	PredictedU       float64      `json:"predicted_u_mm"`
	Difference       float64      `json:"difference_mm"`
	CombinedU        float64      `json:"combined_u_mm"`
	Explained        bool         `json:"explained"`
	AsFoundExplained *bool        `json:"as_found_explained,omitempty"`
	Finding          string       `json:"finding"`
	Parts            []partResult `json:"parts"`
	MeasureNext      *string      `json:"measure_next"`
	RemainingU       float64      `json:"predicted_u_after_mm"`
	Kept             []string     `json:"kept,omitempty"`
	KeptBecause      string       `json:"kept_because,omitempty"`
}

type partResult struct {
	Part     string  `json:"part"`
	ShiftUM  float64 `json:"shift_um"`
	SDUM     float64 `json:"sd_um"`
	MeanMM   float64 `json:"mean_mm"`
	Measured bool    `json:"measured"`
	Beyond   float64 `json:"probability_beyond_limits"`
}

func newExcessCommand(a *app) *cobra.Command {
	var keep string
	c := example(&cobra.Command{
		Use:   "excess FILE.yaml",
		Short: "Which part explains a clearance that is off, and what to measure next",
		Long: `Which part explains a clearance that is off, and what to measure next.

FILE.yaml (- for standard input); lengths with their unit, else in mm:

  clearance: {value: 0.071 mm, u: 0.003 mm}    # as fitted
  as_found:  {value: 0.074 mm, u: 0.003 mm}    # with the old shells; optional
  parts:
    housing_bore: {min: 57.000 mm, max: 57.019 mm}
    journal:      {min: 53.940 mm, max: 53.959 mm}
    upper_shell:  {min: 1.497 mm, max: 1.503 mm}
    lower_shell:  {min: 1.497 mm, max: 1.503 mm}
  measured:
    journal: {value: 53.951 mm, u: 0.0015 mm}

u is a standard uncertainty. A part also takes u: what measuring it would have,
where the parts differ in that. predicted is the clearance from the parts before
any strip reading; shift is what the readings changed in a part's mean. The old
shells are taken as two more parts within the same limits as the new ones.`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return a.excess(args[0], keep) },
	}, "  witnessmark excess position3.yaml\n  witnessmark excess position3.yaml --json")
	c.Flags().StringVar(&keep, "keep", "", "why doubtful sizes are right")
	return c
}

func (a *app) excess(file, keep string) error {
	text, err := a.readFile(file, 1<<20)
	if err != nil {
		return err
	}
	in, err := parseExcess(text)
	if err != nil {
		return usagef("%s: %w", file, err)
	}
	kept, err := settle(bearing.ExcessDoubts(in), keep)
	if err != nil {
		return usagef("%s: %w", file, err)
	}
	r, err := bearing.Excess(in)
	if err != nil {
		return usagef("%s: %w", file, err)
	}
	out := excessOf(r, in.AsFound != nil)
	out.Kept = kept
	if kept != nil {
		out.KeptBecause = keep
	}
	return couldNot(a.emit(out, func(w io.Writer) { printExcess(w, in, out) }))
}

// parseExcess reads the file; every length is in mm after it.
func parseExcess(text []byte) (in bearing.ExcessInput, err error) {
	var y excessYAML
	if err := strictYAML(text, &y); err != nil {
		return in, err
	}
	in.Tolerances, in.Measured, in.MeasureU = map[bearing.Part]bearing.Limits{}, map[bearing.Part]bearing.Estimate{}, map[bearing.Part]float64{}
	var problems []error
	note := func(err error) {
		if err != nil {
			problems = append(problems, err)
		}
	}
	in.Clearance, err = y.Clearance.estimate("clearance")
	note(err)
	if y.AsFound != nil {
		e, err := y.AsFound.estimate("as_found")
		note(err)
		in.AsFound = &e
	}
	for _, p := range bearing.Parts() {
		if t, ok := y.Parts[p.String()]; ok {
			in.Tolerances[p], err = (&limitsYAML{t.Min, t.Max}).limits("parts: " + p.String())
			note(err)
			if t.U != nil {
				in.MeasureU[p] = t.U.mm
			}
		}
		if m, ok := y.Measured[p.String()]; ok {
			in.Measured[p], err = m.estimate("measured: " + p.String())
			note(err)
		}
	}
	for name := range y.Parts {
		_, err := bearing.ParsePart(name)
		note(err)
	}
	for name := range y.Measured {
		_, err := bearing.ParsePart(name)
		note(err)
	}
	return in, errors.Join(problems...)
}

func excessOf(r bearing.ExcessResult, asFound bool) excessResult {
	out := excessResult{
		Predicted: r.PredictedMM, PredictedU: r.PredictedU, Difference: r.DifferenceMM, CombinedU: r.CombinedU,
		Explained: r.Explained, Finding: "explained by parts within tolerance", RemainingU: r.RemainingU,
	}
	if !r.Explained {
		out.Finding = bearing.NotExplained
	}
	if asFound {
		out.AsFoundExplained = &r.AsFoundExplained
	}
	for _, p := range r.Parts {
		out.Parts = append(out.Parts, partResult{p.Part.String(), p.ShiftUM, p.SDUM, p.MeanMM, p.Measured, p.TailBeyondLimits})
	}
	if r.MeasureNext != nil {
		name := r.MeasureNext.String()
		out.MeasureNext = &name
	}
	return out
}

func printExcess(w io.Writer, in bearing.ExcessInput, r excessResult) {
	fmt.Fprintf(w, "Read %.4f mm, predicted from the parts %.4f mm: %+.1f µm apart, uncertainty of that %.1f µm.\n",
		in.Clearance.Value, r.Predicted, 1000*r.Difference, 1000*r.CombinedU)
	fmt.Fprintf(w, "The reading is %s.\n", r.Finding)
	if r.AsFoundExplained != nil && !*r.AsFoundExplained {
		fmt.Fprintf(w, "The reading as found is %s; the old shells are taken as within the new ones' limits.\n", bearing.NotExplained)
	}
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(tw, "part\tshift µm\tspread after µm\tbeyond its limits\t")
	for _, p := range r.Parts {
		measured := ""
		if p.Measured {
			measured = "  measured"
		}
		fmt.Fprintf(tw, "%s\t%+.1f\t%.1f\t%.0f %%\t%s\n", p.Part, p.ShiftUM, p.SDUM, 100*p.Beyond, measured)
	}
	tw.Flush()
	if !r.Explained {
		for _, q := range bearing.FirstQuestions {
			fmt.Fprintln(w, " ", q)
		}
	}
	if r.MeasureNext == nil {
		fmt.Fprintln(w, "All parts are measured.")
		return
	}
	fmt.Fprintf(w, "Measure next: %s. The prediction's uncertainty falls from %.1f to %.1f µm.\n", *r.MeasureNext, 1000*r.PredictedU, 1000*r.RemainingU)
}
