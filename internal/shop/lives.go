// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"

	"witnessmark/internal/job"
	"witnessmark/life"
)

// Needs is what the chances of an estimate rest on: the horizon on record, the
// engine sheet, and what was found in the workshop's own sealed jobs of the
// engine family.
func (s *Shop) Needs(ctx context.Context, l *Loaded) (job.Needs, error) {
	n := job.Needs{Horizon: job.HorizonKm(l.State), Sheet: l.Basis.Sheet}
	all, err := s.everyJob(ctx)
	if err != nil {
		return n, err
	}
	var found []map[string]life.Look
	for _, other := range all {
		if other.ID != l.ID && sealed(other) && family(other) == family(l) {
			found = append(found, job.Looks(other.State))
		}
	}
	n.Own = job.OwnLives(found)
	return n, nil
}

// sealed reports whether a job was handed over and sealed: what was found in
// it stands.
func sealed(l *Loaded) bool { return l.State.Handover != nil && len(l.State.Seals) > 0 }

// family is the engine family of a job: the plan's, else the sheet's.
func family(l *Loaded) string {
	if p := l.Basis.Plan; p != nil && p.Family != "" {
		return p.Family
	}
	return l.State.Sheet.Family
}
