// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"fmt"
	"io"
	"os"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"witnessmark/fastener"
)

// traceResult is what `trace` prints. A null could not be found; why says so.
type traceResult struct {
	Fasteners []traceOne `json:"fasteners"`
	Rows      int        `json:"rows"`
	Notes     []string   `json:"notes"`
}

type traceOne struct {
	Fastener      string   `json:"fastener"`
	SnugAngle     *float64 `json:"snug_angle_deg"`
	SnugTorque    *float64 `json:"snug_torque_Nm"`
	Rate          *float64 `json:"rate_Nm_per_deg"`
	YieldAngle    *float64 `json:"yield_angle_deg"`
	FinalTorque   float64  `json:"final_torque_Nm"`
	AngleFromSnug *float64 `json:"angle_from_snug_deg"`
	Odd           bool     `json:"odd"`
	Why           string   `json:"why"`
}

func newTraceCommand(a *app) *cobra.Command {
	var cols fastener.Columns
	c := example(&cobra.Command{
		Use:   "trace FILE.csv",
		Short: "Snug point, rate and yield from torque-angle traces, and which one is odd",
		Long: `Snug point, rate and yield from torque-angle traces, and which one is odd.

FILE.csv (- for standard input) names its columns: fastener, angle_deg,
torque_Nm. A wrench's own export is mapped by column name: by itself when only
one name has a word for angle and one for torque, else with the flags below.
Separators are commas, semicolons or tabs; with the last two a decimal comma
is understood. Angles rise within each fastener.

Rate: the steepest line over 20°. Snug: where the curve joins it. Yield: from
where the rate over 5° stays below half of it for 3°. Odd: a modified z over
3.5 and more than 10 % from the median of the set.`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return a.trace(args[0], cols) },
	}, "  witnessmark trace rodbolts.csv\n"+
		"  witnessmark trace export.csv --fastener-column Bolt --angle-column 'Angle [deg]' --torque-column 'Torque [Nm]' --json")
	c.Flags().StringVar(&cols.Fastener, "fastener-column", "", "name of the column with the fasteners")
	c.Flags().StringVar(&cols.Angle, "angle-column", "", "name of the column with the angle")
	c.Flags().StringVar(&cols.Torque, "torque-column", "", "name of the column with the torque")
	return c
}

func (a *app) trace(file string, cols fastener.Columns) error {
	in := a.in
	if file != "-" {
		f, err := os.Open(file)
		if err != nil {
			return couldNot(err)
		}
		defer f.Close()
		in = f
	}
	tf, err := fastener.ReadTraces(in, cols)
	if err != nil {
		return usagef("%s: %w", file, err)
	}
	result := traceResult{Fasteners: []traceOne{}, Rows: tf.Rows, Notes: append([]string{}, tf.Notes...)}
	for _, r := range fastener.ReadSet(tf.Traces) {
		result.Fasteners = append(result.Fasteners, traceOne{r.Fastener, r.SnugAngle, r.SnugTorque, r.Rate,
			r.YieldAngle, r.FinalTorque, r.AngleFromSnug, r.Odd, r.Why})
	}
	if n := len(result.Fasteners); n < fastener.LeastSet {
		result.Notes = append(result.Notes, fmt.Sprintf("%d is too few for a set; none was held against the others", n))
	}
	return couldNot(a.emit(result, func(w io.Writer) { printTrace(w, result) }))
}

func printTrace(w io.Writer, r traceResult) {
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(tw, "fastener\tsnug °\tsnug N·m\trate N·m/°\tyield °\tfinal N·m\tfrom snug °\t")
	for _, f := range r.Fasteners {
		odd := ""
		if f.Odd {
			odd = "ODD"
		}
		fmt.Fprintf(tw, "%s\t%s\t%s\t%s\t%s\t%.1f\t%s\t%s\n", f.Fastener, orDash(f.SnugAngle, 1), orDash(f.SnugTorque, 1),
			orDash(f.Rate, 3), orDash(f.YieldAngle, 1), f.FinalTorque, orDash(f.AngleFromSnug, 1), odd)
	}
	tw.Flush()
	for _, f := range r.Fasteners {
		if f.Odd {
			fmt.Fprintf(w, "%s is odd: %s.\n", orThe(f.Fastener), f.Why)
		}
	}
	for _, n := range r.Notes {
		fmt.Fprintf(w, "Note: %s.\n", n)
	}
}

func orDash(x *float64, decimals int) string {
	if x == nil {
		return "–"
	}
	return fmt.Sprintf("%.*f", decimals, *x)
}

// orThe names a fastener of a file that names none.
func orThe(fastener string) string {
	if fastener == "" {
		return "The trace"
	}
	return fastener
}
