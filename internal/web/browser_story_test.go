// SPDX-License-Identifier: Apache-2.0

package web_test

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"witnessmark/internal/browsertest"
	"witnessmark/internal/cli"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/record"
)

// repeat enters in a job what was entered in the demonstration's handed-over
// job between two entries, as far as pick takes it.
func (w *workshop) repeat(number string, from, to int64, pick func(record.Entry) bool) {
	w.Helper()
	for _, e := range w.load(w.cast.HandedOver).Entries[from-1 : to] {
		if !pick(e) {
			continue
		}
		in := shop.Input{Subject: shop.Subject(number), Kind: e.Kind, Body: json.RawMessage(e.Body)}
		if _, _, err := w.shop.Append(w.Context(), e.Person, in); err != nil {
			w.Fatalf("repeat entry %d, %s: %v", e.Seq, e.Kind, err)
		}
	}
}

// first finds the first entry of a kind that the demonstration's handed-over
// job has after another.
func (w *workshop) first(kind string, after int64) int64 {
	w.Helper()
	for _, e := range w.load(w.cast.HandedOver).Entries[after:] {
		if e.Kind == kind {
			return e.Seq
		}
	}
	w.Fatalf("the demonstration has no %s after entry %d", kind, after)
	return 0
}

// apart are kinds that name other entries, and what the story does itself.
var apart = []string{"job_opened", "sheet_adopted", "details", "part_measured", "note", "note_resolved", "correction", "concession", "last_look", "run_step", "handover", "seal", "follow_up"}

// partReadings would decide a position before its strip is read.
var partReadings = []string{job.OfJournal, job.OfHousingBore, job.OfShellBore, job.OfUpperWall, job.OfLowerWall}

// byHand takes everything but that, and but the clearances as fitted.
func byHand(e record.Entry) bool {
	var r job.Reading
	if e.Kind == "reading" && json.Unmarshal(e.Body, &r) == nil {
		// One side clearance was mistyped in the demonstration, and corrected.
		return r.Of != job.OfClearance && !slices.Contains(partReadings, r.Of) && !(r.Value != nil && r.Value.Text == "0.53 mm") || r.Of == job.OfClearance && r.Phase == job.AsFound
	}
	return !slices.Contains(apart, e.Kind)
}

// A whole engine from its readings as fitted to a bundle that verifies.
func TestFromReadingsToTheBundle(t *testing.T) {
	w := newWorkshop(t)
	w.openJob("0600")
	rest := w.first("handover", 0)
	lastLook, concession := w.first("last_look", 0), w.first("concession", 0)
	w.repeat("0600", 1, concession, func(e record.Entry) bool { return byHand(e) && !isFinal(e) })
	hand := w.tablet(browsertest.Tablet, job.Technician)

	w.readAsFitted(hand)
	hand.WaitText("td[data-position='4']", "too wide")
	if got := hand.Text("li[data-code=too_wide]"); !strings.Contains(got, "Position 4 (B2) is too wide: 0.071 mm against 0.060 mm") || !strings.Contains(got, "measure the part that is named") {
		t.Errorf("what would clear it: %q", got)
	}
	w.repeat("0600", 1, lastLook, func(e record.Entry) bool { return isFinal(e) || e.Seq > concession && byHand(e) })

	w.concede(w.tablet(browsertest.Tablet, job.Inspector))
	if hand.Goto(w.url + "/jobs/0600"); hand.Exists("li[data-code=too_wide]:not(.conceded)") {
		t.Error("the concession does not clear it")
	}

	hand.Goto(w.url + "/jobs/0600/close")
	hand.Click("fieldset[data-all] > button")
	hand.Follow("form[action$='/close'] button.go")
	w.repeat("0600", lastLook, rest, byHand)
	w.run(hand)
	w.letCure(w.tablet(browsertest.Tablet, job.Inspector))

	boss := w.tablet(browsertest.Tablet, job.Manager)
	boss.Goto(w.url + "/jobs/0600/handover")
	if got := boss.Text("#handover .headline"); got != "✓ Ready to hand over" {
		t.Errorf("before handing over: %q\n%q", got, boss.Texts("[data-check] li:not(.conceded) .what"))
	}
	boss.Follow("#handover button.go")
	boss.WaitText("h1", "Handed over")
	boss.Follow("#seal button")
	boss.WaitText("#seals", "Every entry is sealed.")
	w.verify(boss.Download("a[href$='/bundle.zip']"))
	for _, p := range []*browsertest.Page{hand, boss} {
		if got := p.ConsoleErrors(); len(got) > 0 {
			t.Errorf("complaints: %q", got)
		}
	}
}

func isFinal(e record.Entry) bool {
	var s job.StageDone
	return e.Kind == "stage_done" && json.Unmarshal(e.Body, &s) == nil && s.Tightening == job.Final
}

// readAsFitted enters all positions by keyboard alone, as a gauge that acts as
// one does: figures and Enter.
func (w *workshop) readAsFitted(p *browsertest.Page) {
	w.Helper()
	p.Goto(w.url + "/jobs/0600/position/1/fitted?gauge=BG-1")
	for _, n := range w.load("0600").Basis.Sheet.AccessOrder() {
		p.WaitText("h1", fmt.Sprintf("%d · as fitted", n))
		value, verdict := "0.042", "fits"
		if n == 4 {
			value, verdict = "0.071", "too wide"
		}
		p.Press(value)
		p.PressAndLoad("Enter")
		if n != 8 {
			if got, want := p.Text(".kept"), fmt.Sprintf("Position %d kept: %s mm, %s.", n, value, verdict); !strings.HasPrefix(got, want) {
				w.Errorf("kept: %q, want %q", got, want)
			}
		}
	}
	if !strings.HasPrefix(p.URL(), w.url+"/jobs/0600?") {
		w.Errorf("after the last position it is at %s", p.URL())
	}
}

func (w *workshop) concede(p *browsertest.Page) {
	w.Helper()
	p.Goto(w.url + "/jobs/0600")
	p.Follow("li[data-code=too_wide] a.way")
	p.Type("textarea[name=reason]", "Inside the limit in service; the owner sells the car and knows.")
	p.Follow("form[action$='/concede'] button.go")
	p.WaitText("li.conceded", "Position 4")
}

// letCure concedes that oil came early: here a day passes in seconds.
func (w *workshop) letCure(p *browsertest.Page) {
	w.Helper()
	for range 2 {
		p.Goto(w.url + "/jobs/0600/handover")
		p.Follow("li[data-code=cure_too_short]:not(.conceded) a[href*='/concede']")
		p.Type("textarea[name=reason]", "The work was told in one go; the bead had a day.")
		p.Follow("form[action$='/concede'] button.go")
	}
}

// run does the first start, step by step, as the page offers them.
func (w *workshop) run(p *browsertest.Page) {
	w.Helper()
	p.Goto(w.url + "/jobs/0600/run")
	for _, s := range []struct{ id, value, after string }{
		{"prime-", "2.1", ""}, {"level-", "", "priming"}, {"first_start-", "", ""}, {"oil_pressure_cold-cold_idle", "5.2", ""},
		{"level-", "", "first start"}, {"heat_cycle-", "", ""}, {"level-", "", "heat cycle 1"}, {"heat_cycle-", "", ""},
		{"level-", "", "heat cycle 2"}, {"oil_pressure_hot-hot_idle", "1.9", ""}, {"oil_pressure_hot-hot_3000", "4.8", ""}, {"leak_check-", "", ""},
	} {
		step := "#" + s.id
		if !p.Exists(step) {
			w.Fatalf("there is no step %s: %q", s.id, p.Eval(`[...document.querySelectorAll("[data-step]")].map(e=>e.id).join(" ")`))
		}
		p.Eval(`document.querySelector("` + step + `").querySelectorAll("details").forEach(d => d.open = true)`)
		if s.value != "" {
			p.Fill(step+" input[name=value]", s.value)
		}
		if s.after != "" {
			p.Choose(step+" select[name=after]", s.after)
		}
		p.Follow(step + " button[value=yes]")
	}
}

// verify holds the bundle against the workshop's key, and a changed one too.
func (w *workshop) verify(bundle string) {
	w.Helper()
	key, err := w.shop.VerifierKey()
	if err != nil {
		w.Fatal(err)
	}
	var out, errw bytes.Buffer
	if code := cli.Main([]string{"verify", bundle, "--key", key}, nil, &out, &errw); code != 0 {
		w.Errorf("verify: exit %d\n%s%s", code, &out, &errw)
	}
	changed := changeOne(w.T, bundle, "sump")
	out.Reset()
	if code := cli.Main([]string{"verify", changed, "--key", key}, nil, &out, &errw); code != 1 || !strings.Contains(out.String(), "entry") {
		w.Errorf("verify after a change: exit %d\n%s%s", code, &out, &errw)
	}
}

// changeOne writes the bundle again with one letter of a word changed, where
// the word first stands in its entries.
func changeOne(t *testing.T, bundle, word string) string {
	t.Helper()
	in, err := zip.OpenReader(bundle)
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	var b bytes.Buffer
	out := zip.NewWriter(&b)
	done := false
	for _, f := range in.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		var data bytes.Buffer
		if _, err := data.ReadFrom(r); err != nil {
			t.Fatal(err)
		}
		text := data.Bytes()
		if i := bytes.Index(text, []byte(word)); i >= 0 && !done && strings.HasPrefix(f.Name, "entries") {
			text[i] ^= 1
			done = true
		}
		h := f.FileHeader
		to, err := out.CreateHeader(&zip.FileHeader{Name: h.Name, Method: h.Method, Modified: h.Modified})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := to.Write(text); err != nil {
			t.Fatal(err)
		}
	}
	if err := out.Close(); err != nil || !done {
		t.Fatalf("no entry says %q: %v", word, err)
	}
	name := filepath.Join(t.TempDir(), "changed.zip")
	if err := os.WriteFile(name, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}
