// SPDX-License-Identifier: Apache-2.0

package web

import (
	"bytes"
	"net/http"
	"strings"
	"testing"

	"witnessmark/internal/job"
	"witnessmark/plans"
)

// The plans that come with the program and the workshop's own are listed and
// read: operations, work, parts with prices, and those whose price is to come.
// The file comes as it was kept, byte for byte.
func TestPlansAreRead(t *testing.T) {
	b := newKit(t).as(job.Office)
	own, err := plans.Bytes(plans.V8)
	b.must(err)
	own = bytes.Replace(own, []byte("edition: 2026-01"), []byte("edition: 2026-09"), 1)
	hash, plan, err := b.shop.AddPlan(t.Context(), "own.yaml", own)
	b.must(err)
	b.add("job/0500", "plan_adopted", job.PlanAdopted{Plan: hash, Family: plan.Family})
	a := b.get("/plans")
	a.count("tbody tr", 2)
	a.says("tbody tr:first-child", "the workshop’s own")
	a.says("tbody tr:first-child", "0500")
	a.says("tbody tr:last-child", "comes with the program")
	a.says("tbody tr:last-child", "no job")
	a = b.get("/plans/" + hash)
	a.count("#plan-operations li", len(plan.Operations))
	a.count("#plan-work li", len(plan.Work))
	a.count("#plan-parts tbody tr", len(plan.Parts))
	a.says("#plan-operations", "after engine mounts undone at the subframe; steering column joint parted")
	a.says("#plan-work", "parts: 8 × rod bearing shells, pair; 16 × rod bolt")
	a.says("#plan-parts", "Balance shaft shells, set balance_shell_set price to come")
	a.says("main", "Price to come: 1.")
	if file := b.get("/plans/" + hash + "/plan.yaml"); file.status != http.StatusOK || file.body != string(own) {
		t.Errorf("the file: %d, %d bytes of %d", file.status, len(file.body), len(own))
	}
	if a := b.get("/plans/" + strings.Repeat("0", 64)); a.status != http.StatusNotFound {
		t.Errorf("no such plan: %d", a.status)
	}
}
