// SPDX-License-Identifier: Apache-2.0

package job

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/units"
)

// A reading is questioned by what was read before it and nothing else: as if
// the log had ended there.
func TestQuestionLooksBackOnly(t *testing.T) {
	basis := newBench(t).basis
	of := []string{OfJournal, OfHousingBore, OfShellBore, OfUpperWall, OfClearance}
	sizes := []string{"51.992 mm", "56.008 mm", "52.040 mm", "1.988 mm", "0.050 mm", "0 mm", "2.047 in"}
	rapid.Check(t, func(rt *rapid.T) {
		var s State
		for seq := range int64(rapid.IntRange(1, 20).Draw(rt, "readings")) {
			v, err := units.Parse(units.KindLength, rapid.SampledFrom(sizes).Draw(rt, "size"), units.Unit{})
			if err != nil {
				rt.Fatal(err)
			}
			r := Reading{Of: rapid.SampledFrom(of).Draw(rt, "of"), Phase: AsFound, Position: rapid.IntRange(1, 2).Draw(rt, "position"), Gauge: "MM-1", Value: &v}
			if rapid.Bool().Draw(rt, "questioned") {
				r.Questioned = "a digit"
			}
			s.Readings = append(s.Readings, Noted[Reading]{At: At{Seq: seq + 1}, Body: r})
			if rapid.Bool().Draw(rt, "two of one entry") {
				s.Readings = append(s.Readings, s.Readings[len(s.Readings)-1])
			}
		}
		a := &assessor{s: s, b: basis}
		for _, r := range s.Readings {
			first := slices.IndexFunc(s.Readings, func(x Noted[Reading]) bool { return x.At.Seq == r.At.Seq })
			want := Question(r.Body, State{Readings: s.Readings[:first]}, basis)
			if got := a.question(r.Body, r.At.Seq); got != want {
				rt.Fatalf("entry %d of %s is questioned %q, with the log up to it %q", r.At.Seq, r.Body.Of, got, want)
			}
		}
	})
}
