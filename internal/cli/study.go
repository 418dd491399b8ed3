// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"os"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"witnessmark/internal/studycsv"
	"witnessmark/metrology"
)

// studyResult is what `study` prints. Standard deviations in micrometres; null
// is what the study can't tell.
type studyResult struct {
	Repeatability       *float64 `json:"repeatability_um"`
	Reproducibility     *float64 `json:"reproducibility_um"`
	Interaction         *float64 `json:"interaction_um"`
	Gauge               *float64 `json:"gauge_um"`
	Part                *float64 `json:"part_um"`
	Total               *float64 `json:"total_um"`
	GaugePercentOfTotal *float64 `json:"gauge_percent_of_total"`
	DistinctCategories  *int     `json:"distinct_categories"`
	InteractionP        *float64 `json:"interaction_p"`

	InteractionPooled bool             `json:"interaction_pooled"`
	Parts             int              `json:"parts"`
	Persons           int              `json:"persons"`
	Readings          int              `json:"readings"`
	Mean              float64          `json:"mean_mm"`
	Components        []studyComponent `json:"components"`
	Notes             []string         `json:"notes"`
}

// studyComponent is one standard deviation with how well it is known.
// DegreesOfFreedom are those of its mean square, Effective those of the
// component by Satterthwaite.
type studyComponent struct {
	Name             string   `json:"name"`
	StdDev           float64  `json:"sd_um"`
	DegreesOfFreedom *float64 `json:"degrees_of_freedom"`
	Effective        *float64 `json:"effective_degrees_of_freedom"`
	Low              *float64 `json:"low_95_um"`
	High             *float64 `json:"high_95_um"`
	Clipped          bool     `json:"clipped_at_zero"`
}

func newStudyCommand(a *app) *cobra.Command {
	return example(&cobra.Command{
		Use:   "study FILE.csv",
		Short: "Work out a gauge study: repeatability, persons, parts",
		Long: `Work out a gauge study from a table with the columns part, person, reading_mm.

Every person should read every part equally often, at least twice. Crossed
analysis of variance; the interaction of parts and persons is kept unless its
p-value exceeds 0.25. What the study can't tell is null, and a note says why.
FILE - reads standard input.`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return study(a, args[0]) },
	}, "  witnessmark study micrometer.csv --json")
}

func study(a *app, name string) error {
	readings, err := readStudyFile(a, name)
	if err != nil {
		return err
	}
	r, err := metrology.Study(readings)
	if err != nil {
		return usagef("study: %s: %w", name, err)
	}
	result := newStudyResult(r)
	return couldNot(a.emit(result, func(w io.Writer) { printStudy(w, result) }))
}

func readStudyFile(a *app, name string) ([]metrology.StudyReading, error) {
	in := a.in
	if name != "-" {
		f, err := os.Open(name)
		if err != nil {
			return nil, couldNotf("study: %w", err)
		}
		defer f.Close()
		in = f
	}
	text, err := io.ReadAll(io.LimitReader(in, studycsv.MaxBytes+1))
	if err != nil {
		return nil, couldNotf("study: %s: %w", name, err)
	}
	if len(text) > studycsv.MaxBytes {
		return nil, usagef("study: %s: more than %d bytes, which is no gauge study", name, studycsv.MaxBytes)
	}
	readings, err := studycsv.Parse(string(text))
	if err != nil {
		return nil, usagef("study: %s: %w", name, err)
	}
	return readings, nil
}

func newStudyResult(r metrology.StudyResult) studyResult {
	out := studyResult{
		InteractionPooled: r.Pooled, Parts: r.Parts, Persons: r.Persons, Readings: r.Readings, Mean: r.Mean,
		Components: []studyComponent{}, Notes: r.Notes,
	}
	if out.Notes == nil {
		out.Notes = []string{}
	}
	for _, c := range []struct {
		name string
		c    metrology.Component
		line float64 // degrees of freedom of its mean square; 0 for a sum of several
		into **float64
	}{
		{"repeatability", r.Repeatability, r.Repeatability.DegreesOfFreedom, &out.Repeatability},
		{"reproducibility", r.Reproducibility, r.PersonLine.DegreesOfFreedom, &out.Reproducibility},
		{"interaction", r.Interaction, r.InteractionLine.DegreesOfFreedom, &out.Interaction},
		{"gauge", r.Gauge, 0, &out.Gauge},
		{"part", r.Part, r.PartLine.DegreesOfFreedom, &out.Part},
		{"total", r.Total, 0, &out.Total},
	} {
		if c.c.Known {
			um := 1000 * c.c.StdDev
			*c.into = &um
			out.Components = append(out.Components, newStudyComponent(c.name, c.c, c.line))
		}
	}
	if r.Total.Known && r.Total.StdDev > 0 {
		out.GaugePercentOfTotal = &r.GaugePercentOfTotal
	}
	if r.DistinctCategories > 0 {
		out.DistinctCategories = &r.DistinctCategories
	}
	if r.InteractionTested {
		out.InteractionP = &r.InteractionP
	}
	return out
}

func newStudyComponent(name string, c metrology.Component, line float64) studyComponent {
	out := studyComponent{Name: name, StdDev: 1000 * c.StdDev, Clipped: c.Clipped}
	if line > 0 {
		out.DegreesOfFreedom = &line
	}
	if c.DegreesOfFreedom > 0 {
		out.Effective = &c.DegreesOfFreedom
	}
	if c.High > 0 {
		low := 1000 * c.Low
		out.Low = &low
		if !math.IsInf(c.High, 1) {
			high := 1000 * c.High
			out.High = &high
		}
	}
	return out
}

func printStudy(w io.Writer, r studyResult) {
	fmt.Fprintf(w, "%d parts, %d persons, %d readings, mean %.4f mm\n\n", r.Parts, r.Persons, r.Readings, r.Mean)
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(tw, "\tspread, µm\twith 95 %, µm\tdegrees of freedom")
	for _, c := range r.Components {
		fmt.Fprintf(tw, "%s\t%.2f\t%s\t%s\n", c.Name, c.StdDev, interval(c), dashOr("%.3g", cmp.Or(c.DegreesOfFreedom, c.Effective)))
	}
	tw.Flush()
	fmt.Fprintf(w, "\ngauge, share of total  %s\n", dashOr("%.1f %%", r.GaugePercentOfTotal))
	fmt.Fprintf(w, "distinct categories    %s\n", dashOr("%d", r.DistinctCategories))
	fmt.Fprintf(w, "interaction, p-value   %s\n", dashOr("%.3g", r.InteractionP))
	for _, n := range r.Notes {
		fmt.Fprintf(w, "\n%s\n", n)
	}
}

func interval(c studyComponent) string {
	switch {
	case c.Low == nil:
		return "–"
	case c.High == nil:
		return fmt.Sprintf("%.2f or more", *c.Low)
	}
	return fmt.Sprintf("%.2f to %.2f", *c.Low, *c.High)
}

// dashOr prints what is known, else a dash.
func dashOr[T any](format string, x *T) string {
	if x == nil {
		return "–"
	}
	return fmt.Sprintf(format, *x)
}
