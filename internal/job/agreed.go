// SPDX-License-Identifier: Apache-2.0

package job

import "witnessmark/scope"

// plan is the plan of the job with the operations of the agreed work in order.
func (a *assessor) plan() (*scope.Plan, []string) { return nil, nil }

// partLines is the parts list of the agreed work.
func (a *assessor) partLines() (*scope.Plan, []scope.PartLine) { return nil, nil }
