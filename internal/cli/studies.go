// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// studyLine is what `studies` prints of one study of the workshop.
type studyLine struct {
	Study  string       `json:"study"`
	Gauge  string       `json:"gauge"`
	Begun  string       `json:"begun"`
	Steps  int          `json:"steps"`
	Read   int          `json:"read"`
	Result *studyResult `json:"result,omitempty"` // once all is read

	view job.StudyView
}

func newStudiesCommand(a *app) *cobra.Command {
	return example(&cobra.Command{
		Use:   "studies [STUDY]",
		Short: "List the workshop's gauge studies, or show one",
		Long: `List the gauge studies that were read on the pages, or show the result of one.
While one is read its readings stay hidden. A table of your own is worked out by
"witnessmark study FILE.csv".`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			return a.withShop(c.Context(), func(s *shop.Shop) error { return a.studies(c.Context(), s, args) })
		},
	}, "  witnessmark studies\n  witnessmark studies DI-1-s2y5fh --json")
}

func (a *app) studies(ctx context.Context, s *shop.Shop, args []string) error {
	if len(args) == 0 {
		all, err := s.Studies(ctx, "")
		if err != nil {
			return couldNot(err)
		}
		lines := []studyLine{}
		for _, g := range all {
			lines = append(lines, newStudyLine(g, s))
		}
		return couldNot(a.emit(lines, func(w io.Writer) {
			for _, l := range lines {
				printStudyLine(w, l)
			}
			if len(lines) == 0 {
				fmt.Fprintln(w, "No gauge study was begun.")
			}
		}))
	}
	g, err := s.Study(ctx, args[0])
	if errors.Is(err, shop.ErrNotFound) {
		return usagef("studies: no study %q; \"witnessmark studies\" lists them", args[0])
	}
	if err != nil {
		return couldNot(err)
	}
	l := newStudyLine(g, s)
	if g.Done() {
		if err := l.work(g, s); err != nil {
			return couldNot(err)
		}
	}
	return couldNot(a.emit(l, func(w io.Writer) {
		printStudyLine(w, l)
		for _, r := range l.view.Rows {
			fmt.Fprintf(w, "  %-36s %s  %s\n", r.Name, r.Spread, r.Interval)
		}
		for _, list := range [][]string{l.view.Facts, l.view.Notes} {
			for _, x := range list {
				fmt.Fprintln(w, x)
			}
		}
	}))
}

func newStudyLine(g job.GaugeStudy, s *shop.Shop) studyLine {
	return studyLine{Study: g.ID, Gauge: g.Gauge, Begun: job.Day(g.Opened.Received, s.Zone()), Steps: len(g.Steps), Read: len(g.Read)}
}

// work adds the result of a study that is read to its end.
func (l *studyLine) work(g job.GaugeStudy, s *shop.Shop) error {
	body := g.Studied(job.Day(s.Now(), s.Zone()))
	r, err := body.Study()
	if err != nil {
		return err
	}
	result := newStudyResult(r)
	l.Result = &result
	l.view, err = job.ShowStudy(body, job.Voice{})
	return err
}

func printStudyLine(w io.Writer, l studyLine) {
	fmt.Fprintf(w, "%s: gauge %s, begun %s, %d of %d read\n", l.Study, l.Gauge, l.Begun, l.Read, l.Steps)
}
