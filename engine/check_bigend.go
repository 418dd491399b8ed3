// SPDX-License-Identifier: Apache-2.0

package engine

import (
	"fmt"
	"slices"
	"strconv"

	"witnessmark/units"
)

func (d *decoder) checkBigEnd(s *Sheet) {
	b := s.BigEnd
	positiveSize(d, b.Journal, b.HousingBore, b.Width, b.Shell.Wall, s.MainJournal)
	positive(d, b.JournalFinish, b.Shell.Roughness)
	notNegative(d, b.Clearance.New, b.Clearance.InService, b.Ovality, b.Taper, b.BoreOvality, b.LeastFilm, s.SideClearance.Limit, s.EndFloat)
	d.checkClearance(b.Clearance)
	d.checkSizes(b)
	d.checkShell(b.Shell)
	d.oneOf("side_clearance.per", s.SideClearance.Per, "rod", "throw")
	d.checkThrust(s.Thrust)
}

func (d *decoder) checkThrust(t Thrust) {
	if d.has("thrust.fitted") && (t.Fitted < 1 || t.Fitted > 2) {
		d.problemAt("thrust.fitted", fmt.Sprintf("%d washers share the end float", t.Fitted), "write 1 for a shim, 2 for a washer on each side")
	}
	for _, w := range t.Washers {
		positiveSize(d, w.Thickness)
	}
}

func (d *decoder) checkClearance(c Clearance) {
	lo, hi := c.New.Range()
	if c.Target.Given() && (float64(c.Target.V) < lo || float64(c.Target.V) > hi) {
		d.problemAt(c.Target.Path, fmt.Sprintf("target %s is outside the limits when new, %s", c.Target.Text, c.New), "write a target within them")
	}
	if _, worn := c.InService.Range(); c.InService.Given() && worn < hi {
		d.problemAt(c.InService.Path, fmt.Sprintf("in_service allows %s, less than new, %s", c.InService, c.New),
			"write a limit in service that is no tighter than new")
	}
}

// checkSizes holds journal, bore and wall against each other and against the
// clearance that they should leave.
func (d *decoder) checkSizes(b BigEnd) {
	journal, ok := b.Journal.Mid()
	if !ok {
		return
	}
	for _, u := range b.Undersizes {
		if mid, ok := u.Journal.Mid(); ok && mid >= journal {
			d.problemAt(u.Journal.Path, fmt.Sprintf("undersize %s, %s, is not under the journal, %s", u.ID, u.Journal, b.Journal), "write a smaller journal")
		}
	}
	bore, ok1 := b.HousingBore.Mid()
	wall, ok2 := b.Shell.Wall.Mid()
	if ok1 && bore <= journal {
		d.problemAt(b.HousingBore.Path, fmt.Sprintf("the housing bore, %s, is not above the journal, %s", b.HousingBore, b.Journal), "correct one of them")
		return
	}
	lo, hi := b.Clearance.New.Range()
	if left := bore - 2*wall - journal; ok1 && ok2 && (left < lo || left > hi) {
		d.warnAt(b.Shell.Wall.Path, fmt.Sprintf("bore less two walls less journal leaves %s in the middle of their limits, outside %s",
			units.Format(left, units.KindLength, units.Unit{}, 4), b.Clearance.New), "look the sizes up again")
	}
}

func (d *decoder) checkShell(s Shell) {
	const at = "big_end.shell."
	d.oneOf(at+"located", s.Located, "tang", "dowel", "none")
	d.oneOf(at+"oil_hole", s.OilHole, "none", "upper", "lower", "both")
	lo, hi := s.Wall.Range()
	for _, g := range s.Grades {
		d.oneOf(at+"grades."+g.ID+".half", g.Half, "upper", "lower", "both")
		if mid, ok := g.Wall.Mid(); ok && (mid < lo || mid > hi) {
			d.problemAt(g.Wall.Path, fmt.Sprintf("grade %s, %s, is outside the wall's limits, %s", g.ID, g.Wall, s.Wall.LimitOf), "correct one of them")
		}
	}
	d.checkConstruction(s)
}

// checkConstruction wants five degrees of wear that go down through the layers.
func (d *decoder) checkConstruction(s Shell) {
	const at = "big_end.shell.construction."
	c := s.Construction
	if n := len(c.Wear); n != 5 && d.has(at+"wear") {
		d.problemAt(at+"wear", fmt.Sprintf("wear has %d entries", n),
			"write five: as new, polished, overlay worn, next layer showing, failed")
	}
	ids, thick := []string{}, 0.0
	for _, l := range c.Layers {
		ids = append(ids, l.ID)
		positiveSize(d, l.Thickness)
		mid, _ := l.Thickness.Mid()
		thick += mid
	}
	if wall, ok := s.Wall.Mid(); ok && thick > wall {
		d.problemAt(at+"layers", "the layers together are thicker than the wall, "+s.Wall.String(), "correct the thickness of a layer")
	}
	deepest := 0
	for i, w := range c.Wear {
		path := at + "wear." + strconv.Itoa(i+1) + ".shows"
		d.oneOf(path, w.Shows, ids...)
		n := slices.Index(ids, w.Shows)
		if n >= 0 && n < deepest {
			d.problemAt(path, fmt.Sprintf("severity %d shows %s, above what severity %d shows", i, w.Shows, i-1), "go down through the layers")
		}
		deepest = max(deepest, n)
	}
}
