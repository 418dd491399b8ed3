// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"fmt"
	"io"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"witnessmark/bearing"
)

// pairResult is what `pair` prints.
type pairResult struct {
	LargestDeparture float64       `json:"largest_departure_um"`
	SumOfSquares     float64       `json:"sum_of_squares_um2"`
	ProvenBest       bool          `json:"proven_best"`
	Bound            float64       `json:"bound_um"`
	SquaresBound     float64       `json:"sum_of_squares_bound_um2"`
	Resolution       float64       `json:"resolution_um"`
	Positions        []fitResult   `json:"positions"`
	LimitsMet        *bool         `json:"limits_met,omitempty"`
	LimitsAttainable string        `json:"limits_attainable,omitempty"`
	Within           []fitResult   `json:"within_limits,omitempty"`
	Remedies         []remedyEntry `json:"remedies,omitempty"`
	OneMore          []helpEntry   `json:"one_more,omitempty"`
	Kept             []string      `json:"kept,omitempty"`
	KeptBecause      string        `json:"kept_because,omitempty"`
}

type fitResult struct {
	Position  int     `json:"position"`
	Upper     string  `json:"upper"`
	Lower     string  `json:"lower"`
	Clearance float64 `json:"clearance_mm"`
	Departure float64 `json:"departure_um"`
}

type remedyEntry struct {
	Position  int           `json:"position"`
	Beyond    float64       `json:"beyond_um"`
	Reachable bool          `json:"reachable_alone"`
	Least     float64       `json:"least_mm"`
	Greatest  float64       `json:"greatest_mm"`
	WallMin   float64       `json:"walls_together_min_mm"`
	WallMax   float64       `json:"walls_together_max_mm"`
	Grade     float64       `json:"thicker_by_um"`
	Undersize *regrindEntry `json:"undersize,omitempty"`
	Words     string        `json:"words"`
}

type regrindEntry struct {
	Undersize float64 `json:"undersize_mm"`
	Journal   float64 `json:"grind_to_mm"`
	Min       float64 `json:"min_mm"`
	Max       float64 `json:"max_mm"`
}

type helpEntry struct {
	Half         string  `json:"half"`
	Like         string  `json:"like"`
	Wall         float64 `json:"wall_mm"`
	Largest      float64 `json:"largest_departure_um"`
	SumOfSquares float64 `json:"sum_of_squares_um2"`
	Gain         float64 `json:"gain_um"`
	GainSquares  float64 `json:"gain_um2"`
	Proven       bool    `json:"proven"`
}

type pairFlags struct {
	keep    string
	oneMore bool
	steps   int64
}

func newPairCommand(a *app) *cobra.Command {
	var f pairFlags
	c := example(&cobra.Command{
		Use:   "pair FILE.yaml",
		Short: "Choose which shells go in which position",
		Long: `Choose which shells go in which position.

FILE.yaml (- for standard input); lengths with their unit, else in mm:

  target: 0.042 mm
  limits: {min: 0.030 mm, max: 0.055 mm}       # optional
  positions:
    - {position: 1, housing_bore: 57.009 mm, journal: 53.964 mm}
    - {position: 2, housing_bore: 57.012 mm, journal: 53.966 mm}
  uppers: [{id: U01, wall: 1.501 mm}, {id: U02, wall: 1.503 mm}]
  lowers: [{id: L01, wall: 1.502 mm}, {id: L02, wall: 1.500 mm}]

Optional: pairs: [[U01, L02]] (stay together); committed: [{position: 1, upper:
U01, lower: L02}]; grades: [{id: red, wall: 1.500 mm, count: 8, half: upper}] in
place of single walls; growth: 0.006 mm per position (what crush adds to the
bore); journal_limits: {min, max} and undersizes: [0.25 mm, 0.50 mm], for what
helps where no shell does.

The largest departure from target is least, and then the sum of squares. Each is
proven, or the bound says how far off it can be. Exit code 1 when the assignment
leaves a position outside the limits.`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return a.pair(args[0], f) },
	}, "  witnessmark pair shells.yaml\n  witnessmark pair shells.yaml --one-more --json")
	c.Flags().StringVar(&f.keep, "keep", "", "why doubtful sizes are right")
	c.Flags().BoolVar(&f.oneMore, "one-more", false, "say how much one more shell of each grade would help")
	c.Flags().Int64Var(&f.steps, "steps", bearing.DefaultBudget.Steps, "steps after which an unproven search ends")
	return c
}

func (a *app) pair(file string, f pairFlags) error {
	text, err := a.readFile(file, 1<<20)
	if err != nil {
		return err
	}
	in, err := parsePair(text)
	if err != nil {
		return usagef("%s: %w", file, err)
	}
	kept, err := settle(bearing.Doubts(in), f.keep)
	if err != nil {
		return usagef("%s: %w", file, err)
	}
	p, err := bearing.Pair(in, bearing.Budget{Steps: f.steps})
	if err != nil {
		return usagef("%s: %w", file, err)
	}
	out := pairOf(in, p)
	out.Kept = kept
	if kept != nil {
		out.KeptBecause = f.keep
	}
	if f.oneMore {
		help, err := bearing.OneMore(in, p, bearing.Budget{Steps: f.steps})
		if err != nil {
			return usagef("%s: %w", file, err)
		}
		out.OneMore = helpOf(help)
	}
	if err := a.emit(out, func(w io.Writer) { printPair(w, in, out) }); err != nil {
		return couldNot(err)
	}
	if !p.AllWithin {
		return errNo
	}
	return nil
}

func pairOf(in bearing.PairingInput, p bearing.Pairing) pairResult {
	out := pairResult{
		LargestDeparture: p.LargestDepartureUM, SumOfSquares: p.SumOfSquaresUM2, ProvenBest: p.ProvenBest,
		Bound: p.BoundUM, SquaresBound: p.SquaresBoundUM2, Resolution: p.ResolutionUM,
		Positions: fitsOf(p.Fits), Within: fitsOf(p.Within),
	}
	if in.Limits == nil {
		return out
	}
	out.LimitsMet, out.LimitsAttainable = &p.AllWithin, string(p.LimitsAttainable)
	for _, r := range bearing.Remedies(in, p) {
		e := remedyEntry{
			Position: r.Position, Beyond: r.BeyondUM, Reachable: r.Reachable, Least: r.Least, Greatest: r.Greatest,
			WallMin: r.WallSum.Min, WallMax: r.WallSum.Max, Grade: r.GradeUM, Words: r.String(),
		}
		if g := r.Regrind; g != nil {
			e.Undersize = &regrindEntry{g.Undersize, g.Journal, g.Range.Min, g.Range.Max}
		}
		out.Remedies = append(out.Remedies, e)
	}
	return out
}

func fitsOf(fits []bearing.Fit) (out []fitResult) {
	for _, f := range fits {
		out = append(out, fitResult{f.Position, f.Upper, f.Lower, f.Clearance, 1000 * f.Departure})
	}
	return out
}

func helpOf(help []bearing.Help) []helpEntry {
	out := []helpEntry{}
	for _, h := range help {
		out = append(out, helpEntry{string(h.Half), h.ID, h.Wall, h.LargestDepartureUM, h.SumOfSquaresUM2, h.GainUM, h.GainUM2, h.ProvenBest})
	}
	return out
}

func printPair(w io.Writer, in bearing.PairingInput, r pairResult) {
	printFits(w, r.Positions)
	fmt.Fprintf(w, "Largest departure from %.4g mm: %.4g µm. Sum of squares: %.5g µm².\n", in.Target, r.LargestDeparture, r.SumOfSquares)
	switch {
	case r.ProvenBest:
		fmt.Fprintln(w, "Proven: no other assignment is better.")
	case r.Bound < r.LargestDeparture:
		fmt.Fprintf(w, "The best found, not proven: no assignment can be below %.4g µm.\n", r.Bound)
	default:
		fmt.Fprintf(w, "The largest departure is proven; the sum of squares is the best found, not proven: it can't be below %.5g µm².\n", r.SquaresBound)
	}
	switch r.LimitsAttainable {
	case string(bearing.No):
		fmt.Fprintln(w, "No assignment of these shells keeps every position within the limits.")
	case string(bearing.Unknown):
		fmt.Fprintln(w, "Whether any assignment keeps every position within the limits is not known; none was found.")
	}
	for _, m := range r.Remedies {
		fmt.Fprintln(w, m.Words)
	}
	if r.Within != nil {
		fmt.Fprintln(w, "This assignment departs further from target but keeps every position within the limits:")
		printFits(w, r.Within)
	}
	for _, h := range r.OneMore {
		fmt.Fprintf(w, "One more %s like %s (%.4g mm): largest departure %.4g µm (%.4g less), sum of squares %.5g µm² (%.5g less).\n",
			h.Half, h.Like, h.Wall, h.Largest, h.Gain, h.SumOfSquares, h.GainSquares)
	}
}

func printFits(w io.Writer, fits []fitResult) {
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(tw, "position\tupper\tlower\tclearance mm\tdeparture µm")
	for _, f := range fits {
		fmt.Fprintf(tw, "%d\t%s\t%s\t%.4f\t%+.4g\n", f.Position, f.Upper, f.Lower, f.Clearance, f.Departure)
	}
	tw.Flush()
}
