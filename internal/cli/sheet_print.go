// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"witnessmark/engine"
	"witnessmark/internal/report"
	"witnessmark/units"
)

// sheetPrintResult is what `sheet print` prints.
type sheetPrintResult struct {
	Sheet string `json:"sheet"`
	File  string `json:"file"`
	Bytes int    `json:"bytes"`
}

func newSheetPrintCommand(a *app) *cobra.Command {
	var out, bars string
	var inch bool
	var o report.BlankOptions
	c := example(&cobra.Command{
		Use:   "print FILE -o FILE.pdf",
		Short: "Print blank workshop sheets of an engine, for a day without tablets",
		Long: `Print blank workshop sheets of an engine: for each position the strip as found
and as fitted, wear, journal, shells and bolt stages, then the other fasteners,
settings and the run. What is written on them is entered later.`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if out == "" {
				return usagef("sheet print %s: -o is missing: name the file to write, such as sheets.pdf", args[0])
			}
			if err := checkPaper(o.Paper); err != nil {
				return err
			}
			o.Program = programVersion()
			if inch {
				o.Units = units.Inch
			}
			var err error
			if o.Gauge, err = gaugeOf(bars, o.Units); err != nil {
				return usage(err)
			}
			return a.sheetPrint(args[0], out, o)
		},
	}, "  witnessmark sheet print sheets/invented-v8-34.yaml -o sheets.pdf --job 0412 --bars 0.025,0.038,0.051,0.064,0.076")
	c.Flags().StringVarP(&out, "output", "o", "", "file to write")
	c.Flags().StringVar(&o.Paper, "paper", "a4", "a4 or letter")
	c.Flags().StringVar(&o.Job, "job", "", "number of the job, printed with its code")
	c.Flags().StringVar(&bars, "bars", "", "the strip gauge's scale, from narrow to wide clearance")
	c.Flags().BoolVar(&inch, "inch", false, "limits and torques in inch units")
	return c
}

// gaugeOf reads a gauge's scale as it is printed on its sleeve.
func gaugeOf(bars string, p units.Preferences) (report.Gauge, error) {
	g := report.Gauge{}
	if bars == "" {
		return g, nil
	}
	last := units.Read{}
	for b := range strings.SplitSeq(bars, ",") {
		r, err := units.Parse(units.KindLength, strings.TrimSpace(b), p.Unit(units.KindLength))
		switch {
		case err != nil:
			return g, fmt.Errorf("--bars %s: %w", bars, err)
		case len(g.Bars) > 0 && (r.Value <= last.Value || r.Unit.Symbol != last.Unit.Symbol):
			return g, fmt.Errorf("--bars %s: %s after %s: write them in one unit, from narrow to wide clearance", bars, r.Text, last.Text)
		case len(g.Bars) == 12:
			return g, fmt.Errorf("--bars %s: more than 12 bars do not fit on paper", bars)
		}
		g.Bars, g.Unit, last = append(g.Bars, r.Digits), r.Unit.Symbol, r
	}
	return g, nil
}

func (a *app) sheetPrint(file, out string, o report.BlankOptions) error {
	data, err := readSheet(file)
	if err != nil {
		return couldNot(err)
	}
	s, err := engine.Load(file, data)
	var p *engine.Problems
	switch {
	case errors.As(err, &p):
		return usagef("%s cannot be used yet: %s. \"witnessmark sheet check %s\" lists what to put right", file, plural(len(p.List), "thing to put right", "things to put right"), file)
	case err != nil:
		return couldNot(err)
	}
	var b bytes.Buffer
	if err := report.WorkshopSheets(&b, s, o); err != nil {
		return couldNot(err)
	}
	if err := os.WriteFile(out, b.Bytes(), 0o600); err != nil {
		return couldNot(err)
	}
	r := sheetPrintResult{Sheet: s.Family, File: out, Bytes: b.Len()}
	return couldNot(a.emit(r, func(w io.Writer) { fmt.Fprintf(w, "Workshop sheets of %s written to %s.\n", r.Sheet, r.File) }))
}
