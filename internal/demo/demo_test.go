// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"bytes"
	"context"
	"log"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/internal/store"
	"witnessmark/record"
)

// day0 is when the scenario starts in tests.
var day0 = time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC)

// told is one telling of the scenario, for all tests that only look at it.
var told struct {
	shop *shop.Shop
	cast Cast
}

func TestMain(m *testing.M) {
	os.Exit(func() int {
		dir, err := os.MkdirTemp("", "demo")
		if err != nil {
			log.Print(err)
			return 1
		}
		defer os.RemoveAll(dir)
		f, s, cast, err := tell(dir)
		if err != nil {
			log.Print(err)
			return 1
		}
		defer f.Close()
		told.shop, told.cast = s, cast
		return m.Run()
	}())
}

func filled() (*shop.Shop, Cast) { return told.shop, told.cast }

// tell tells the scenario in a new folder.
func tell(dir string) (*store.Folder, *shop.Shop, Cast, error) {
	ctx := context.Background()
	r := NewReplay(day0)
	f, err := store.Init(ctx, dir, Config(), store.Options{Clock: r.Now, Rand: r, NeedSaw: shop.NeedSaw})
	if err != nil {
		return nil, nil, Cast{}, err
	}
	s, err := shop.New(shop.Options{Folder: f, Program: "test", Clock: r.Now, Rand: r})
	if err != nil {
		return nil, nil, Cast{}, err
	}
	cast, err := Fill(ctx, s, Options{Replay: r})
	return f, s, cast, err
}

// The scenario's verdicts follow from its readings against the invented sheet:
// 0.030 to 0.060 mm new, at most 0.080 mm in service, at 80 %.
func TestVerdicts(t *testing.T) {
	s, cast := filled()
	for _, c := range []struct {
		id            string
		found, fitted string // by position
	}{
		{cast.HalfWay, "fits,fits,fits,too wide,fits,fits,fits,fits", "fits,fits,fits,too wide,fits,not proven,not measured,not measured"},
		{cast.HandedOver, "fits,fits,fits,fits,fits,fits,fits,fits", "fits,fits,fits,fits,not proven,fits,fits,fits"},
		{cast.Opened, "not measured,not measured,not measured,not measured", "not measured,not measured,not measured,not measured"},
	} {
		v := load(t, s, c.id).View()
		var found, fitted []string
		for _, p := range v.Positions {
			found, fitted = append(found, verdict(p.Found)), append(fitted, verdict(p.Fitted))
		}
		if got := strings.Join(found, ","); got != c.found {
			t.Errorf("job %s as found: %s, want %s", c.id, got, c.found)
		}
		if got := strings.Join(fitted, ","); got != c.fitted {
			t.Errorf("job %s as fitted: %s, want %s", c.id, got, c.fitted)
		}
	}
}

func verdict(v *job.ValueView) string {
	if v == nil {
		return "not measured"
	}
	return v.Verdict.Word
}

// standing lists what stands in the way of each check for the first time, one
// key to a line.
func standing(a job.Assessment) string {
	var lines []string
	for _, o := range a.Obstacles {
		if o.Conceded == nil {
			lines = append(lines, string(o.Check)+" "+o.Key)
		}
	}
	slices.Sort(lines)
	return strings.Join(lines, "\n")
}

func TestHalfWayStandsWhereTheStorySays(t *testing.T) {
	s, cast := filled()
	l := load(t, s, cast.HalfWay)
	const want = `close-up debris_metal
close-up last_look_missing
close-up measuring_bolts_in/position-4/rod_bolt
close-up measuring_bolts_in/position-6/rod_bolt
close-up not_proven/position-6
close-up not_read/position-7
close-up not_read/position-8
close-up photo_missing/marks
close-up play_not_read/end_float
close-up play_not_read/side_clearance
close-up setting_missing/balance_backlash
close-up setting_missing/chain_slack
close-up setting_missing/crank_sensor
close-up setting_missing/pump_end_play
close-up shell_suspect/position-3/upper
close-up shells_missing/position-7
close-up shells_missing/position-8
close-up stage_missing/pickup_bolt
close-up stage_missing/position-7/rod_bolt
close-up stage_missing/position-8/rod_bolt
close-up stage_missing/sump_bolt
close-up too_wide/position-4
close-up tool_overdue/TW-2
close-up trace_odd/position-3/3b
close-up witness_missing/position-3/rod_bolt
close-up witness_missing/position-5/rod_bolt
handover change_not_answered/155
handover note_open/position-4/entry-132
handover old_parts_missing
handover run_step_missing/first_start
handover run_step_missing/heat_cycle
handover run_step_missing/leak_check
handover run_step_missing/level
handover run_step_missing/oil_pressure_cold
handover run_step_missing/oil_pressure_hot
start run_step_missing/prime
start stage_missing/subframe_bolt`
	if got := standing(l.Assessment); got != want {
		t.Errorf("in the way of job %s:\n%s\nwant:\n%s", l.ID, got, want)
	}
	states := map[string]int{}
	for _, p := range l.Assessment.Positions {
		for _, b := range p.Bolts {
			states[b.State]++
		}
	}
	if states[job.BoltFinal] != 8 || states[job.BoltMeasuring] != 4 || states[job.BoltNone] != 4 {
		t.Errorf("rod bolts %v, want 8 final, 4 measuring, 4 none", states)
	}
}

func TestHandedOverIsReady(t *testing.T) {
	s, cast := filled()
	l := load(t, s, cast.HandedOver)
	a := l.Assessment
	if !a.CloseUp || !a.Start || !a.HandOver || !a.HandedOver {
		t.Errorf("job %s is not ready: %s", l.ID, standing(a))
	}
	var conceded []string
	for _, o := range a.Obstacles {
		if o.Conceded != nil {
			conceded = append(conceded, o.Key+" by "+o.Conceded.At.Person)
		}
	}
	if want := []string{"not_proven/position-5 by " + perrin.ID}; !slices.Equal(conceded, want) {
		t.Errorf("conceded %v, want %v", conceded, want)
	}
	st := l.State
	if st.Handover.Body.Standing != 0 || len(st.Corrected) != 1 || len(st.Seals) != 2 || len(st.FollowUps) != 3 ||
		len(st.Notes) != 1 || st.Notes[0].Resolved == nil || len(st.OldParts) == 0 {
		t.Errorf("handover %+v, %d corrections, %d seals, %d follow-ups, %d notes, %d old parts", st.Handover.Body,
			len(st.Corrected), len(st.Seals), len(st.FollowUps), len(st.Notes), len(st.OldParts))
	}
	snap, err := s.Snapshot(context.Background(), l)
	if err != nil {
		t.Fatal(err)
	}
	if d := job.Differences(snap.Assessment, a, job.Basis{}, job.Voice{}); len(d) > 0 {
		t.Errorf("differs from what the handover rested on: %v", d)
	}
}

func TestHandedOverVerifies(t *testing.T) {
	s, cast := filled()
	var bundle bytes.Buffer
	if err := s.Bundle(context.Background(), cast.HandedOver, nil, shop.Withhold{}, &bundle); err != nil {
		t.Fatal(err)
	}
	key, err := s.VerifierKey()
	if err != nil {
		t.Fatal(err)
	}
	if _, v := record.VerifyBundle(bundle.Bytes(), key); !v.OK || len(v.Seals) != 2 {
		t.Errorf("%v, %d seals, problems %v", v, len(v.Seals), v.Problems)
	}
}

func TestJustOpened(t *testing.T) {
	s, cast := filled()
	l := load(t, s, cast.Opened)
	if l.Assessment.Family != "AL19" || l.State.Arrival == nil || len(l.State.Readings) != 0 {
		t.Errorf("family %s, arrival %v, %d readings", l.Assessment.Family, l.State.Arrival, len(l.State.Readings))
	}
}

// The same start tells the same scenario, byte for byte.
func TestReproducible(t *testing.T) {
	first, _ := filled()
	f, second, _, err := tell(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	a, b := lines(t, first), lines(t, second)
	if len(a) != len(b) || len(a) < 300 {
		t.Fatalf("%d and %d entries, want the same and more than 300", len(a), len(b))
	}
	for i := range a {
		if a[i] != b[i] {
			t.Fatalf("entry %d differs:\n%s\n%s", i+1, a[i], b[i])
		}
	}
}

func lines(t *testing.T, s *shop.Shop) []string {
	t.Helper()
	changes, err := s.Store().ChangesAfter(context.Background(), 0, 10_000)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, c := range changes {
		out = append(out, string(c.Entry.Line()))
	}
	return out
}

// Every job says that it is invented, no personal word is in a log, and time
// only goes forward.
func TestInventedAndPrivate(t *testing.T) {
	s, cast := filled()
	for _, id := range []string{cast.HalfWay, cast.HandedOver, cast.Opened} {
		if v := load(t, s, id).View(); !slices.Contains(v.Notices, job.InventedNotice) {
			t.Errorf("job %s does not say that it is invented", id)
		}
	}
	changes, err := s.Store().ChangesAfter(context.Background(), 0, 10_000)
	if err != nil {
		t.Fatal(err)
	}
	last := day0
	for _, c := range changes {
		for _, word := range []string{"Brenk", "Vask", "Ansgarn", "Marnet", "Nowhere Row", "INV 412", "Owner of job"} {
			if strings.Contains(string(c.Entry.Line()), word) {
				t.Errorf("the log holds %q: %s", word, c.Entry.Line())
			}
		}
		if c.Entry.Received.Before(last) || c.Entry.Received.After(day0.AddDate(0, 0, Days)) {
			t.Errorf("entry of %v is out of its time", c.Entry.Received)
		}
		last = c.Entry.Received
	}
}

func TestPINsLetIn(t *testing.T) {
	s, cast := filled()
	roles := map[string]bool{}
	for _, m := range cast.People {
		p, err := s.CheckPIN(context.Background(), m.ID, m.PIN)
		if err != nil || p.Role != m.Role || p.Name != m.Name {
			t.Errorf("%s with %s: %+v, %v", m.Name, m.PIN, p, err)
		}
		roles[p.Role] = true
	}
	if len(roles) != len(job.Roles) {
		t.Errorf("roles %v, want all of %v", roles, job.Roles)
	}
}

func load(t *testing.T, s *shop.Shop, id string) *shop.Loaded {
	t.Helper()
	l, err := s.Job(context.Background(), id)
	if err != nil {
		t.Fatal(err)
	}
	return l
}
