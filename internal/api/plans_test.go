// SPDX-License-Identifier: Apache-2.0

package api_test

import (
	"net/http"
	"slices"
	"strings"
	"testing"

	"witnessmark/internal/api"
	"witnessmark/internal/api/client"
	"witnessmark/internal/job"
	"witnessmark/plans"
)

// A program adopts a plan, agrees work, orders a part, and asks when to start.
func TestPlanPartsDates(t *testing.T) {
	k := newKit(t)
	c := k.as(job.Office)
	ask := func(path string, into any) {
		t.Helper()
		k.must(c.Send(t.Context(), http.MethodGet, path, nil, into))
	}
	data, err := plans.Bytes(plans.V8)
	k.must(err)
	k.refused(c.Send(t.Context(), http.MethodPost, "/plans", api.NewPlan{YAML: "operations: [{id: a"}, nil), http.StatusUnprocessableEntity, "")
	var plan api.Plan
	k.must(c.Send(t.Context(), http.MethodPost, "/plans", api.NewPlan{YAML: string(data)}, &plan))
	if plan.Family != "AV34" || !slices.Contains(plan.Work, "rod_bearings") {
		t.Fatalf("kept %+v", plan)
	}
	_, err = c.Append(t.Context(), k.job, "plan_adopted", job.PlanAdopted{Plan: "sheet:" + strings.Repeat("0", 64)}, 0)
	k.refused(err, http.StatusUnprocessableEntity, "no access plan of this workshop")
	add := func(kind string, body any) {
		t.Helper()
		_, err := c.Append(t.Context(), k.job, kind, body, 0)
		k.must(err)
	}
	var listed api.Plans
	ask("/plans", &listed)
	if !slices.ContainsFunc(listed.Plans, func(p api.Plan) bool { return p.Hash == plan.Hash && slices.Equal(p.Work, plan.Work) }) {
		t.Errorf("%s is not among %+v", plan.Hash, listed.Plans)
	}
	var file []byte
	ask("/plans/"+plan.Hash, &file)
	if string(file) != string(data) {
		t.Errorf("the plan’s file is %d bytes, not the %d that came", len(file), len(data))
	}
	k.refused(c.Send(t.Context(), http.MethodGet, "/plans/none", nil, nil), http.StatusNotFound, "access plan")
	var dates api.Dates
	ask("/jobs/"+k.job+"/dates", &dates)
	if dates.Known {
		t.Errorf("a job without a plan has dates: %+v", dates)
	}
	add("plan_adopted", job.PlanAdopted{Plan: plan.Hash, Family: plan.Family})
	add("scope_agreed", job.ScopeAgreed{Want: []string{"rod_bearings"}})
	today := k.shop.Today()
	add("part_ordered", job.PartOrdered{Part: "rod_bolt", Quantity: 16, On: today.String(), Promised: today.Add(30).String()})
	var parts api.Parts
	ask("/jobs/"+k.job+"/parts", &parts)
	i := slices.IndexFunc(parts.Parts, func(p job.PartSeen) bool { return p.Part == "rod_bolt" })
	if i < 0 || parts.Parts[i].State != job.PartPromise || parts.Parts[i].Needed != 16 {
		t.Errorf("parts %+v", parts.Parts)
	}
	ask("/jobs/"+k.job+"/dates", &dates)
	if !dates.Known || dates.Dates.Start == nil || dates.Dates.Pacing[0].ID != "rod_bolt" || dates.Dates.Risk > 0.05 {
		t.Errorf("dates %+v", dates.Dates)
	}
	id, err := client.NewID()
	k.must(err)
	set := job.UsualCalendar()
	k.must(k.as(job.Manager).Send(t.Context(), http.MethodPost, "/calendar", api.NewCalendar{ID: id, DeviceTime: k.shop.Now(), Week: set.Week, People: 2, Lifts: 2}, nil))
	var calendar api.Calendar
	ask("/calendar", &calendar)
	if calendar.Assumed || len(calendar.Jobs) != 1 || calendar.Jobs[0].Job != k.job || calendar.LowerBound > calendar.Hours {
		t.Errorf("calendar %+v", calendar)
	}
}
