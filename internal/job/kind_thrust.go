// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"fmt"

	"witnessmark/units"
)

// ThrustWashers says which thrust washers or shims came out, or are in now.
type ThrustWashers struct {
	Phase   string         `json:"phase"` // found: the ones that were in; fitted: the ones that are in now
	Washers []ThrustWasher `json:"washers"`
	Gauge   string         `json:"gauge,omitempty"` // that measured them; none: by their marks
	Remark  string         `json:"remark,omitempty"`
	Photos  []string       `json:"photos,omitempty"`
}

// ThrustWasher is one of them.
type ThrustWasher struct {
	ID        string     `json:"id,omitempty"` // its grade or mark
	Thickness units.Read `json:"thickness"`
}

func (b *ThrustWashers) check() error {
	if len(b.Washers) < 1 || len(b.Washers) > 2 {
		return fmt.Errorf("%d thrust washers: one or two share the end float", len(b.Washers))
	}
	for _, w := range b.Washers {
		if err := firstError(checkLength("washer", w.ID), checkKind("thickness", &w.Thickness, units.KindLength)); err != nil {
			return err
		}
		if !(w.Thickness.Value > 0) {
			return errors.New("a thickness of " + w.Thickness.Text + ": it must be above zero")
		}
	}
	return firstError(checkOneOf("phase", b.Phase, AsFound, AsFitted), checkLength("remark", b.Remark), checkLength("gauge", b.Gauge), checkCommitments("photo", b.Photos))
}

func (b *ThrustWashers) apply(s *State, at At) {
	s.Thrust = append(s.Thrust, Noted[ThrustWashers]{At: at, Body: *b})
	s.Tools = appendUsed(s.Tools, b.Gauge, at)
	s.addPhotos(at, b.Photos)
}

func (b *ThrustWashers) words(PositionNamer) string {
	w := map[string]string{AsFound: "Thrust washers that were in: ", AsFitted: "Thrust washers fitted: "}[b.Phase] + b.list() + "."
	if b.Remark != "" {
		w += " " + b.Remark
	}
	return w
}

// list names them: "2.31 mm (standard) and 2.36 mm".
func (b *ThrustWashers) list() string {
	var out []string
	for _, w := range b.Washers {
		s := readText(w.Thickness)
		if w.ID != "" {
			s += " (" + w.ID + ")"
		}
		out = append(out, s)
	}
	return list(out)
}
