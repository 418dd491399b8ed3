// SPDX-License-Identifier: Apache-2.0

package report

import (
	"context"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
	"time"

	"witnessmark/engine"
	"witnessmark/internal/draw"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/record"
	"witnessmark/units"
)

// Gather collects what the report of a job prints.
func Gather(ctx context.Context, s *shop.Shop, l *shop.Loaded) (Data, error) {
	return GatherWithout(ctx, s, l, shop.Withhold{})
}

// GatherWithout collects what the report of a job prints to those who are not
// to have everything; the report says what is withheld.
func GatherWithout(ctx context.Context, s *shop.Shop, l *shop.Loaded, hold shop.Withhold) (Data, error) {
	now := s.Now()
	if hold.Words {
		nameless := *l
		nameless.Voice.Names = nil
		l = &nameless
	}
	v := l.View()
	if hold.Holds() {
		v.Notices = append(slices.Clone(v.Notices), withheldNotice(hold))
	}
	d := Data{hold: hold, Workshop: s.Config().Name, Program: s.Program(), Printed: clock(now, s.Zone()), PrintedAt: now, View: v,
		Purpose: l.State.Purpose, Opened: clock(l.State.Opened.Received, s.Zone()),
		Summary:     job.Summary(l.Assessment, l.State, l.Basis, l.Voice),
		Tightenings: job.Tightenings(l.State, l.Basis, l.Voice), Lines: l.Record(), Advice: job.Advice(l.Basis)}
	d.sheet(l)
	d.seals(l)
	d.instruments(l)
	d.Adopted = job.ShowAdopted(l.State, l.Basis, l.Voice)
	if err := d.details(ctx, s, l); err != nil {
		return Data{}, err
	}
	var err error
	if d.Key, err = s.VerifierKey(); err != nil {
		return Data{}, fmt.Errorf("report: key: %w", err)
	}
	d.KeyPrint = record.Fingerprint(d.Key)
	if err := d.handover(ctx, s, l); err != nil {
		return Data{}, err
	}
	if err := d.notes(ctx, s); err != nil {
		return Data{}, err
	}
	if err := d.photos(ctx, s, l); err != nil {
		return Data{}, err
	}
	if err := d.traces(ctx, s, l); err != nil {
		return Data{}, err
	}
	if a, ok, err := job.AccountOf(l.State, l.Basis); err != nil {
		return Data{}, fmt.Errorf("report: account: %w", err)
	} else if ok {
		view := job.ShowAccount(a)
		d.Account = &view
	}
	d.Strip, d.StripOfPhone = stripOf(v.Strip, stripUnits(v.Strip)), stripOf(v.Strip, 360)
	d.film(ctx, s, l)
	return d, nil
}

// withheldNotice says what this copy leaves out.
func withheldNotice(h shop.Withhold) string {
	const words, photos = "names, addresses, plates and notes", "photos"
	what := words + ", and " + photos
	switch {
	case !h.Photos:
		what = words
	case !h.Words:
		what = photos
	}
	return "This copy was made without " + what + ". The workshop has them; the record and its seals hold without them."
}

// details are of the owner and the vehicle.
func (d *Data) details(ctx context.Context, s *shop.Shop, l *shop.Loaded) (err error) {
	if d.hold.Words {
		return nil
	}
	if d.Owner, err = s.Owner(ctx, l); err != nil {
		return fmt.Errorf("report: owner: %w", err)
	}
	if d.Vehicle, err = s.Vehicle(ctx, l); err != nil {
		return fmt.Errorf("report: vehicle: %w", err)
	}
	return nil
}

// stripOf is the strip with its own colours, as wide as given.
func stripOf(s draw.Strip, wide float64) string {
	c := draw.NewStandaloneSVG(wide, s.Height(wide), s.Alt(), draw.Light)
	s.Draw(c)
	return c.String()
}

// stripUnits is how wide the strip is drawn: enough for every column to keep
// its number beside its mark.
func stripUnits(s draw.Strip) float64 { return max(860, 75+62*float64(len(s.Columns))) }

func clock(t time.Time, zone *time.Location) string { return t.In(zone).Format("2006-01-02 15:04") }

func (d *Data) handover(ctx context.Context, s *shop.Shop, l *shop.Loaded) error {
	h := l.State.Handover
	if h == nil {
		return nil
	}
	d.HandedOver, d.HandoverRemark = clock(h.At.Received, s.Zone()), h.Body.Remark
	snap, err := s.Snapshot(ctx, l)
	if err != nil {
		return fmt.Errorf("report: %w", err)
	}
	d.Differences = job.Differences(snap.Assessment, l.Assessment, l.Basis, l.Voice)
	return nil
}

// withheldWords stand where words were not handed over.
const withheldWords = "(withheld)"

// notes puts the words that are kept beside the log into their lines.
func (d *Data) notes(ctx context.Context, s *shop.Shop) error {
	for i, l := range d.Lines {
		if l.Kind != "note" || l.Commitment == "" {
			continue
		}
		words, err := withheldWords, error(nil)
		if !d.hold.Words {
			words, err = s.Words(ctx, l.Commitment)
		}
		if err != nil {
			return fmt.Errorf("report: note of entry %d: %w", l.Seq, err)
		}
		d.Lines[i].Now = strings.TrimSuffix(l.Now, ".") + ": " + words
	}
	return nil
}

func (d *Data) sheet(l *shop.Loaded) {
	sheet := l.Basis.Sheet
	if sheet == nil {
		return
	}
	d.Sheet = SheetView{Family: sheet.Family, Title: sheet.Title, Edition: sheet.Edition, Hash: l.State.Sheet.Sheet}
	d.Sheet.Limits = limitsOf(sheet, l.Voice.Units)
	for _, c := range sheet.Cautions {
		d.Cautions = append(d.Cautions, c.Text)
	}
}

func limitsOf(sheet *engine.Sheet, u units.Preferences) []LimitView {
	be := sheet.BigEnd
	var out []LimitView
	for _, lim := range []struct {
		name string
		engine.Bounds
	}{
		{"Clearance, new", be.Clearance.New.Bounds()},
		{"Clearance, in service", be.Clearance.InService.Bounds()},
		{"Taper", be.Taper.Bounds()},
		{"Ovality", be.Ovality.Bounds()},
		{"End float", sheet.EndFloat.Bounds()},
		{"Side clearance", sheet.SideClearance.Limit.Bounds()},
	} {
		if !lim.Given() {
			continue
		}
		checked := "checked against it"
		if !lim.Checked {
			checked = "not checked"
		}
		out = append(out, LimitView{lim.name, lim.In(u), sheet.SourceText(lim.Basis), checked})
	}
	return out
}

func (d *Data) seals(l *shop.Loaded) {
	for _, e := range l.Entries {
		if e.Kind != record.KindSeal {
			continue
		}
		if s, err := record.ParseSeal(e); err == nil {
			d.Seals = append(d.Seals, SealView{Covers: s.Size, Fingerprint: s.Fingerprint(), Time: clock(e.Received, l.Basis.Zone),
				Entry: e.Seq, Key: s.Key, Origin: originOf(s.Note), Root: hex.EncodeToString(s.Root[:])})
		}
	}
}

// originOf is the first line of a checkpoint (C2SP tlog-checkpoint).
func originOf(note string) string {
	origin, _, _ := strings.Cut(note, "\n")
	return origin
}

// instruments lists the tools that the record names, with what is known of
// their calibration on the day of their last use.
func (d *Data) instruments(l *shop.Loaded) {
	type use struct {
		n    int
		last time.Time
	}
	used := map[string]use{}
	for _, u := range l.State.Tools {
		was := used[u.Tool]
		if u.At.Received.After(was.last) {
			was.last = u.At.Received
		}
		used[u.Tool] = use{was.n + 1, was.last}
	}
	for id, u := range used {
		t, day := l.Basis.Tools[id], job.Day(u.last, l.Basis.Zone)
		in := InstrumentView{ID: id, Uses: u.n, Last: day, Standing: job.WordView{Word: "not in the tool register", State: draw.Out}}
		if t.ID != "" {
			in.Title, in.Standing = t.Title, t.Standing(day)
			in.Details, in.Study = strings.Join(t.Extra(), "; "), t.StudyWords()
		}
		if n := len(t.Calibrations); n > 0 {
			in.Certificate = t.Calibrations[n-1].Body.Certificate
		}
		d.Instruments = append(d.Instruments, in)
	}
	slices.SortFunc(d.Instruments, func(a, b InstrumentView) int { return strings.Compare(a.ID, b.ID) })
}
