// SPDX-License-Identifier: Apache-2.0

package job

import (
	"time"

	"witnessmark/engine"
	"witnessmark/scope"
)

// Basis is what an assessment rests on beside the job's own log.
type Basis struct {
	Sheet    *engine.Sheet // nil when the job has none yet
	Plan     *scope.Plan   // nil when the job has none
	Workshop Workshop
	Tools    Register
	Zone     *time.Location
}

func (b Basis) zone() *time.Location {
	if b.Zone == nil {
		return time.UTC
	}
	return b.Zone
}

// confidence is the one that belongs to a limit, and where it comes from.
func (b Basis) confidence(ofLimit *float64) (float64, string) {
	switch {
	case ofLimit != nil:
		return *ofLimit, FromLimit
	case b.Workshop.Confidence != 0:
		return b.Workshop.Confidence, FromWorkshop
	}
	return DefaultConfidence, Assumed
}

// Where a confidence comes from.
const (
	FromLimit    = "limit"
	FromWorkshop = "workshop"
	Assumed      = "assumed"
)

// cylinder is the maker's number for a position, "" when the sheet does not
// have it.
func (b Basis) cylinder(position int) string {
	if b.Sheet == nil {
		return ""
	}
	p, ok := b.Sheet.Position(position)
	if !ok {
		return ""
	}
	return p.Cylinder
}

// Namer names positions by this sheet: "4 (B2)".
func (b Basis) Namer() PositionNamer {
	return func(n int) string { return positionName(n, b.cylinder(n)) }
}
