// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"fmt"

	"witnessmark/units"
)

// BoltLength is what was read of the length of one bolt: free before it is
// tightened, under load, free again after it was loosened. An entry with the
// length before begins anew; one without adds to the last of the same bolt.
type BoltLength struct {
	Fastener string      `json:"fastener"` // id in the engine sheet
	Position int         `json:"position,omitempty"`
	Bolt     string      `json:"bolt"`
	Set      string      `json:"set"` // which set of bolts, as for its stages
	New      *units.Read `json:"length_new,omitempty"`
	Before   *units.Read `json:"free_before,omitempty"`
	Tight    *units.Read `json:"under_load,omitempty"`
	After    *units.Read `json:"free_after,omitempty"`
	U        *units.Read `json:"u,omitempty"` // standard uncertainty of one length
	Gauge    string      `json:"gauge,omitempty"`
	Remark   string      `json:"remark,omitempty"`
}

func (b *BoltLength) check() error {
	if b.Before == nil && b.Tight == nil && b.After == nil {
		return errors.New("no length of the bolt: write the free length before, the length under load or the free length after")
	}
	if b.Position != 0 {
		if err := checkPosition(b.Position); err != nil {
			return err
		}
	}
	for what, r := range map[string]*units.Read{"length as new": b.New, "free length before": b.Before, "length under load": b.Tight,
		"free length after": b.After, "uncertainty of a length": b.U} {
		if err := checkKind(what, r, units.KindLength); err != nil {
			return err
		}
		if r != nil && (r.Value <= 0 || r.Value > maxBoltLength) {
			return fmt.Errorf("%s %s: a bolt is between 0 and %d mm long; measure again", what, r.Text, maxBoltLength)
		}
	}
	return firstError(checkText("fastener", b.Fastener), checkText("bolt", b.Bolt), checkText("set of bolts", b.Set),
		checkLength("gauge", b.Gauge), checkLength("remark", b.Remark))
}

// maxBoltLength is the longest bolt that anybody means, in mm.
const maxBoltLength = 1000

// LengthsOf is one bolt's lengths, gathered from the entries that read them.
type LengthsOf struct {
	BoltLength
	At      At      // of the last entry
	Free    int64   // entry of the last free length
	Entries []int64 // all that it is gathered from
}

func (b *BoltLength) apply(s *State, at At) {
	s.Tools = appendUsed(s.Tools, b.Gauge, at)
	i := s.lengths(*b)
	if i < 0 || b.Before != nil {
		n := LengthsOf{BoltLength: *b}
		if i >= 0 && n.New == nil {
			n.New = s.Lengths[i].New
		}
		s.Lengths = append(s.Lengths, n)
		i = len(s.Lengths) - 1
	}
	l := &s.Lengths[i]
	for _, x := range []struct{ into, from **units.Read }{{&l.New, &b.New}, {&l.Tight, &b.Tight}, {&l.After, &b.After}, {&l.U, &b.U}} {
		if *x.from != nil {
			*x.into = *x.from
		}
	}
	if b.Before != nil || b.After != nil {
		l.Free = at.Seq
	}
	l.At, l.Entries = at, append(l.Entries, at.Seq)
}

// lengths finds the last lengths of a bolt, -1 if there are none.
func (s *State) lengths(b BoltLength) int {
	for i := len(s.Lengths) - 1; i >= 0; i-- {
		if l := s.Lengths[i]; l.Fastener == b.Fastener && l.Position == b.Position && l.Bolt == b.Bolt && l.Set == b.Set {
			return i
		}
	}
	return -1
}

func (b *BoltLength) words(name PositionNamer) string { return b.titled(titles{name: name}) }

func (b *BoltLength) titled(t titles) string {
	w := sentenceCase(t.fastener(b.Fastener)) + ", " + boltsWords([]BoltAt{{b.Position, b.Bolt}}, t.name) + ", bolts " + b.Set + ", length"
	for _, x := range []struct {
		what string
		r    *units.Read
	}{{" as new", b.New}, {" free before", b.Before}, {" under load", b.Tight}, {" free after", b.After}} {
		if x.r != nil {
			w += x.what + " " + readText(*x.r) + ","
		}
	}
	w = w[:len(w)-1]
	if b.Gauge != "" {
		w += ", with " + b.Gauge
	}
	return w + "."
}
