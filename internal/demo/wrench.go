// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"fmt"
	"math"
	"strings"

	"witnessmark/internal/shop"
)

// trace is one invented bolt as a digital wrench would draw it: nothing until
// the cap sits, a steady rate, and yield.
type trace struct {
	bolt  string
	seats float64 // degrees at which the torque begins to rise
	rate  float64 // N·m per degree
	yield float64 // degrees from there
}

// The caps that were tightened for good. One sits late: something is under it.
var wrenched = []trace{
	{"1a", 41, 0.61, 112}, {"1b", 43, 0.60, 113}, {"2a", 42, 0.62, 110}, {"2b", 40, 0.60, 114},
	{"3a", 42, 0.61, 112}, {"3b", 66, 0.61, 111}, {"5a", 41, 0.62, 111}, {"5b", 44, 0.61, 113},
}

// wrenchFile is the file of the wrench: semicolons and decimal commas, as
// exported where they are usual. The noise is a fixed sequence.
func wrenchFile(traces []trace) []byte {
	var b strings.Builder
	b.WriteString("# invented for demonstration\n" + "Bolt;Angle (deg);Torque (Nm)\n")
	comma := func(x float64) string { return strings.Replace(fmt.Sprintf("%.2f", x), ".", ",", 1) }
	noise := uint32(7)
	for _, t := range traces {
		for angle := 0.0; angle <= t.seats+140; angle += 0.5 {
			noise = noise*1664525 + 1013904223
			fmt.Fprintf(&b, "%s;%s;%s\n", t.bolt, comma(angle), comma(math.Max(0, t.torque(angle)+float64(noise>>24)/255*0.3-0.15)))
		}
	}
	return []byte(b.String())
}

// torque is what the wrench shows: the run-down, the steady rate, the plateau.
func (t trace) torque(angle float64) float64 {
	turned := angle - t.seats
	switch {
	case turned < 0:
		return 1.2
	case turned < t.yield:
		return 1.2 + t.rate*turned
	}
	return 1.2 + t.rate*t.yield + 0.04*t.rate*(turned-t.yield)
}

// traces sends the wrench's file.
func (t *teller) traces(file []byte) {
	t.do("traces", func() error {
		_, _, err := t.shop.KeepTraces(t.ctx, t.person.ID, t.id(), shop.TraceUpload{Fastener: "rod_bolt", Name: "wrench.csv (invented)", Data: file})
		return err
	})
}
