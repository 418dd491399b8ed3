// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// CommonUndersizes are the steps, in mm of the diameter, to which journals are
// commonly ground. Common practice, no source; the engine's own book decides.
var CommonUndersizes = []float64{0.25, 0.50, 0.75, 1.00}

// Regrind is a journal ground to an undersize: Undersize is the step, Journal
// the size that brings the clearance to target with shells of that undersize,
// From and To the sizes that keep it within the limits, all mm.
type Regrind struct {
	Undersize, Journal float64
	Range              Limits
}

// Remedy says of one position outside the limits how far it is out, what the
// shells at hand could do there, and what would bring it within.
type Remedy struct {
	Position   int
	Clearance  float64 // with the shells that the pairing gives it, mm
	BeyondUM   float64 // above (+) or below (−) the nearer limit
	Least      float64 // clearance with the thickest shells at hand, mm
	Greatest   float64 // and with the thinnest
	Reachable  bool    // some two shells at hand bring this position within, taken alone
	WallSum    Limits  // of upper and lower together, that brings it within, mm
	WallTarget float64 // and to target
	// GradeUM is by how much a pair of shells would have to be thicker (+) or
	// thinner (−) than the most suitable pair at hand to reach the limit.
	GradeUM float64
	Sound   Answer   // whether the journal is within its own limits
	Ground  float64  // the undersize that the journal is ground to, mm; 0 if none
	Regrind *Regrind // for a wide clearance on a journal not known to be sound
}

// Remedies lists what would help each position that the pairing leaves outside
// the limits, in the input's order; nothing when all are within.
//
// A clearance that is too wide asks for thicker shells; a ground journal with
// undersize shells is named only where the journal is not known to be sound,
// since a wide clearance on a sound journal is no reason for undersize shells:
// then the housing bore is what to look at. For the ground size the walls of
// undersize shells are taken as those at hand on average plus half the
// undersize each (assumed; the shells' own walls decide).
func Remedies(in PairingInput, p Pairing) []Remedy {
	if in.Limits == nil {
		return nil
	}
	var list []Remedy
	for i, f := range p.Fits {
		if !f.WithinLimits {
			list = append(list, in.remedy(in.Bores[i], f))
		}
	}
	return list
}

func (in PairingInput) remedy(b Bore, f Fit) Remedy {
	gap := b.HousingBore + b.Growth - b.Journal // what two walls and the clearance share
	u, l := in.wallsOf(Upper), in.wallsOf(Lower)
	r := Remedy{
		Position: b.Position, Clearance: f.Clearance,
		Least:      gap - slices.Max(u) - slices.Max(l),
		Greatest:   gap - slices.Min(u) - slices.Min(l),
		WallSum:    Limits{gap - in.Limits.Max, gap - in.Limits.Min},
		WallTarget: gap - in.Target,
		Sound:      Unknown,
	}
	r.BeyondUM = beyond(f.Clearance, *in.Limits)
	nearest := math.Inf(1)
	for _, x := range u {
		for _, y := range l {
			if d := beyond(gap-x-y, *in.Limits); math.Abs(d) < math.Abs(nearest) {
				nearest = d
			}
		}
	}
	r.GradeUM = nearest
	r.Reachable = math.Abs(nearest) < 1000*slack
	r.Sound, r.Ground = in.sound(b.Journal)
	if r.BeyondUM > 0 && !r.Reachable && r.Sound != Yes {
		r.Regrind = in.regrind(b, gap-mean(in.standardWalls(Upper))-mean(in.standardWalls(Lower)))
	}
	return r
}

// sound reports whether a journal is within the limits of its own size, and of
// which undersize that is.
func (in PairingInput) sound(journal float64) (Answer, float64) {
	for _, g := range in.Ground {
		if g.Journal.Has(journal) {
			return Yes, g.Undersize
		}
	}
	switch {
	case in.JournalLimits == nil:
		return Unknown, 0
	case in.JournalLimits.Has(journal):
		return Yes, 0
	}
	return No, 0
}

// regrind picks the smallest undersize that leaves metal to grind.
func (in PairingInput) regrind(b Bore, clearance float64) *Regrind {
	steps := in.Undersizes
	if steps == nil {
		steps = CommonUndersizes
	}
	steps = slices.Clone(steps)
	slices.Sort(steps)
	for _, step := range steps {
		// Undersize shells take up the step; grinding gives back what is needed.
		size := b.Journal + clearance - step - in.Target
		if size < b.Journal {
			at := func(c float64) float64 { return size + in.Target - c }
			return &Regrind{Undersize: step, Journal: size, Range: Limits{at(in.Limits.Max), at(in.Limits.Min)}}
		}
	}
	return nil
}

// beyond is by how many µm a clearance is above (+) or below (−) the limits.
func beyond(c float64, l Limits) float64 {
	switch {
	case l.Has(c):
		return 0
	case c > l.Max:
		return 1000 * (c - l.Max)
	}
	return 1000 * (c - l.Min)
}

// standardWalls lists the walls at hand as those for a standard journal would
// be: half the undersize thinner.
func (in PairingInput) standardWalls(h Half) (walls []float64) {
	shells := in.Uppers
	if h == Lower {
		shells = in.Lowers
	}
	for _, s := range shells {
		walls = append(walls, s.Wall-in.UndersizeOf[s.ID]/2)
	}
	for _, g := range in.Grades {
		if g.Half == h && g.Count > 0 {
			walls = append(walls, g.Wall-in.UndersizeOf[g.ID]/2)
		}
	}
	return walls
}

// wallsOf lists the walls at hand of one half, commitments included.
func (in PairingInput) wallsOf(h Half) (walls []float64) {
	shells := in.Uppers
	if h == Lower {
		shells = in.Lowers
	}
	for _, s := range shells {
		walls = append(walls, s.Wall)
	}
	for _, g := range in.Grades {
		if g.Half == h && g.Count > 0 {
			walls = append(walls, g.Wall)
		}
	}
	return walls
}

func mean(v []float64) (m float64) {
	for _, x := range v {
		m += x / float64(len(v))
	}
	return m
}

// String says it in the workshop's words.
func (r Remedy) String() string {
	var s strings.Builder
	way, wall := "above", "thicker"
	if r.BeyondUM < 0 {
		way, wall = "below", "thinner"
	}
	fmt.Fprintf(&s, "Position %d: %.4f mm is %.1f µm %s the limit.", r.Position, r.Clearance, math.Abs(r.BeyondUM), way)
	if r.Reachable {
		fmt.Fprintf(&s, " Shells at hand would bring it within, taken alone; other positions need them. Another pair whose walls add up to %.4f to %.4f mm would do.", r.WallSum.Min, r.WallSum.Max)
		return s.String()
	}
	fmt.Fprintf(&s, " No two shells here bring it within. A grade whose two walls add up to %.4f to %.4f mm would (%.1f µm %s than the nearest pair here); %.4f mm brings it to target.",
		r.WallSum.Min, r.WallSum.Max, math.Abs(r.GradeUM), wall, r.WallTarget)
	switch {
	case r.BeyondUM < 0:
		s.WriteString(" Before that: right shells, clean seats, own cap, cap fully tightened; then measure the housing bore.")
	case r.Sound == Yes && r.Ground > 0:
		fmt.Fprintf(&s, " The journal is ground %.2f mm under size, and within the limits of that: it takes shells for that undersize.", r.Ground)
	case r.Sound == Yes:
		s.WriteString(" The journal is within its own limits: a wide clearance on a sound journal is no reason for undersize shells. Measure the housing bore.")
	case r.Regrind != nil:
		if r.Sound == Unknown {
			s.WriteString(" Only if the journal is worn or damaged:")
		} else {
			s.WriteString(" The journal is outside its own limits:")
		}
		fmt.Fprintf(&s, " grind it to %.3f mm (%.3f to %.3f mm) for %.2f mm undersize shells, their walls half of that thicker than those here (assumed; measure them first).",
			r.Regrind.Journal, r.Regrind.Range.Min, r.Regrind.Range.Max, r.Regrind.Undersize)
		if r.Sound == Unknown {
			s.WriteString(" A wide clearance on a sound journal is no reason for undersize shells: measure the housing bore.")
		}
	default:
		s.WriteString(" No undersize of the list leaves metal to grind: measure the housing bore.")
	}
	return s.String()
}
