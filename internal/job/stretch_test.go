// SPDX-License-Identifier: Apache-2.0

package job

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"witnessmark/engine"
	"witnessmark/sheets"
	"witnessmark/units"
)

func lengthRead(t *testing.T, text string) *units.Read {
	t.Helper()
	r, err := units.Parse(units.KindLength, text, units.UnitMillimetre)
	if err != nil {
		t.Fatal(err)
	}
	return &r
}

// limitedBolts is the V8 with rod bolts that may be used five times and grow to
// 60.05 mm.
func limitedBolts(t *testing.T) Basis {
	t.Helper()
	sheet, err := sheets.Named(sheets.V8)
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Replace(string(sheet.Bytes()), "    use: single\n    lubricant", "    use: 5 uses\n    stretch: {free_length: {value: 60.00 mm, max: 60.05 mm}}\n    lubricant", 1)
	changed, err := engine.Load("limited.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return Basis{Sheet: changed, Tools: Register{}}
}

func overLength(a Assessment) (out []string) {
	for _, o := range a.Obstacles {
		if o.Code == BoltGrown {
			out = append(out, o.Key)
		}
	}
	return out
}

// A bolt gives its preload by its stretch, counts its uses down by what it
// grows, and stands in the way once it is used again over its limit.
func TestStretchOfABolt(t *testing.T) {
	b := limitedBolts(t)
	length := BoltLength{Fastener: "rod_bolt", Position: 4, Bolt: "a", Set: "N1", Before: lengthRead(t, "60.000"), U: lengthRead(t, "0.002")}
	tight := BoltLength{Fastener: "rod_bolt", Position: 4, Bolt: "a", Set: "N1", Tight: lengthRead(t, "60.080")}
	after := BoltLength{Fastener: "rod_bolt", Position: 4, Bolt: "a", Set: "N1", After: lengthRead(t, "60.012")}
	once := append([]any{length}, stages(4, "", "snug", "seat", "turn")...)
	once = append(once, tight)

	a := Assess(folded(t, once...), b)
	if len(a.Stretches) != 1 {
		t.Fatalf("lengths %+v", a.Stretches)
	}
	x := a.Stretches[0]
	// By hand: the sheet asks for min to max of stretch and load; the same
	// compliance makes the load of 80 µm the load over stretch of the sheet's.
	asked := a.Clamps[0].Asked
	if *x.Stretch < 79.9 || *x.Stretch > 80.1 || x.UsesMade != 1 || *x.UsesLeft != 4 || x.Spent || x.After != nil {
		t.Errorf("tightened once: %+v", x)
	}
	if x.Preload == nil || *x.Preload <= 0 || *x.Preload > 1.2*asked.Final.Max {
		t.Errorf("preload %v against %+v", x.Preload, asked.Final)
	}
	if want := *x.Preload / 80 * 2 * math.Sqrt2; math.Abs(*x.PreloadU-want) > 1e-9 {
		t.Errorf("its uncertainty %.3f kN, want %.3f", *x.PreloadU, want)
	}

	out := append(append([]any{}, once...), Loosened{Fastener: "rod_bolt", Bolts: []BoltAt{{4, "a"}, {4, "b"}}}, after)
	a = Assess(folded(t, out...), b)
	x = a.Stretches[0]
	// 12 µm grown, 38 µm left to 60.05: three more uses, fewer than the four of the count.
	if math.Abs(*x.Growth-12) > 1e-6 || math.Abs(*x.LengthLeft-38) > 1e-6 || *x.UsesLeft != 3 || x.Spent || len(overLength(a)) > 0 {
		t.Errorf("loosened: %+v", x)
	}

	grown := after
	grown.After = lengthRead(t, "60.060")
	out[len(out)-1] = grown
	a = Assess(folded(t, out...), b)
	if x = a.Stretches[0]; !x.Spent || !x.OverLength || *x.UsesLeft != 0 || len(overLength(a)) > 0 {
		t.Errorf("over its length, not used: %+v", x)
	}
	again := append(append([]any{}, out...), stages(4, "", "snug", "seat", "turn")...)
	s := folded(t, again...)
	a = Assess(s, b)
	if got := overLength(a); len(got) != 1 || !a.Stretches[0].UsedAgain {
		t.Fatalf("used again: %q", got)
	}
	v := Show(a, s, b, Voice{})
	if got := v.Stretches[0]; got.Uses != "none left" || got.State.Word != "over its limit, and used again" || !strings.Contains(got.Why, "60.05 mm allowed") {
		t.Errorf("in words %+v", got)
	}
	// A new bolt in its place is another matter.
	fresh := length
	fresh.Set, fresh.Before = "N2", lengthRead(t, "60.001")
	next := append(append([]any{}, again...), Loosened{Fastener: "rod_bolt", Bolts: []BoltAt{{4, "a"}, {4, "b"}}}, fresh)
	for _, st := range stages(4, "", "snug", "seat", "turn") {
		done := st.(StageDone)
		done.Set = "N2"
		next = append(next, done)
	}
	if got := overLength(Assess(folded(t, next...), b)); len(got) > 0 {
		t.Errorf("with a new bolt: %q", got)
	}
}

// Without a limit or a shape the lengths still say what they can.
func TestStretchOnAPoorSheet(t *testing.T) {
	b := basisOf(t, sheets.V8)
	a := Assess(folded(t, BoltLength{Fastener: "sump_bolt", Bolt: AllBolts, Set: "N1", Before: lengthRead(t, "20.00"), Tight: lengthRead(t, "20.02"), After: lengthRead(t, "20.01")},
		BoltLength{Fastener: "rod_bolt", Position: 1, Bolt: "a", Set: "old", After: lengthRead(t, "60.02")},
		BoltLength{Fastener: "rod_bolt", Position: 2, Bolt: "a", Set: "N1", Before: lengthRead(t, "60.02"), Tight: lengthRead(t, "59.00")}), b)
	if len(a.Stretches) != 3 {
		t.Fatalf("%d bolts", len(a.Stretches))
	}
	sump, alone, short := a.Stretches[0], a.Stretches[1], a.Stretches[2]
	if sump.Preload != nil || len(sump.Missing) == 0 || math.Abs(*sump.Growth-10) > 1e-6 || sump.UsesLeft != nil {
		t.Errorf("a bolt without a shape: %+v", sump)
	}
	if !strings.Contains(alone.Problem, "before is not on record") || !strings.Contains(short.Problem, "length under load") {
		t.Errorf("problems %q, %q", alone.Problem, short.Problem)
	}
	for _, raw := range []string{`{"fastener":"rod_bolt","bolt":"a","set":"N1"}`, `{"fastener":"rod_bolt","bolt":"a","set":"N1","free_before":{"text":"60 kN","unit":"kN","kind":"force"}}`,
		`{"fastener":"rod_bolt","bolt":"a","set":"N1","free_before":{"text":"6000 mm","unit":"mm","kind":"length"}}`} {
		if _, err := Decode("bolt_length", 1, json.RawMessage(raw)); err == nil {
			t.Errorf("%s was taken", raw)
		}
	}
}
