// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"context"
	"slices"
	"testing"
	"time"

	"witnessmark/internal/job"
	"witnessmark/scope"
)

// One part is on back order: which operation waits for it, how far the car can
// go, and which start keeps the risk within the limit.
func TestPartsAreComing(t *testing.T) {
	l := load(t, told.shop, told.cast.Agreed)
	p, err := told.shop.Planned(context.Background(), l)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(p.Parts, func(x job.PartSeen) bool { return x.Part == "shell_pair" })
	if part := p.Parts[i]; part.State != job.PartBack || part.Short != 3 || !part.Follows {
		t.Errorf("the shells: %+v", part)
	}
	p.Planning.Today = scope.DateOf(day0.AddDate(0, 0, Days))
	all, err := job.DatesOf(l.State, p.Plan, p.Want, p.Parts, p.Planning)
	if err != nil {
		t.Fatal(err)
	}
	d := all.Dates
	for _, r := range d.Reach {
		if r.ID == "shell_pair" && (!slices.Equal(r.Waiting, []string{"work:rod_bearings"}) || r.Hours <= 0) {
			t.Errorf("waits: %+v", r)
		}
	}
	if d.Start.IsZero() || d.Risk > 0.05 || d.Pacing[0].ID != "shell_pair" {
		t.Errorf("start %s, risk %g, paced by %+v", d.Start.Format(time.DateOnly), d.Risk, d.Pacing)
	}
}

// The finished job shows what was estimated beside what it took.
func TestAccountOfTheFinished(t *testing.T) {
	l := load(t, told.shop, told.cast.HandedOver)
	a, ok, err := job.AccountOf(l.State, l.Basis)
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	for _, x := range a.Labour {
		if x.Actual <= 0 {
			t.Errorf("no time is written down on %s", x.ID)
		}
	}
	for _, x := range a.Parts {
		if x.Beyond || x.Actual.IsZero() || x.Line == nil {
			t.Errorf("part %s: %+v", x.ID, x)
		}
	}
	// By hand from the scenario: 19.5 h of the plan; what was written down adds
	// up to 20.8 h; one strip at 9.80 and half a litre at 11.90 more.
	if got := a.Estimated.Hours.Hours(); got != 19.5 {
		t.Errorf("estimated %g h, want 19.5", got)
	}
	if got := a.Actual.Hours.Hours(); got != 20.8 {
		t.Errorf("worked %g h, want 20.8", got)
	}
	if d, err := a.Actual.Parts.Sub(a.Estimated.Parts); err != nil || d.String() != "15.75" {
		t.Errorf("parts cost %s more, want 15.75", d)
	}
}
