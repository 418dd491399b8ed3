// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"fmt"
	"slices"

	"witnessmark/internal/job"
)

// ErrNotAllowed says that the person's role does not allow it.
type ErrNotAllowed struct{ Role, What string }

func (e *ErrNotAllowed) Error() string {
	return fmt.Sprintf("%s is not for the role %s: somebody with another role has to do it", e.What, e.Role)
}

var (
	everybody = []string{job.Technician, job.Inspector, job.Office, job.Manager}
	hands     = []string{job.Technician, job.Inspector, job.Manager}
	deciders  = []string{job.Inspector, job.Manager}
	managers  = []string{job.Manager}
)

// kindsFor is who may write which kind of entry; a kind that is not listed is
// for hands. In a workshop with one person a technician's concession counts
// with the owner's signature, so technicians may write one: whether it counts
// is for the assessment.
var kindsFor = map[string][]string{
	"job_opened":        everybody,
	"details":           everybody,
	"arrival":           everybody,
	"note":              everybody,
	"note_resolved":     everybody,
	"follow_up":         everybody,
	"old_parts":         everybody,
	"plan_adopted":      everybody,
	"scope_agreed":      everybody,
	"estimate_offered":  everybody,
	"authority_given":   everybody,
	"offer_refused":     everybody,
	"stop_point":        everybody,
	"change_found":      everybody,
	"horizon_set":       everybody,
	"change_answered":   everybody,
	"part_ordered":      everybody,
	"part_promised":     everybody,
	"part_back_ordered": everybody,
	"part_arrived":      everybody,
	"part_checked":      everybody,
	"part_returned":     everybody,
	"tool_reserved":     everybody,
	"tool_borrowed":     everybody,
	"tool_returned":     everybody,
	"start_planned":     everybody,
	"calendar_set":      managers,
	"concession":        hands,
	"tool_added":        managers,
	"tool_retired":      managers,
	"tool_calibrated":   managers,
	"tool_tested":       deciders,
	"tool_described":    managers,
	"tool_studied":      hands,
	"person_added":      managers,
	"person_left":       managers,
	"erased":            managers,
	"key_renewed":       managers,
	"settings_changed":  managers,
}

// May says whether a role may write a kind of entry.
func May(role, kind string) error {
	allowed, ok := kindsFor[kind]
	if !ok {
		allowed = hands
	}
	if slices.Contains(allowed, role) {
		return nil
	}
	return &ErrNotAllowed{Role: role, What: job.Title(kind)}
}
