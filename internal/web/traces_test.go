// SPDX-License-Identifier: Apache-2.0

package web

import (
	"fmt"
	"strings"
	"testing"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// wrenchRows is a file of four bolts, one of which starts late.
func wrenchRows() []byte {
	var b strings.Builder
	b.WriteString("fastener,angle_deg,torque_Nm\n")
	for bolt, seats := range map[string]int{"1a": 40, "1b": 42, "2a": 41, "2b": 70} {
		for angle := 0; angle <= seats+90; angle++ {
			fmt.Fprintf(&b, "%s,%d,%.2f\n", bolt, angle, 1+0.6*float64(max(0, angle-seats)))
		}
	}
	return []byte(b.String())
}

// An odd trace says why, and stands in the way until somebody looked.
func TestOddTraceUntilLookedAt(t *testing.T) {
	k := newKit(t)
	b := k.as(job.Technician)
	b.page("/traces").says(".empty", "No trace is on record")
	_, _, err := k.shop.KeepTraces(t.Context(), "p-technician", k.job, shop.TraceUpload{Fastener: "rod_bolt", Name: "w.csv", Data: wrenchRows()})
	k.must(err)
	odd := func() (n int) {
		for _, o := range b.state().Assessment.Obstacles {
			if o.Code == job.TraceOdd {
				n++
			}
		}
		return n
	}
	if odd() != 1 {
		t.Fatalf("%d odd traces stand in the way, want 1", odd())
	}
	page := b.page("/traces")
	page.says(".oddtrace", "Position 2 (B1) bolt b: odd.")
	page.says(".oddtrace", "Starts late")
	page.count(".traces svg.drawing", 2)
	page = page.press(".oddtrace button", "finding", "Cap not seated; loosened, seated, done again.").follow()
	page.says(".oddtrace", "Looked at: Cap not seated")
	page.count(".oddtrace form", 0)
	if odd() != 0 {
		t.Error("it still stands in the way after somebody looked")
	}
}
