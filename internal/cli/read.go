// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"context"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// readFlags are the flags of `read` as they were typed.
type readFlags struct {
	of, phase, gauge                string
	position                        int
	bar, between, rearBar, rearBetw string
	orMore, orLess                  string
	width, diameter                 string
	value, u, half                  string
	plane, angle, temperature       string
	moved                           bool
	reason                          string
}

// readResult is what `read` prints.
type readResult struct {
	Job      string `json:"job"`
	Entry    int64  `json:"entry"`
	ID       string `json:"id"`
	Position int    `json:"position,omitempty"`
	Cylinder string `json:"cylinder,omitempty"`
	Phase    string `json:"phase"`
	Of       string `json:"of"`
	ReadBack string `json:"read_back"`
	// Value is what all readings of this together say, null where nothing is
	// decided.
	Value *job.Clearance `json:"value"`
}

// endOfScale is what --or-more and --or-less mean without a bar.
const endOfScale = "end"

func newReadCommand(a *app) *cobra.Command {
	var f readFlags
	c := example(&cobra.Command{
		Use:   "read JOB",
		Short: "Enter a reading: a strip gauge's bar, or a number",
		Long: `Enter a reading. It is read back as it was understood, then kept, and only
then decided. Nothing that was kept is changed: read again, and both stay.

A strip as wide as one bar is --bar 0.051; between two bars --between
0.051,0.064; narrower than the last bar --or-more, wider than the first
--or-less. When the ends differ, --rear-bar or --rear-between gives the rear one.
A measured width is --width with the strip's --diameter. Any other reading is
--value, with its standard uncertainty --u where it is known. A bare number is
in the workshop's unit.

Lay the strip along the journal, away from oil hole and parting line, oil wiped
off, crank not turned. A crank that moved voids the reading: --crank-moved.`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			return a.withShop(c.Context(), func(s *shop.Shop) error { return a.read(c.Context(), s, args[0], f) })
		},
		ValidArgsFunction: a.completeJob,
	}, "  witnessmark read 0412 --as 'Odda Brenk' --position 4 --phase fitted --between 0.051,0.064 --gauge SG-1\n"+
		"  witnessmark read 0412 --as p-2 --position 4 --phase fitted --value '0.042 mm' --u '0.002 mm' --gauge BG-1")
	fl := c.Flags()
	fl.IntVar(&f.position, "position", 0, "position counted from the front; none for end float")
	fl.StringVar(&f.phase, "phase", job.AsFitted, "found or fitted")
	fl.StringVar(&f.of, "of", job.OfClearance, "clearance, journal, housing_bore, upper_wall, lower_wall, side_clearance or end_float")
	fl.StringVar(&f.gauge, "gauge", "", "the gauge, by its id in the tool register")
	fl.StringVar(&f.bar, "bar", "", "as wide as this bar of the strip gauge")
	fl.StringVar(&f.between, "between", "", "between these two neighbouring bars, such as 0.051,0.064")
	fl.StringVar(&f.rearBar, "rear-bar", "", "the rear end, where the ends differ")
	fl.StringVar(&f.rearBetw, "rear-between", "", "the rear end between two bars")
	fl.StringVar(&f.orMore, "or-more", "", "this bar's clearance or more; alone, the last bar's")
	fl.StringVar(&f.orLess, "or-less", "", "this bar's clearance or less; alone, the first bar's")
	fl.Lookup("or-more").NoOptDefVal, fl.Lookup("or-less").NoOptDefVal = endOfScale, endOfScale
	fl.StringVar(&f.width, "width", "", "measured width of the flattened strip")
	fl.StringVar(&f.diameter, "diameter", "", "diameter of the strip before, with --width")
	fl.StringVar(&f.value, "value", "", "a number with its unit")
	fl.StringVar(&f.u, "u", "", "standard uncertainty of --value")
	fl.StringVar(&f.half, "half-width", "", "half width of a uniform spread of --value on top")
	fl.StringVar(&f.plane, "plane", "", "where along the part, such as front")
	fl.StringVar(&f.angle, "angle", "", "where around the part, such as 90°")
	fl.StringVar(&f.temperature, "part-temperature", "", "of the part when it was read")
	fl.BoolVar(&f.moved, "crank-moved", false, "the crank moved: kept, but it does not count")
	fl.StringVar(&f.reason, "reason", "", "why a reading that looks wrong was kept")
	return c
}

func (a *app) read(ctx context.Context, s *shop.Shop, id string, f readFlags) error {
	p, err := a.who(ctx, s, "reading")
	if err != nil {
		return err
	}
	l, err := theJob(ctx, s, id)
	if err != nil {
		return err
	}
	reading, err := f.understand(l)
	if err != nil {
		return err
	}
	// Nothing but the reading before it is kept: a verdict would nudge it.
	result := readResult{Job: l.ID, Position: f.position, Cylinder: cylinder(l, f.position), Phase: reading.Phase, Of: reading.Of, ReadBack: reading.ReadBack()}
	if !a.json {
		fmt.Fprintf(a.out, "Read: %s: %s%s\n", where(l, f), result.ReadBack, withGauge(reading.Gauge))
	}
	e, _, err := s.Append(ctx, p.ID, shop.Input{Subject: l.Subject, Kind: "reading", Body: reading})
	if err != nil {
		return err
	}
	if l, err = theJob(ctx, s, id); err != nil {
		return err
	}
	result.Entry, result.ID = e.Seq, e.ID
	var view *job.ValueView
	result.Value, view = decided(l, reading)
	return couldNot(a.emit(result, func(w io.Writer) { printReading(w, result, view) }))
}

func printReading(w io.Writer, r readResult, v *job.ValueView) {
	fmt.Fprintf(w, "Kept as entry %d.\n", r.Entry)
	if v == nil {
		return
	}
	fmt.Fprintf(w, "%s.", v.Headline)
	if v.Why != "" {
		fmt.Fprint(w, " ", v.Why)
	}
	fmt.Fprintln(w)
	if v.Taper != "" {
		fmt.Fprintf(w, "Taper: %s.\n", v.Taper)
	}
	for _, n := range v.Notes {
		fmt.Fprintln(w, n)
	}
}

func withGauge(id string) string {
	if id == "" {
		return ""
	}
	return ", with " + id
}

func cylinder(l *shop.Loaded, position int) string {
	if l.Basis.Sheet == nil {
		return ""
	}
	p, _ := l.Basis.Sheet.Position(position)
	return p.Cylinder
}

// where names the place of a reading: "position 4 (B2), as fitted, clearance".
func where(l *shop.Loaded, f readFlags) string {
	of := strings.ReplaceAll(f.of, "_", " ")
	if f.position == 0 {
		return "as " + f.phase + ", " + of
	}
	return "position " + l.Basis.Namer()(f.position) + ", as " + f.phase + ", " + of
}

// decided finds what the readings of the same thing say together.
func decided(l *shop.Loaded, r job.Reading) (*job.Clearance, *job.ValueView) {
	if r.Of == job.OfEndFloat {
		return l.Assessment.EndFloat, l.View().EndFloat
	}
	pa, ok := l.Assessment.Position(r.Position)
	if !ok {
		return nil, nil
	}
	for _, pv := range l.View().Positions {
		if pv.Position != r.Position {
			continue
		}
		switch {
		case r.Of == job.OfSideClearance && r.Phase == job.AsFitted:
			return pa.Side, pv.Side
		case r.Of == job.OfClearance && r.Phase == job.AsFound:
			return pa.Found, pv.Found
		case r.Of == job.OfClearance:
			return pa.Fitted, pv.Fitted
		}
	}
	return nil, nil
}
