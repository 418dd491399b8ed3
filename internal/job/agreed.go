// SPDX-License-Identifier: Apache-2.0

package job

import "witnessmark/scope"

// plan is the plan of the job with the operations of the agreed work in order;
// nil without agreed work.
func (a *assessor) plan() (*scope.Plan, []string) {
	if _, e, ok := Agreed(a.s, a.b.Plan); ok {
		return a.b.Plan, e.Operations
	}
	return nil, nil
}

// partLines is the parts list of the agreed work.
func (a *assessor) partLines() (*scope.Plan, []scope.PartLine) {
	_, e, _ := Agreed(a.s, a.b.Plan)
	return a.b.Plan, e.Parts
}
