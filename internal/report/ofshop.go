// SPDX-License-Identifier: Apache-2.0

package report

import (
	"context"
	"fmt"
	"io"

	"witnessmark/engine"
	"witnessmark/internal/shop"
)

// PaperOf is the paper that was asked for, the workshop's own for none.
func PaperOf(s *shop.Shop, asked string) Options {
	if asked == "" {
		asked = s.Config().Paper
	}
	return Options{Paper: asked}
}

// SheetsOfShop writes blank workshop sheets with the workshop's name, units and
// strip gauge. number is of the job, empty to write it in by hand.
func SheetsOfShop(ctx context.Context, w io.Writer, s *shop.Shop, sheet *engine.Sheet, o Options, number string) error {
	work, err := s.Workshop(ctx)
	if err != nil {
		return fmt.Errorf("report: workshop sheets: %w", err)
	}
	tools, err := s.Tools(ctx)
	if err != nil {
		return fmt.Errorf("report: workshop sheets: %w", err)
	}
	return WorkshopSheets(w, sheet, BlankOptions{Options: o, Job: number, Workshop: s.Config().Name, Gauge: GaugeOf(tools),
		Program: s.Program(), Units: shop.Preferences(work)})
}
