// SPDX-License-Identifier: Apache-2.0

// Package report prints a job: as one HTML page with its style and drawing
// inside, and as a PDF, both to be read years later without this program. It
// also prints blank workshop sheets from an engine sheet, for a day without
// tablets.
//
// Start with [Gather], then [Data.HTML] or [Data.PDF]; [WorkshopSheets] needs
// the engine sheet alone. Nothing is decided here: every word and number comes
// from package job.
//
// The same data give the same bytes, on one build and platform; of the clock
// only [Data.PrintedAt] goes in.
package report

import (
	"bytes"
	"context"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"io"
	"time"

	"witnessmark/internal/draw"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// Data is everything that a report prints.
type Data struct {
	Workshop       string
	Program        string
	Printed        string // when, by the workshop's clock
	PrintedAt      time.Time
	View           job.View
	Purpose        string
	Opened         string
	Summary        []string
	Tightenings    []job.TighteningView
	Lines          []job.Line // the whole record
	Advice         []string
	Cautions       []string
	Sheet          SheetView
	Instruments    []InstrumentView
	Adopted        *job.AdoptedView // the choice of shells; nil: none stands
	Owner          shop.Contact
	Vehicle        shop.VehicleDetails
	Differences    []string // from what the handover rested on
	HandedOver     string   // when; empty before
	HandoverRemark string
	Photos         []Photo
	Seals          []SealView
	Key            string        // the workshop's public key
	KeyPrint       string        // its fingerprint
	Strip          string        // the drawing, as SVG
	StripOfPhone   string        // the same for a narrow screen, positions below each other
	Film           *job.FilmView // nil: nothing measured, or nothing to compute it from
	FilmDrawings   [3]string     // journal, load, cycle, as SVG
	// Charts are the files of traces, by their entries, as SVG and as drawings.
	Charts      map[int64]string
	TraceCharts map[int64]draw.Chart
	Account     *job.AccountView // the estimate beside what it took; nil: none was agreed

	hold  shop.Withhold // not in this copy
	alone bool          // the summary without the rest
}

// SheetView is the engine sheet that the job rests on.
type SheetView struct {
	Family, Title, Edition, Hash string
	Limits                       []LimitView
}

// LimitView is one limit with what it rests on.
type LimitView struct{ Name, Limit, Source, Checked string }

// InstrumentView is a tool that was used, as it stood on the day of its last
// use in this job.
type InstrumentView struct {
	ID, Title, Details string
	Uses               int
	Last               string // day
	Standing           job.WordView
	Certificate        string // of the last calibration
	Study              string // what its last gauge study found
}

// SealView is one seal as people compare it.
type SealView struct {
	Covers      int64
	Fingerprint string
	Time        string
	Entry       int64  // that holds it
	Key         string // verifier key that signed it
	Origin      string // first line of the checkpoint
	Root        string // hexadecimal
}

//go:embed report.css
var style string

// StyleHash is the Content-Security-Policy source that allows the report's own
// style and no other.
func StyleHash() string {
	sum := sha256.Sum256([]byte(style))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

// Files are the reports that a bundle carries, by their names: report.html and
// report.pdf.
func (d Data) Files(ctx context.Context, o Options) (map[string][]byte, error) {
	var html, pdf bytes.Buffer
	if err := d.HTML(ctx, &html); err != nil {
		return nil, err
	}
	if err := d.PDF(&pdf, o); err != nil {
		return nil, err
	}
	return map[string][]byte{"report.html": html.Bytes(), "report.pdf": pdf.Bytes()}, nil
}

// HTML writes the report as one page.
func (d Data) HTML(ctx context.Context, w io.Writer) error {
	if err := page(d).Render(ctx, w); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}
