// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"slices"
	"testing"
)

// One part is on back-order: the page can say which step waits for it, how far
// the work can go, and which start keeps the risk within the limit.
func TestBackOrder(t *testing.T) {
	p := load(t, v8(t))
	want := []string{"rod_bearings", "relief_valve"}
	e, err := p.Estimate(Request{Want: want})
	if err != nil {
		t.Fatal(err)
	}
	today, promised, before := date("2026-11-30"), date("2026-12-10"), date("2026-11-20")
	inHand := map[string]bool{}
	for _, l := range e.Parts {
		inHand[l.ID] = l.ID != "relief_kit" && l.ID != "rod_bolt" && l.ID != "oil_5w40"
	}
	o, err := p.Outlook(e.Parts, today, inHand, map[string]Order{
		"relief_kit": {ID: "relief_kit", Ordered: before, Promised: &promised},
		"rod_bolt":   {ID: "rod_bolt", Ordered: date("2026-11-01")},
	}, PERT{-1, 0, 9})
	if err != nil || len(o.Overdue) != 1 || o.Overdue[0].ID != "rod_bolt" || len(o.NoLead) != 0 {
		t.Fatalf("%+v %v", o, err)
	}
	if len(o.Supplies) != 2 || o.Supplies[1].ID != "relief_kit" || o.Supplies[1].Arrival != (PERT{9, 10, 19}) {
		t.Fatalf("%+v", o.Supplies)
	}
	steps, err := p.Steps(want, UsualSpread)
	if err != nil {
		t.Fatal(err)
	}
	q := monday()
	q.Today = today
	d, err := Job{steps, o.Supplies}.Dates(q)
	if err != nil {
		t.Fatal(err)
	}
	if d.Risk > 0.05 || d.Pacing[0].ID != "relief_kit" || DateOf(d.Start).Before(promised.Time) {
		t.Errorf("start %s, risk %g, pacing %v", d.Start, d.Risk, d.Pacing)
	}
	i := slices.IndexFunc(d.Reach, func(r Reach) bool { return r.ID == "relief_kit" })
	if r := d.Reach[i]; !slices.Equal(r.Waiting, []string{"work:relief_valve"}) || !slices.Contains(r.Can, "work:rod_bearings") || r.Hours < 10 {
		t.Errorf("%+v", r)
	}
	early := date("2026-11-01")
	if _, err := p.Outlook(e.Parts, today, inHand, map[string]Order{"relief_kit": {ID: "relief_kit", Ordered: before, Promised: &early}}, PERT{}); err == nil {
		t.Error("a date promised before the order is taken")
	}
	balance, err := p.Estimate(Request{Want: []string{"intake_clean"}})
	if err != nil {
		t.Fatal(err)
	}
	balance.Parts = append(balance.Parts, PartLine{ID: "no such part"})
	if o, err := p.Outlook(balance.Parts, today, nil, nil, PERT{}); err != nil || !slices.Equal(o.NoLead, []string{"no such part"}) {
		t.Errorf("%+v %v", o, err)
	}
}
