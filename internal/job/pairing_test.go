// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"
	"strings"
	"testing"

	"witnessmark/bearing"
	"witnessmark/metrology"
	"witnessmark/units"
)

// A strip far from the parts proves nothing, and the less certain of the two is
// to be repeated: 0.075 mm beside 52.037 − 51.992 = 0.045 mm, six times their
// joint spread.
func TestStripAndPartsDisagree(t *testing.T) {
	for repeat, u := range map[string]struct{ strip, bore string }{"strip": {"0.004 mm", "0.001 mm"}, "parts": {"0.001 mm", "0.005 mm"}} {
		b := newBench(t)
		b.part(OfJournal, AsFound, "MM-1", 4, []string{"0°", "45°", "90°"}, "51.992 mm", "51.992 mm", "51.993 mm", "51.992 mm", "51.991 mm", "51.992 mm")
		b.add("reading", Reading{Of: OfShellBore, Phase: AsFitted, Position: 4, Gauge: "BG-1", Value: mm(t, "52.037 mm"), U: mm(t, u.bore)})
		b.add("reading", Reading{Of: OfClearance, Phase: AsFitted, Position: 4, Value: mm(t, "0.075 mm"), U: mm(t, u.strip)})
		pa, v, a := b.view(4)
		if pa.FromParts == nil || pa.FromParts.Beside == nil {
			t.Fatalf("%s: %+v", repeat, pa)
		}
		if beside := pa.FromParts.Beside; beside.Agree || beside.Repeat != repeat {
			t.Errorf("repeat %s, want %s: %+v", beside.Repeat, repeat, beside)
		}
		if pa.Fitted.Decision.Verdict == metrology.Within || !pa.Fitted.Contradicted {
			t.Errorf("what contradicts itself is %s", pa.Fitted.Decision.Verdict)
		}
		if got := strings.Join(v.FromParts.Beside, " "); v.FromParts.Verdict.Word != "they do not agree" || !strings.Contains(got, "Repeat the "+repeat+": the "+repeat) {
			t.Errorf("%q, %q", v.FromParts.Verdict.Word, got)
		}
		found := false
		for _, o := range a.Obstacles {
			found = found || o.Code == Contradicted && o.Position == 4 && o.Of == repeat
		}
		if !found {
			t.Errorf("nothing stands in the way until the %s repeated", repeat)
		}
	}
}

// One reading far off is shown with the test's name and stays in the account.
func TestOutlierInWords(t *testing.T) {
	b := newBench(t)
	b.part(OfUpperWall, AsFitted, "TM-1", 4, nil, "1.988 mm", "1.988 mm", "1.989 mm", "1.987 mm", "1.988 mm", "1.988 mm", "1.989 mm", "1.997 mm")
	_, v, _ := b.view(4)
	for _, m := range v.Measured {
		for _, f := range m.Facts {
			if f.What != "Farthest off" {
				continue
			}
			// Grubbs (1969), two-sided 5 % for n = 8: 2.126.
			if !strings.Contains(f.Value, "1.997") || !strings.Contains(f.Note, "Grubbs’ test at 5 %") || !strings.Contains(f.Note, "above 2.13") || !strings.Contains(f.Note, "it still counts") {
				t.Errorf("%+v", f)
			}
			if m.Size != "1.9892 mm" { // 1.98925 by hand, of all eight
				t.Errorf("the mean is %s", m.Size)
			}
			return
		}
	}
	t.Errorf("no outlier is shown: %+v", v.Measured)
}

// groundBench is a job whose second journal was ground 0.25 mm under size.
func groundBench(t *testing.T) *bench {
	b := newBench(t)
	for p, journal := range map[int]string{1: "51.992 mm", 2: "51.742 mm"} {
		b.part(OfHousingBore, AsFound, "BG-1", p, []string{"0°", "60°", "120°"}, "56.008 mm", "56.008 mm", "56.008 mm", "56.008 mm", "56.008 mm", "56.008 mm")
		b.part(OfJournal, AsFound, "MM-1", p, []string{"0°", "45°", "90°"}, journal, journal, journal, journal, journal, journal)
	}
	return b
}

func (b *bench) pairing(batches ...Batch) (PairingCase, bearing.Pairing, PairingView) {
	b.Helper()
	s := Fold(b.entries)
	a := Assess(s, b.basis)
	c, ok := NewPairing(s, b.basis, a, batches, "1", PairingAsk{})
	if !ok {
		b.Fatal("no limits")
	}
	p, err := bearing.Pair(c.Input, bearing.DefaultBudget)
	if err != nil {
		b.Fatal(err)
	}
	return c, p, ShowPairing(c, p, bearing.Remedies(c.Input, p), nil, a, s, b.basis, Voice{Units: units.Metric})
}

func standardBatch(t *testing.T) Batch {
	l := &ledger{T: t, subject: "stock/STD"}
	l.add("batch_added", BatchAdded{ID: "STD"})
	for _, id := range []string{"U1", "U2"} {
		l.add("shell_measured", ShellMeasured{ID: id, Half: Upper, Wall: *mm(t, "1.988 mm")})
	}
	for _, id := range []string{"L1", "L2"} {
		l.add("shell_measured", ShellMeasured{ID: id, Half: Lower, Wall: *mm(t, "1.988 mm")})
	}
	return FoldBatch(l.entries)
}

// A ground journal gets the shells of its undersize, the other the standard
// ones: 0.125 mm more wall on each side take up the 0.25 mm.
func TestPairingWithAnUndersizeJournal(t *testing.T) {
	l := &ledger{T: t, subject: "stock/US25"}
	l.add("batch_added", BatchAdded{ID: "US25", Undersize: "0.25 mm"})
	l.add("shell_measured", ShellMeasured{ID: "U9", Half: Upper, Wall: *mm(t, "2.113 mm")})
	l.add("shell_measured", ShellMeasured{ID: "L9", Half: Lower, Wall: *mm(t, "2.113 mm")})
	c, p, v := groundBench(t).pairing(standardBatch(t), FoldBatch(l.entries))
	if len(p.Fits) != 2 || !p.AllWithin || !p.ProvenBest {
		t.Fatalf("%+v", p)
	}
	fits := c.Adopt(p).Fits
	if fits[0].Upper.Batch != "STD" || fits[1].Upper.Batch != "US25" || fits[1].Lower.ID != "L9" {
		t.Errorf("%+v", fits)
	}
	// By hand: both are 56.008 less 51.992 less 2 × 1.988, plus the growth.
	want := 56.008 - 51.992 - 3.976 + c.Growth.BoreMM
	for _, f := range fits {
		if math.Abs(f.ClearanceMM-want) > 1e-4 {
			t.Errorf("position %d: %.4f mm, by hand %.4f", f.Position, f.ClearanceMM, want)
		}
	}
	if len(v.Remedies) != 0 {
		t.Errorf("remedies %+v", v.Remedies)
	}
}

// Without shells for it a ground journal asks for such shells, and for no
// second grinding.
func TestUndersizeJournalWithoutShells(t *testing.T) {
	_, p, v := groundBench(t).pairing(standardBatch(t))
	if p.AllWithin || len(v.Remedies) != 1 || v.Remedies[0].Position != 2 {
		t.Fatalf("%+v, %+v", p, v.Remedies)
	}
	if w := v.Remedies[0].Words; !strings.Contains(w, "ground 0.25 mm under size") || strings.Contains(w, "grind it") || strings.Contains(w, "No grade of the engine sheet") {
		t.Errorf("%q", w)
	}
}
