// SPDX-License-Identifier: Apache-2.0

package job

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"witnessmark/bearing"
	"witnessmark/metrology"
)

// PairingAsk is what somebody wants of a choice of shells.
type PairingAsk struct {
	Aside []int // positions to leave out
	Free  []int // positions finally tightened that are to be chosen anew
}

// PairingCase is the choice of shells of a job as it stands: what is known of
// its positions, the shells there are, and what is missing.
type PairingCase struct {
	Input    bearing.PairingInput
	Rows     []PairingRow
	Batches  []string // whose shells are offered
	Growth   *Crush
	NoTarget bool             // the target is the middle of the limits
	Doubts   []bearing.Doubt  // impossible sizes
	shells   map[string]offer // by key
	walls    map[string]metrology.Measurement
}

// PairingRow is one position of it.
type PairingRow struct {
	Position    int
	Bore        *Measured
	Journal     *Measured
	Missing     []string // of what there is no size
	Aside       bool     // left out because somebody asked
	Committed   bool     // finally tightened on shells whose walls are known
	Built       bool     // finally tightened on shells whose walls are not known
	Unreachable bool     // no two shells here bring it within the limits
}

// In reports whether the position takes part.
func (r PairingRow) In() bool {
	return len(r.Missing) == 0 && !r.Aside && !r.Built && !r.Unreachable
}

// offer is a shell or grade on offer.
type offer struct {
	Shell
	half string
}

// NewPairing gathers the choice of shells of a job. It needs an engine sheet
// with limits of the clearance; without, ok is false.
func NewPairing(s State, b Basis, assessed Assessment, batches []Batch, jobID string, ask PairingAsk) (c PairingCase, ok bool) {
	if b.Sheet == nil {
		return c, false
	}
	a := &assessor{s: s, b: b}
	c = PairingCase{shells: map[string]offer{}, walls: map[string]metrology.Measurement{}}
	if !c.limits(a) {
		return c, false
	}
	c.Growth = a.crush()
	c.offers(b, batches, jobID)
	for _, p := range assessed.Positions {
		c.position(a, p, ask)
	}
	c.bind(batches)
	c.Doubts = bearing.Doubts(c.Input)
	return c, true
}

func (c *PairingCase) limits(a *assessor) bool {
	be := a.b.Sheet.BigEnd
	lo, hi := be.Clearance.New.Range()
	if math.IsInf(lo, 0) || math.IsInf(hi, 0) || lo >= hi {
		return false
	}
	c.Input.Limits = &bearing.Limits{Min: lo, Max: hi}
	c.Input.Target = c.Input.Limits.Mid()
	if c.NoTarget = !be.Clearance.Target.Given(); !c.NoTarget {
		c.Input.Target = float64(be.Clearance.Target.V)
	}
	if lo, hi := be.Journal.Range(); !math.IsInf(lo, 0) && !math.IsInf(hi, 0) && lo < hi {
		c.Input.JournalLimits = &bearing.Limits{Min: lo, Max: hi}
	}
	size, okSize := be.Journal.Mid()
	for _, u := range be.Undersizes {
		if under, ok := u.Journal.Mid(); ok && okSize && under < size {
			step := math.Round(1e3*(size-under)) / 1e3
			c.Input.Undersizes = append(c.Input.Undersizes, step)
			if lo, hi := u.Journal.Range(); !math.IsInf(lo, 0) && !math.IsInf(hi, 0) && lo < hi {
				c.Input.Ground = append(c.Input.Ground, bearing.Ground{Undersize: step, Journal: bearing.Limits{Min: lo, Max: hi}})
			}
		}
	}
	return true
}

// shellKey names a shell of a batch within one choice.
func shellKey(batch, id string) string { return batch + "/" + id }

func (c *PairingCase) offers(b Basis, batches []Batch, jobID string) {
	c.Input.UndersizeOf = map[string]float64{}
	for _, batch := range batches {
		if batch.Family != "" && batch.Family != b.Sheet.Family {
			continue
		}
		c.Batches = append(c.Batches, batch.ID)
		for _, s := range batch.Shells {
			wall, ok := s.Wall(b.Tools)
			if !ok || !s.OnShelf(jobID) {
				continue
			}
			key := shellKey(batch.ID, s.ID)
			sh := bearing.Shell{ID: key, Wall: wall.Value}
			if s.Half == Upper {
				c.Input.Uppers = append(c.Input.Uppers, sh)
			} else {
				c.Input.Lowers = append(c.Input.Lowers, sh)
			}
			c.Input.UndersizeOf[key] = batch.undersize()
			c.walls[key], c.shells[key] = wall, offer{Shell{ID: s.ID, Part: batch.Part, Batch: batch.ID}, s.Half}
		}
		for _, g := range batch.Grades {
			key := shellKey(batch.ID, g.Body.Grade)
			if c.has(key) {
				key += "-" + g.Body.Half
			}
			c.Input.Grades = append(c.Input.Grades, bearing.Grade{ID: key, Wall: g.Body.Wall.Value, Count: g.Left, Half: bearing.Half(g.Body.Half)})
			c.Input.UndersizeOf[key] = batch.undersize()
			c.walls[key] = metrology.Measurement{Value: g.Body.Wall.Value, U: gradeU(b), Assumed: true}
			c.shells[key] = offer{Shell{ID: g.Body.Grade, Part: batch.Part, Batch: batch.ID}, g.Body.Half}
		}
	}
}

func (c *PairingCase) has(key string) bool { _, ok := c.shells[key]; return ok }

// gradeU is the spread of a wall known by its grade: even over the widest of
// the sheet's grades, else over the walls of the sheet.
func gradeU(b Basis) float64 {
	width := 0.0
	for _, g := range b.Sheet.BigEnd.Shell.Grades {
		if lo, hi := g.Wall.Range(); !math.IsInf(lo, 0) && !math.IsInf(hi, 0) {
			width = max(width, hi-lo)
		}
	}
	if lo, hi := b.Sheet.BigEnd.Shell.Wall.Range(); width == 0 && !math.IsInf(lo, 0) && !math.IsInf(hi, 0) {
		width = hi - lo
	}
	return metrology.Measurement{HalfWidth: width / 2}.StandardUncertainty()
}

func (c *PairingCase) position(a *assessor, p PositionAssessment, ask PairingAsk) {
	r := PairingRow{Position: p.Position, Aside: slices.Contains(ask.Aside, p.Position)}
	r.Bore, r.Journal = a.part(OfHousingBore, AsFitted, p.Position), a.part(OfJournal, AsFitted, p.Position)
	for of, m := range map[string]*Measured{OfHousingBore: r.Bore, OfJournal: r.Journal} {
		if m == nil {
			r.Missing = append(r.Missing, ofWords[of])
		}
	}
	slices.Sort(r.Missing)
	final := len(p.Bolts) > 0 && !slices.ContainsFunc(p.Bolts, func(b BoltSeen) bool { return b.State != BoltFinal })
	var fitted *bearing.Fitting
	if at := a.s.Positions[p.Position]; final && at != nil && at.Shells != nil && !slices.Contains(ask.Free, p.Position) {
		u, l := shellKey(at.Shells.Body.Upper.Batch, at.Shells.Body.Upper.ID), shellKey(at.Shells.Body.Lower.Batch, at.Shells.Body.Lower.ID)
		r.Committed = c.has(u) && c.has(l)
		r.Built = !r.Committed
		fitted = &bearing.Fitting{Position: p.Position, Upper: u, Lower: l}
	}
	if r.In() {
		bore := bearing.Bore{Position: p.Position, HousingBore: round(r.Bore.SizeMM), Journal: round(r.Journal.SizeMM)}
		if c.Growth != nil {
			bore.Growth = round(c.Growth.BoreMM)
		}
		c.Input.Bores = append(c.Input.Bores, bore)
		if r.Committed {
			c.Input.Committed = append(c.Input.Committed, *fitted)
		}
	}
	c.Rows = append(c.Rows, r)
}

// round takes a size to 0.1 µm: nothing in a workshop knows it better, and the
// search counts in whole steps.
func round(mm float64) float64 { return math.Round(mm*1e4) / 1e4 }

func (c *PairingCase) bind(batches []Batch) {
	for _, b := range batches {
		for _, p := range b.Pairs {
			u, l := shellKey(b.ID, p[0]), shellKey(b.ID, p[1])
			if c.has(u) && c.has(l) {
				c.Input.Pairs = append(c.Input.Pairs, [2]string{u, l})
			}
		}
	}
}

// Row is a position of the case.
func (c *PairingCase) Row(n int) *PairingRow {
	for i := range c.Rows {
		if c.Rows[i].Position == n {
			return &c.Rows[i]
		}
	}
	return &PairingRow{}
}

// SetAside leaves out the open positions that no two shells here bring within
// the limits, so that they do not spoil the choice for the others. It reports
// what would help each.
func (c *PairingCase) SetAside(p bearing.Pairing) []bearing.Remedy {
	remedies := bearing.Remedies(c.Input, p)
	var out []bearing.Remedy
	for _, r := range remedies {
		row := c.Row(r.Position)
		if r.Reachable || row.Committed {
			continue
		}
		row.Unreachable = true
		out = append(out, r)
		c.Input.Bores = slices.DeleteFunc(c.Input.Bores, func(b bearing.Bore) bool { return b.Position == r.Position })
	}
	return out
}

// Adopt is the choice as an entry keeps it.
func (c PairingCase) Adopt(p bearing.Pairing) PairingAdopted {
	out := PairingAdopted{TargetMM: c.Input.Target, LargestDepartureUM: p.LargestDepartureUM, SumOfSquaresUM2: p.SumOfSquaresUM2,
		ProvenBest: p.ProvenBest, BoundUM: p.BoundUM}
	for _, f := range p.Fits {
		if !c.Row(f.Position).Committed {
			out.Fits = append(out.Fits, PairedShells{f.Position, c.shells[f.Upper].Shell, c.shells[f.Lower].Shell, round(f.Clearance)})
		}
	}
	for _, r := range c.Rows {
		if !r.In() && !r.Built {
			out.Aside = append(out.Aside, r.Position)
		}
	}
	return out
}

// Predicted is a clearance with chosen shells, with the spread of what it is
// made from.
func (c PairingCase) Predicted(f bearing.Fit) metrology.Measurement {
	r := c.Row(f.Position)
	size := func(m metrology.Measurement) *bearing.Estimate {
		return &bearing.Estimate{Value: m.Value, U: m.StandardUncertainty()}
	}
	sizes := bearing.Sizes{Journal: bearing.Estimate{Value: r.Journal.SizeMM, U: r.Journal.U}, HousingBore: &bearing.Estimate{Value: r.Bore.SizeMM, U: r.Bore.U},
		Upper: size(c.walls[f.Upper]), Lower: size(c.walls[f.Lower])}
	if c.Growth != nil {
		sizes.Growth = bearing.Estimate{Value: c.Growth.BoreMM, U: c.Growth.BoreU}
	}
	e, _, err := bearing.FromParts(sizes)
	if err != nil {
		return metrology.Direct(f.Clearance, 0)
	}
	return metrology.Direct(e.Value, e.U)
}

// Key tells one case from another, for what was solved before.
func (c PairingCase) Key() string {
	key := make([]byte, 0, 1024)
	num := func(x float64) { key = strconv.AppendFloat(append(key, ' '), x, 'g', -1, 64) }
	num(c.Input.Target)
	num(c.Input.Limits.Min)
	num(c.Input.Limits.Max)
	for _, b := range c.Input.Bores {
		num(float64(b.Position))
		num(b.HousingBore)
		num(b.Journal)
		num(b.Growth)
	}
	for i, list := range [][]bearing.Shell{c.Input.Uppers, c.Input.Lowers} {
		num(float64(i))
		for _, s := range list {
			key = append(append(key, '|'), s.ID...)
			num(s.Wall)
		}
	}
	for _, g := range c.Input.Grades {
		key = append(append(key, '|'), g.ID+string(g.Half)...)
		num(g.Wall)
		num(float64(g.Count))
	}
	for _, p := range c.Input.Pairs {
		key = append(append(key, '&'), p[0]+p[1]...)
	}
	for _, f := range c.Input.Committed {
		num(float64(f.Position))
		key = append(append(key, '='), f.Upper+f.Lower...)
	}
	return string(key)
}

// fewer says which half there are too few shells of, and how many are missing.
func (c PairingCase) fewer() (half string, missing int) {
	have := map[string]int{Upper: len(c.Input.Uppers), Lower: len(c.Input.Lowers)}
	for _, g := range c.Input.Grades {
		have[string(g.Half)] += g.Count
	}
	need := len(c.Input.Bores)
	half = Upper
	if cmp.Less(have[Lower], have[Upper]) {
		half = Lower
	}
	return half, need - have[half]
}
