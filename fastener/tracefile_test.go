// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"testing"
)

// million is an invented file of a million rows.
func million() []byte {
	rng := rand.New(rand.NewPCG(1, 1))
	b := []byte("fastener,angle_deg,torque_Nm\n")
	for f := range 16 {
		for i := range 62_500 {
			a := 180 * float64(i) / 62_500
			b = fmt.Appendf(b, "B%d,%.3f,%.3f\n", f+1, a, hinged(a, 2, 40, 120)+0.3*rng.NormFloat64())
		}
	}
	return b
}

func BenchmarkReadTraces(b *testing.B) {
	file := million()
	b.SetBytes(int64(len(file)))
	b.ReportAllocs()
	for b.Loop() {
		f, err := ReadTraces(bytes.NewReader(file), Columns{})
		if err != nil {
			b.Fatal(err)
		}
		if len(ReadSet(f.Traces)) != 16 {
			b.Fatal("16 fasteners went in")
		}
	}
}

// hinged is a trace without noise: rising slowly to snug, at 0.5 N·m/° to
// yield, then nearly level.
func hinged(a, start, snug, yield float64) float64 {
	t := start + 0.01*min(a, snug)
	t += 0.5 * (min(max(a, snug), yield) - snug)
	return t + 0.05*max(0, a-yield)
}
