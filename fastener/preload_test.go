// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"testing"
)

func demoCase(t testing.TB) Case {
	t.Helper()
	th, err := ParseThread("M9x1")
	if err != nil {
		t.Fatal(err)
	}
	m, err := PropertyClass("10.9", th.Diameter)
	if err != nil {
		t.Fatal(err)
	}
	return Case{
		Bolt:           Bolt{Thread: th, Segments: []Segment{{Length: 25, Diameter: 8}, {Length: 10}}},
		Material:       m,
		BearingOuter:   13,
		BearingHole:    9.2,
		FrictionThread: Spread{0.10, 0.16},
		FrictionHead:   Spread{0.10, 0.16},
		StiffnessRatio: Exactly(4),
		Embedding:      DefaultEmbedding,
		Stages:         []Stage{{TorqueNm: 20}, {AngleDeg: 130}},
	}
}

func BenchmarkPreload(b *testing.B) {
	c := demoCase(b)
	for b.Loop() {
		if _, err := Preload(c); err != nil {
			b.Fatal(err)
		}
	}
}
