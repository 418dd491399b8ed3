// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
)

// ErrTooFewShells: there are fewer shells of a half than positions to fill.
var ErrTooFewShells = errors.New("too few shells")

// problem is a pairing in whole units: positions by what they need, shells in
// classes of like wall. Positions already committed are left out; what they
// depart is kept apart.
type problem struct {
	perMM float64 // units in a millimetre
	n     int     // open positions
	need  []int64 // bore + growth − journal − target, descending
	bore  []int   // index in the input's bores, per open position
	u, l  []class // descending by wall
	exact bool    // every shell is used
	pairs bool    // there are bound pairs

	committed []Fitting
	fixedMax  int64 // of the committed positions
	fixedSS   int64
	target    int64
}

// class is a number of like shells: the same wall, and bound to shells of the
// same other class or to none.
type class struct {
	wall    int64
	count   int
	partner int // class of the other half, or -1
	items   []item
}

// item is one shell to hand out; bound shells are handed out with their mate.
type item struct {
	id, mate string
}

// newProblem checks the input and turns it into whole units.
func newProblem(in PairingInput) (*problem, error) {
	if err := in.check(); err != nil {
		return nil, err
	}
	b := builder{in: in, perMM: resolution(in)}
	if err := b.gather(); err != nil {
		return nil, err
	}
	if err := b.bind(); err != nil {
		return nil, err
	}
	p := &problem{perMM: b.perMM, target: b.units(in.Target)}
	if err := b.commit(p); err != nil {
		return nil, err
	}
	b.open(p)
	p.u, p.l = b.classes(p.n)
	for half, list := range map[Half][]class{Upper: p.u, Lower: p.l} {
		if have := total(list); have < p.n {
			return nil, fmt.Errorf("bearing: %w: %d %s for %d positions", ErrTooFewShells, have, half, p.n)
		}
	}
	if made := len(p.allSums(+1)); made < p.n {
		return nil, fmt.Errorf("bearing: %w: bound shells leave %d that go together for %d positions", ErrTooFewShells, made, p.n)
	}
	p.exact = total(p.u) == p.n && total(p.l) == p.n
	for _, c := range p.u {
		p.pairs = p.pairs || c.partner >= 0
	}
	return p, nil
}

func total(list []class) (n int) {
	for _, c := range list {
		n += c.count
	}
	return n
}

// maxUnits keeps squares of departures far from the end of whole numbers.
const maxUnits = 1 << 19

// resolution is the number of units in a millimetre: the fewest, from 1000 to a
// million, that fit every size of the input, fewer if departures are so great
// that their squares would not fit.
func resolution(in PairingInput) float64 {
	var walls []float64
	for _, s := range append(slices.Clone(in.Uppers), in.Lowers...) {
		walls = append(walls, s.Wall)
	}
	for _, g := range in.Grades {
		walls = append(walls, g.Wall)
	}
	sizes := append(slices.Clone(walls), in.Target)
	var far float64
	for _, b := range in.Bores {
		sizes = append(sizes, b.HousingBore, b.Journal, b.Growth)
		need := b.HousingBore + b.Growth - b.Journal - in.Target
		for _, w := range walls {
			far = max(far, math.Abs(need-2*w))
		}
	}
	best := 1e3
	for _, perMM := range []float64{1e3, 1e4, 1e5, 1e6} {
		if far*perMM > maxUnits {
			break
		}
		best = perMM
		if !slices.ContainsFunc(sizes, func(v float64) bool {
			return math.Abs(v-math.Round(v*perMM)/perMM) > slack
		}) {
			break
		}
	}
	return best
}

// builder gathers the shells of both halves before they become classes.
type builder struct {
	in    PairingInput
	perMM float64
	half  [2][]stock // uppers, lowers
}

// stock is one shell, or a number of them by grade.
type stock struct {
	id    string
	wall  int64
	count int
	mate  int // index in the other half, or -1
}

func (b *builder) units(mm float64) int64 { return int64(math.Round(mm * b.perMM)) }

func (b *builder) gather() error {
	for h, shells := range [2][]Shell{b.in.Uppers, b.in.Lowers} {
		for _, s := range shells {
			b.half[h] = append(b.half[h], stock{s.ID, b.units(s.Wall), 1, -1})
		}
		for _, g := range b.in.Grades {
			if (g.Half == Upper) == (h == 0) {
				b.half[h] = append(b.half[h], stock{g.ID, b.units(g.Wall), g.Count, -1})
			}
		}
		seen := map[string]bool{}
		for _, s := range b.half[h] {
			if seen[s.id] {
				return fmt.Errorf("bearing: %s shell %s stands twice", halfName(h), s.id)
			}
			seen[s.id] = true
		}
	}
	return nil
}

func halfName(h int) Half { return [2]Half{Upper, Lower}[h] }

func (b *builder) find(h int, id string) (int, error) {
	i := slices.IndexFunc(b.half[h], func(s stock) bool { return s.id == id })
	if i < 0 {
		return 0, fmt.Errorf("bearing: there is no %s shell %q", halfName(h), id)
	}
	return i, nil
}

// bind ties the shells that must stay together.
func (b *builder) bind() error {
	for _, pair := range b.in.Pairs {
		var at [2]int
		for h := range at {
			i, err := b.find(h, pair[h])
			if err != nil {
				return err
			}
			s := b.half[h][i]
			if s.mate >= 0 {
				return fmt.Errorf("bearing: %s shell %s is bound twice", halfName(h), s.id)
			}
			if slices.ContainsFunc(b.in.Grades, func(g Grade) bool { return g.ID == s.id && g.Half == halfName(h) }) {
				return fmt.Errorf("bearing: %s is a grade: only single shells can be bound together", s.id)
			}
			at[h] = i
		}
		b.half[0][at[0]].mate, b.half[1][at[1]].mate = at[1], at[0]
	}
	return nil
}

// commit takes the committed shells out of the stock.
func (b *builder) commit(p *problem) error {
	for _, c := range b.in.Committed {
		i := slices.IndexFunc(b.in.Bores, func(x Bore) bool { return x.Position == c.Position })
		if i < 0 {
			return fmt.Errorf("bearing: committed position %d is not among the positions", c.Position)
		}
		if slices.ContainsFunc(p.committed, func(x Fitting) bool { return x.Position == c.Position }) {
			return fmt.Errorf("bearing: position %d is committed twice", c.Position)
		}
		departure := b.need(b.in.Bores[i])
		var mates [2]int
		for h, id := range [2]string{c.Upper, c.Lower} {
			k, err := b.find(h, id)
			if err != nil {
				return err
			}
			s := &b.half[h][k]
			if s.count < 1 {
				return fmt.Errorf("bearing: %s shell %s is committed more often than there are", halfName(h), id)
			}
			s.count--
			departure -= s.wall
			mates[h] = s.mate
			if s.mate >= 0 && b.half[1-h][s.mate].id != [2]string{c.Lower, c.Upper}[h] {
				return fmt.Errorf("bearing: position %d: %s shell %s must stay with %s", c.Position, halfName(h), id, b.half[1-h][s.mate].id)
			}
		}
		p.committed = append(p.committed, c)
		p.fixedMax = max(p.fixedMax, abs(departure))
		p.fixedSS += departure * departure
	}
	return nil
}

// need is the sum of the two walls that would bring a position to target.
func (b *builder) need(x Bore) int64 {
	return b.units(x.HousingBore) + b.units(x.Growth) - b.units(x.Journal) - b.units(b.in.Target)
}

// open lists the positions still to be filled, the greatest need first.
func (b *builder) open(p *problem) {
	for i, x := range b.in.Bores {
		if !slices.ContainsFunc(p.committed, func(c Fitting) bool { return c.Position == x.Position }) {
			p.bore = append(p.bore, i)
		}
	}
	p.n = len(p.bore)
	slices.SortStableFunc(p.bore, func(i, j int) int {
		return cmp.Compare(b.need(b.in.Bores[j]), b.need(b.in.Bores[i]))
	})
	for _, i := range p.bore {
		p.need = append(p.need, b.need(b.in.Bores[i]))
	}
}

// classes merges like shells. No class needs more of them than there are
// positions, unless counting them all is what makes the problem exact.
func (b *builder) classes(n int) (u, l []class) {
	type key struct {
		wall, mate int64
		bound      bool
	}
	var index [2]map[key]int
	var out [2][]class
	keyOf := func(h int, s stock) key {
		if s.mate < 0 {
			return key{wall: s.wall}
		}
		return key{s.wall, b.half[1-h][s.mate].wall, true}
	}
	for h := range out {
		index[h] = map[key]int{}
		order := slices.Clone(b.half[h])
		slices.SortStableFunc(order, func(x, y stock) int {
			kx, ky := keyOf(h, x), keyOf(h, y)
			if c := cmp.Compare(ky.wall, kx.wall); c != 0 || kx.bound == ky.bound {
				return cmp.Or(c, cmp.Compare(ky.mate, kx.mate))
			}
			if kx.bound {
				return 1
			}
			return -1
		})
		for _, s := range order {
			if s.count == 0 {
				continue
			}
			k := keyOf(h, s)
			at, ok := index[h][k]
			if !ok {
				at = len(out[h])
				index[h][k] = at
				out[h] = append(out[h], class{wall: s.wall, partner: -1})
			}
			it := item{id: s.id}
			if s.mate >= 0 {
				it.mate = b.half[1-h][s.mate].id
			}
			for range min(s.count, n) {
				if out[h][at].count < n {
					out[h][at].count++
					out[h][at].items = append(out[h][at].items, it)
				}
			}
		}
	}
	for k, i := range index[0] {
		if k.bound {
			j := index[1][key{k.mate, k.wall, true}]
			out[0][i].partner, out[1][j].partner = j, i
		}
	}
	return out[0], out[1]
}

// may says whether shells of two classes may go together.
func (p *problem) may(u, l int) bool {
	if p.u[u].partner < 0 && p.l[l].partner < 0 {
		return true
	}
	return p.u[u].partner == l && p.l[l].partner == u
}

func abs(v int64) int64 {
	if v < 0 {
		return -v
	}
	return v
}
