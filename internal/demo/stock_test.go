// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"context"
	"math"
	"slices"
	"testing"

	"witnessmark/internal/job"
)

// Choosing shells for the engine that is open brings every position but the
// fourth within 2 µm of target, and says what is missing at the fourth.
func TestPairingHalfWay(t *testing.T) {
	s, cast := filled()
	p, err := s.Pairing(context.Background(), load(t, s, cast.HalfWay), job.PairingAsk{})
	if err != nil || p.Err != nil {
		t.Fatal(err, p.Err)
	}
	if !p.Best.ProvenBest || len(p.Best.Fits) != 7 || p.Best.LargestDepartureUM > 2 {
		t.Errorf("%+v", p.Best)
	}
	if row := p.Case.Row(4); !slices.Equal(row.Missing, []string{"housing bore"}) {
		t.Errorf("position 4 misses %v", row.Missing)
	}
	for _, n := range []int{1, 2, 3, 5} {
		if !p.Case.Row(n).Committed {
			t.Errorf("position %d is tightened for good and not kept as it is", n)
		}
	}
	var open []int
	for _, f := range p.Case.Adopt(p.Best).Fits {
		open = append(open, f.Position)
	}
	if !slices.Equal(open, []int{6, 7, 8}) {
		t.Errorf("offered for %v", open)
	}
}

// With its bore measured, no two shells bring position 4 within the limits; it
// is left out, and the others lie as near as before. The journal is sound, so
// nothing is said of grinding.
func TestPairingLeavesOutWhatCannotBeMet(t *testing.T) {
	s, cast := filled()
	l := load(t, s, cast.HalfWay)
	read := job.Noted[job.Reading]{Body: job.Reading{Of: job.OfHousingBore, Phase: job.AsFound, Position: 4, Gauge: "BG-1", Value: (&teller{}).length("56.021 mm")}}
	read.At.Seq = l.State.Size + 1
	l.State.Readings = append(slices.Clone(l.State.Readings), read)
	p, err := s.Pairing(context.Background(), l, job.PairingAsk{})
	if err != nil || p.Err != nil {
		t.Fatal(err, p.Err)
	}
	if !p.Case.Row(4).Unreachable || len(p.Remedies) != 1 || p.Remedies[0].Position != 4 || p.Remedies[0].Regrind != nil || p.Best.LargestDepartureUM > 2 {
		t.Errorf("row %+v, remedies %+v, largest %g", p.Case.Row(4), p.Remedies, p.Best.LargestDepartureUM)
	}
}

// Fitted shells have left the stock, and a job keeps what it chose.
func TestStockOfTheScenario(t *testing.T) {
	s, cast := filled()
	b, err := s.Batch(context.Background(), batch)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		id  string
		job string
	}{{"U07", cast.HalfWay}, {"L11", cast.HalfWay}, {"U11", ""}} {
		sh := b.Find(c.id)
		if sh == nil || (sh.Use == nil) != (c.job == "") || sh.Use != nil && sh.Use.Job != c.job {
			t.Errorf("%s: %+v", c.id, sh)
		}
	}
	wall, ok := b.Find("U11").Wall(nil)
	if !ok || math.Abs(wall.Value-1.990) > 1e-9 {
		t.Errorf("wall of U11: %v", wall)
	}
}
