// SPDX-License-Identifier: Apache-2.0

package web_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"witnessmark/internal/browsertest"
	"witnessmark/internal/job"
)

// wrenchFile is a file of every bolt of the V8 as a wrench draws it: a
// run-down, a steady rate, no yield. One cap sits late.
func wrenchFile(late string) []byte {
	var b strings.Builder
	b.WriteString("fastener,angle_deg,torque_Nm\n")
	for position := 1; position <= 8; position++ {
		for n, letter := range []string{"a", "b"} {
			name, seats := fmt.Sprintf("%d%s", position, letter), 40+(position+n)%3
			if name == late {
				seats = 68
			}
			for angle := 0; angle <= seats+90; angle++ {
				fmt.Fprintf(&b, "%s,%d,%.2f\n", name, angle, 1+0.6*float64(max(0, angle-seats)))
			}
		}
	}
	return []byte(b.String())
}

// ofRodBolts are what stands in the way of closing up about the rod's bolts.
func (w *workshop) ofRodBolts(number string, codes ...job.Code) (out []string) {
	for _, o := range w.load(number).Assessment.Standing(job.CloseUp) {
		for _, c := range codes {
			if o.Code == c && (o.Of == "rod_bolt" || c == job.TraceOdd) {
				out = append(out, o.Key)
			}
		}
	}
	return out
}

// A whole engine's rod bolts go through their three stages by one tap for each
// stage of each position; then clamp loads, an odd trace, the three checks.
func TestRodBoltsOfAWholeEngine(t *testing.T) {
	w := newWorkshop(t)
	w.openJob("0500")
	f := &finger{Page: w.tablet(browsertest.Tablet, job.Technician)}
	order := w.load("0500").Basis.Sheet.AccessOrder()
	stages := []job.Code{job.StageMissing, job.StageOrder, job.BoltReused, job.ToolRange}
	if got := w.ofRodBolts("0500", stages...); len(got) != len(order) {
		t.Fatalf("before: %q", got)
	}

	f.Goto(w.url + "/jobs/0500/assemble")
	f.tapAndLoad(fmt.Sprintf(".byposition a[href$='/bolts#position-%d']", order[0]))
	f.tapAndLoad(".switch a[href$='tightening=final']")
	before := f.taps
	for stage, asks := range []string{"20 Nm", "30 Nm", "90°"} {
		for _, position := range order {
			do := fmt.Sprintf("#position-%d .do button", position)
			if got, want := f.Text(do), fmt.Sprintf("both bolts, stage %d of 3, %s", stage+1, asks); !strings.Contains(got, want) {
				t.Errorf("position %d offers %q, want %q", position, got, want)
			}
			f.tapAndLoad(do)
		}
	}
	if got := f.taps - before; got != 3*len(order) {
		t.Errorf("%d taps for the stages, want %d", got, 3*len(order))
	}
	f.tapAndLoad("#witness button.go")
	if got := w.ofRodBolts("0500", append(stages, job.WitnessMissing)...); len(got) > 0 {
		t.Errorf("still in the way: %q", got)
	}

	f.Goto(w.url + "/jobs/0500/assemble")
	loads := f.Texts(".byposition .clamp")
	for _, l := range loads {
		if low, high := 0.0, 0.0; !scan(l, &low, &high) || low < 20 || high <= low || high > 70 {
			t.Errorf("the clamp load says %q", l)
		}
	}
	if len(loads) != len(order) {
		t.Errorf("%d clamp loads for %d positions: %q", len(loads), len(order), loads)
	}

	file := filepath.Join(t.TempDir(), "wrench.csv")
	if err := os.WriteFile(file, wrenchFile("3b"), 0o600); err != nil {
		t.Fatal(err)
	}
	f.Goto(w.url + "/jobs/0500/traces")
	f.Upload("input[type=file]", file)
	f.tapAndLoad("form[enctype] button.go")
	f.Goto(w.url + "/jobs/0500")
	if got := f.Text("[data-check='close-up'] [data-code=trace_odd]"); !strings.Contains(got, "Position 3 (A2), rod bolt b: its trace is odd: starts late") {
		t.Errorf("closing up says of the trace %q", got)
	}
	for _, c := range job.Checks {
		if w.load("0500").Assessment.Ready(c) || f.Count(fmt.Sprintf("[data-check='%s'].ready", c)) != 0 {
			t.Errorf("ready for %s past an odd trace", c)
		}
	}
	f.tapAndLoad("[data-check='close-up'] [data-code=trace_odd] a.what")
	if got := f.Texts(".oddtrace strong"); len(got) != 1 || !strings.HasPrefix(got[0], "Position 3 (A2) bolt b: odd") {
		t.Errorf("odd: %q", got)
	}
	f.Fill(".oddtrace input[name=finding]", "cap not seated; loosened, seated, done again")
	f.tapAndLoad(".oddtrace button")
	if got := w.ofRodBolts("0500", job.TraceOdd); len(got) > 0 {
		t.Errorf("looked at, and still in the way: %q", got)
	}
	if got := f.ConsoleErrors(); len(got) > 0 {
		t.Errorf("complaints: %q", got)
	}
}

// scan reads "41.6 to 51.1 kN".
func scan(text string, low, high *float64) bool {
	n, err := fmt.Sscanf(text, "%f to %f kN", low, high)
	return err == nil && n == 2
}
