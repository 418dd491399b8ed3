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
