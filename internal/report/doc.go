// SPDX-License-Identifier: Apache-2.0

// Package report prints a job: one HTML page with its style and drawing inside,
// to be read years later without this program.
//
// Start with [Gather] and [Data.HTML]. Nothing is decided here: every word and
// number comes from package job.
package report

import (
	"context"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"io"

	"witnessmark/internal/draw"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/record"
)

// Data is everything that a report prints.
type Data struct {
	Workshop    string
	Program     string
	Printed     string // when, by the workshop's clock
	View        job.View
	Summary     []string
	Tightenings []job.TighteningView
	Lines       []job.Line // the whole record
	Advice      []string
	Cautions    []string
	Sheet       SheetView
	Owner       shop.Contact
	Vehicle     shop.VehicleDetails
	Differences []string // from what the handover rested on
	HandedOver  string   // when; empty before
	Seals       []SealView
	Key         string // the workshop's public key
	KeyPrint    string // its fingerprint
	Strip       string // the drawing, as SVG
}

// SheetView is the engine sheet that the job rests on.
type SheetView struct {
	Family, Title, Edition, Hash string
	Limits                       []LimitView
}

// LimitView is one limit with what it rests on.
type LimitView struct{ Name, Limit, Source, Checked string }

// SealView is one seal as people compare it.
type SealView struct {
	Covers      int64
	Fingerprint string
	Time        string
}

// Gather collects what the report of a job prints.
func Gather(ctx context.Context, s *shop.Shop, l *shop.Loaded) (Data, error) {
	v := l.View()
	d := Data{Workshop: s.Config().Name, Program: s.Program(), Printed: s.Now().In(s.Zone()).Format("2006-01-02 15:04"), View: v,
		Summary:     job.Summary(l.Assessment, l.State, l.Basis, l.Voice),
		Tightenings: job.Tightenings(l.State, l.Basis, l.Voice), Lines: l.Record(), Advice: job.Advice(l.Basis)}
	d.sheet(l)
	d.seals(l)
	var err error
	if d.Owner, err = s.Owner(ctx, l); err != nil {
		return Data{}, fmt.Errorf("report: owner: %w", err)
	}
	if d.Vehicle, err = s.Vehicle(ctx, l); err != nil {
		return Data{}, fmt.Errorf("report: vehicle: %w", err)
	}
	if d.Key, err = s.VerifierKey(); err != nil {
		return Data{}, fmt.Errorf("report: key: %w", err)
	}
	d.KeyPrint = record.Fingerprint(d.Key)
	if h := l.State.Handover; h != nil {
		d.HandedOver = h.At.Received.In(s.Zone()).Format("2006-01-02 15:04")
		snap, err := s.Snapshot(ctx, l)
		if err != nil {
			return Data{}, fmt.Errorf("report: %w", err)
		}
		d.Differences = job.Differences(snap.Assessment, l.Assessment)
	}
	c := draw.NewStandaloneSVG(1120, v.Strip.Height(1120), v.Strip.Alt(), draw.Light)
	v.Strip.Draw(c)
	d.Strip = c.String()
	return d, nil
}

func (d *Data) sheet(l *shop.Loaded) {
	sheet := l.Basis.Sheet
	if sheet == nil {
		return
	}
	d.Sheet = SheetView{Family: sheet.Family, Title: sheet.Title, Edition: sheet.Edition, Hash: l.State.Sheet.Sheet}
	be := sheet.BigEnd
	for _, lim := range []struct {
		name string
		text string
		src  string
		ok   bool
	}{
		{"Clearance, new", be.Clearance.New.String(), sheet.SourceText(be.Clearance.New.Basis), be.Clearance.New.Checked},
		{"Clearance, in service", be.Clearance.InService.String(), sheet.SourceText(be.Clearance.InService.Basis), be.Clearance.InService.Checked},
		{"Taper", be.Taper.String(), sheet.SourceText(be.Taper.Basis), be.Taper.Checked},
		{"Ovality", be.Ovality.String(), sheet.SourceText(be.Ovality.Basis), be.Ovality.Checked},
		{"End float", sheet.EndFloat.String(), sheet.SourceText(sheet.EndFloat.Basis), sheet.EndFloat.Checked},
		{"Side clearance", sheet.SideClearance.Limit.String(), sheet.SourceText(sheet.SideClearance.Limit.Basis), sheet.SideClearance.Limit.Checked},
	} {
		if lim.text == "" {
			continue
		}
		checked := "checked against it"
		if !lim.ok {
			checked = "not checked"
		}
		d.Sheet.Limits = append(d.Sheet.Limits, LimitView{lim.name, lim.text, lim.src, checked})
	}
	for _, c := range sheet.Cautions {
		d.Cautions = append(d.Cautions, c.Text)
	}
}

func (d *Data) seals(l *shop.Loaded) {
	for _, e := range l.Entries {
		if e.Kind != record.KindSeal {
			continue
		}
		if s, err := record.ParseSeal(e); err == nil {
			d.Seals = append(d.Seals, SealView{Covers: s.Size, Fingerprint: s.Fingerprint(), Time: e.Received.In(l.Basis.Zone).Format("2006-01-02 15:04")})
		}
	}
}

//go:embed report.css
var style string

// StyleHash is the Content-Security-Policy source that allows the report's own
// style and no other.
func StyleHash() string {
	sum := sha256.Sum256([]byte(style))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

// HTML writes the report as one page.
func (d Data) HTML(ctx context.Context, w io.Writer) error {
	if err := page(d).Render(ctx, w); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}
