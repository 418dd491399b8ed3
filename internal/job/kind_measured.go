// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"witnessmark/units"
)

// Planes along a part, in their order from the front.
var Planes = []string{"front", "middle", "rear"}

// PartMeasured is one part measured in one go with one gauge: a journal or a
// bore at several angles in one or more planes, a shell's wall at the crown.
type PartMeasured struct {
	Of       string     `json:"of"`
	Phase    string     `json:"phase"`
	Position int        `json:"position"`
	Gauge    string     `json:"gauge,omitempty"`
	Cells    []PartCell `json:"cells"`

	PartTemperature  *units.Read `json:"part_temperature,omitempty"`
	GaugeTemperature *units.Read `json:"gauge_temperature,omitempty"`
	// CapTorqued says that the cap was on and fully tightened, for a bore.
	CapTorqued bool `json:"cap_torqued,omitempty"`
	// Questioned says what seemed impossible, Reason why it was kept.
	Questioned string   `json:"questioned,omitempty"`
	Reason     string   `json:"reason,omitempty"`
	Photos     []string `json:"photos,omitempty"`
}

// PartCell is one reading of the grid.
type PartCell struct {
	Plane string      `json:"plane,omitempty"`
	Angle *units.Read `json:"angle,omitempty"`
	Value units.Read  `json:"value"`
}

func (b *PartMeasured) check() error {
	if err := firstError(
		checkPosition(b.Position),
		checkOneOf("part", b.Of, OfJournal, OfHousingBore, OfShellBore, OfUpperWall, OfLowerWall),
		checkOneOf("phase", b.Phase, AsFound, AsFitted),
		checkKind("part temperature", b.PartTemperature, units.KindTemperature),
		checkKind("gauge temperature", b.GaugeTemperature, units.KindTemperature),
		checkLength("questioned", b.Questioned), checkLength("reason", b.Reason), checkCommitments("photo", b.Photos),
	); err != nil {
		return err
	}
	switch {
	case len(b.Cells) == 0:
		return errors.New("no reading: enter at least one")
	case len(b.Cells) > 200:
		return fmt.Errorf("%d readings of one part, more than 200", len(b.Cells))
	case (b.Of == OfHousingBore || b.Of == OfShellBore) && !b.CapTorqued:
		return errors.New("a bore is measured with its cap on and fully tightened: say that it was, or tighten it first")
	}
	for i := range b.Cells {
		c := &b.Cells[i]
		if err := firstError(checkKind("reading", &c.Value, units.KindLength), checkKind("angle", c.Angle, units.KindAngle), checkLength("plane", c.Plane)); err != nil {
			return err
		}
		if c.Value.Value < 0 {
			return fmt.Errorf("%s is below zero", c.Value.Text)
		}
	}
	return nil
}

// apply keeps every cell as a reading of its own.
func (b *PartMeasured) apply(s *State, at At) {
	for _, r := range b.readings() {
		s.Readings = append(s.Readings, Noted[Reading]{At: at, Body: r})
	}
	s.Tools = appendUsed(s.Tools, b.Gauge, at)
	s.addPhotos(at, b.Photos)
}

func (b *PartMeasured) readings() []Reading {
	out := make([]Reading, len(b.Cells))
	for i := range b.Cells {
		c := b.Cells[i]
		out[i] = Reading{Of: b.Of, Phase: b.Phase, Position: b.Position, Gauge: b.Gauge, Value: &c.Value, Plane: c.Plane, Angle: c.Angle,
			PartTemperature: b.PartTemperature, GaugeTemperature: b.GaugeTemperature, Questioned: b.Questioned, Reason: b.Reason}
	}
	return out
}

func (b *PartMeasured) words(name PositionNamer) string {
	r := Reading{Of: b.Of, Phase: b.Phase, Position: b.Position}
	return r.subject(name) + ": " + b.ReadBack() + "."
}

// ReadBack repeats the readings as they were understood.
func (b *PartMeasured) ReadBack() string {
	var parts []string
	at := map[string][]string{}
	var order []string
	for _, c := range b.Cells {
		w := readText(c.Value)
		if c.Angle != nil {
			w += " at " + readText(*c.Angle)
		}
		if at[c.Plane] == nil {
			order = append(order, c.Plane)
		}
		at[c.Plane] = append(at[c.Plane], w)
	}
	for _, p := range order {
		w := strings.Join(at[p], ", ")
		if p != "" {
			w = p + " " + w
		}
		parts = append(parts, w)
	}
	w := strings.Join(parts, "; ")
	if b.PartTemperature != nil {
		w += "; the part at " + readText(*b.PartTemperature)
	}
	if b.Reason != "" {
		w += "; kept although questioned, because " + b.Reason
	}
	return w
}

// FirstQuestions are the questions that are asked before anything is measured
// because a clearance is off, as an answer names them. To read again is the
// last and is answered by a reading.
var FirstQuestions = []string{"right_shell", "dirt", "tang", "own_cap", "full_angle", "strip", "crank_moved"}

// ExcessAsked answers the first questions about one position's clearance.
type ExcessAsked struct {
	Position int    `json:"position"`
	Phase    string `json:"phase"`
	// Clear are the questions that were looked into and are in order, Found
	// those that something was found about.
	Clear  []string `json:"in_order"`
	Found  []string `json:"found,omitempty"`
	Remark string   `json:"remark,omitempty"`
}

func (b *ExcessAsked) check() error {
	for _, f := range b.Found {
		if slices.Contains(b.Clear, f) {
			return fmt.Errorf("%s: in order or not, not both", plainWord(f))
		}
	}
	if len(b.Clear)+len(b.Found) == 0 {
		return errors.New("no question is answered: say of at least one what you saw")
	}
	return firstError(checkPosition(b.Position), checkOneOf("phase", b.Phase, AsFound, AsFitted),
		checkEach("question", b.Clear, FirstQuestions...), checkEach("question", b.Found, FirstQuestions...), checkLength("remark", b.Remark))
}

func (b *ExcessAsked) apply(s *State, at At) {
	p := s.position(b.Position)
	p.Asked = append(p.Asked, Noted[ExcessAsked]{At: at, Body: *b})
}

func (b *ExcessAsked) words(name PositionNamer) string {
	w := "Position " + name(b.Position) + ", as " + b.Phase + ", looked into"
	if len(b.Clear) > 0 {
		w += ", in order: " + list(questionShort(b.Clear))
	}
	if len(b.Found) > 0 {
		w += "; not in order: " + list(questionShort(b.Found))
	}
	if b.Remark != "" {
		w += "; " + b.Remark
	}
	return strings.TrimSuffix(w, ".") + "."
}

var questionNames = map[string]string{"right_shell": "the right shells", "dirt": "seat and backs clean", "tang": "tangs in their slots",
	"own_cap": "own cap, right way round", "full_angle": "full torque and angle", "strip": "the strip itself", "crank_moved": "the crank stood still"}

func questionShort(codes []string) []string {
	out := make([]string, len(codes))
	for i, c := range codes {
		out[i] = questionNames[c]
	}
	return out
}
