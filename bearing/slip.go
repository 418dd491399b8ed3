// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"fmt"
	"math"
	"slices"
)

// Doubt is a size that is questioned before it counts.
type Doubt struct {
	What    string  // where: "position 3, journal"
	Entered float64 // mm
	Against float64 // what it was held against, mm
	Reason  string
}

// Error says it in four parts: where, what, against what, what to do.
func (d Doubt) Error() string {
	return fmt.Sprintf("%s: %g mm beside the usual %g mm: %s; measure or type it again", d.What, d.Entered, d.Against, d.Reason)
}

// Doubts lists the sizes of a pairing that look like a slip: of inches for
// millimetres (a factor of 25.4), of a thousand, or of a digit. Each size is
// held against the median of its kind; bores, journals and target also against
// what a big end's can be at all (common practice, no source), and the walls
// together against the room between bores and journals. The order is that of
// the input.
func Doubts(in PairingInput) []Doubt {
	var list []Doubt
	var bores, journals, rooms []float64
	for _, b := range in.Bores {
		bores, journals = append(bores, b.HousingBore), append(journals, b.Journal)
		rooms = append(rooms, (b.HousingBore-b.Journal-in.Target)/2)
	}
	walls := append(in.wallsOf(Upper), in.wallsOf(Lower)...)
	doubt := func(what string, v, usual, least, most float64) {
		if reason := slip(v, usual, least, most); reason != "" {
			list = append(list, Doubt{what, v, usual, reason})
		}
	}
	for _, b := range in.Bores {
		doubt(fmt.Sprintf("position %d, housing bore", b.Position), b.HousingBore, median(bores), 5, 2000)
		doubt(fmt.Sprintf("position %d, journal", b.Position), b.Journal, median(journals), 5, 2000)
	}
	doubt("target", in.Target, in.Target, 0.005, 1)
	most := math.Inf(1)
	for _, s := range in.Uppers {
		doubt("upper shell "+s.ID+", wall", s.Wall, median(walls), 0, most)
	}
	for _, s := range in.Lowers {
		doubt("lower shell "+s.ID+", wall", s.Wall, median(walls), 0, most)
	}
	for _, g := range in.Grades {
		doubt("grade "+g.ID+", wall", g.Wall, median(walls), 0, most)
	}
	if room := median(rooms); len(list) == 0 && room > 0 {
		doubt("the walls together", median(walls), room, 0, most)
	}
	return list
}

// slip names the slip that a size looks like, or nothing.
func slip(v, usual, least, most float64) string {
	for _, s := range []struct {
		factor float64
		reason string
	}{
		{1 / 25.4, "this looks like inches"},
		{25.4, "this looks as if millimetres had been taken for inches"},
		{1e-3, "this looks like metres"},
		{1e3, "this looks like micrometres"},
	} {
		if math.Abs(v/(usual*s.factor)-1) < 0.1 {
			return s.reason
		}
		// All alike, and far from what a big end's can be: nothing to compare with.
		if math.Abs(v/usual-1) < 0.1 && (v < least || v > most) && v/s.factor >= least && v/s.factor <= most {
			return s.reason
		}
	}
	if v < usual/2 || v > 2*usual {
		return "this is far from the others of its kind"
	}
	return ""
}

func median(v []float64) float64 {
	s := slices.Clone(v)
	slices.Sort(s)
	if len(s) == 0 {
		return 0
	}
	return (s[(len(s)-1)/2] + s[len(s)/2]) / 2
}

// ExcessDoubts lists the sizes of an excess that look like a slip: readings and
// limits that no big end has, measured parts far from their limits, and a
// journal that is not smaller than its bore.
func ExcessDoubts(in ExcessInput) []Doubt {
	var list []Doubt
	doubt := func(what string, v, usual, least, most float64) {
		if reason := slip(v, usual, least, most); reason != "" {
			list = append(list, Doubt{what, v, usual, reason})
		}
	}
	doubt("clearance", in.Clearance.Value, in.Clearance.Value, 0.005, 1)
	if in.AsFound != nil {
		doubt("as-found clearance", in.AsFound.Value, in.AsFound.Value, 0.005, 1)
	}
	size := map[Part]float64{}
	for _, p := range Parts() {
		least, most := 5.0, 2000.0
		if p == UpperShell || p == LowerShell {
			least, most = 0.5, 50
		}
		tol, known := in.Tolerances[p]
		if known {
			size[p] = tol.Mid()
			doubt("limits of "+p.String(), tol.Mid(), tol.Mid(), least, most)
		}
		if m, ok := in.Measured[p]; ok {
			usual := m.Value
			if known {
				usual = tol.Mid()
			}
			doubt("measured "+p.String(), m.Value, usual, least, most)
			size[p] = m.Value
		}
	}
	if bore, journal := size[HousingBore], size[Journal]; journal >= bore && bore > 0 {
		list = append(list, Doubt{"journal", journal, bore, "it is not smaller than its housing bore"})
	}
	return list
}
