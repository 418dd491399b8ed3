// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"witnessmark/units"
)

// Two tightenings are different things: a clearance reading needs the cap
// fully tightened on bolts that never count as final.
const (
	Measuring = "measuring"
	Final     = "final"
)

// BoltAt is one place for a bolt: a rod bolt has a position and a or b; any
// other fastener has position 0 and its number, or "all".
type BoltAt struct {
	Position int    `json:"position,omitempty"`
	Bolt     string `json:"bolt"`
}

// StageDone is one stage of tightening, on one or more bolts at once.
type StageDone struct {
	Fastener   string      `json:"fastener"`   // id in the engine sheet
	Tightening string      `json:"tightening"` // measuring or final
	Stage      string      `json:"stage"`      // id in the engine sheet
	Bolts      []BoltAt    `json:"bolts"`
	Set        string      `json:"set"`            // which set of bolts: the marked measuring set, or a new one
	Tool       string      `json:"tool,omitempty"` // tool id in the register
	Value      *units.Read `json:"value,omitempty"`
	Remark     string      `json:"remark,omitempty"`
}

func (b *StageDone) check() error {
	return firstError(checkText("fastener", b.Fastener), checkOneOf("tightening", b.Tightening, Measuring, Final),
		checkText("stage", b.Stage), checkBolts(b.Bolts), checkText("set of bolts", b.Set),
		checkLength("tool", b.Tool), checkLength("remark", b.Remark))
}

func checkBolts(bolts []BoltAt) error {
	if len(bolts) == 0 {
		return errors.New("no bolt named: choose at least one")
	}
	if len(bolts) > 200 {
		return fmt.Errorf("%d bolts at once: 200 at most", len(bolts))
	}
	for i, b := range bolts {
		if b.Position != 0 {
			if err := checkPosition(b.Position); err != nil {
				return err
			}
		}
		if err := checkText("bolt", b.Bolt); err != nil {
			return err
		}
		if slices.Contains(bolts[:i], b) {
			return fmt.Errorf("bolt %s stands twice", b.Bolt)
		}
	}
	return nil
}

func (b *StageDone) apply(s *State, at At) {
	s.Tools = appendUsed(s.Tools, b.Tool, at)
	for _, place := range b.Bolts {
		bolt := s.bolt(b.Fastener, place)
		bolt.Stages = append(bolt.Stages, Tightened{At: at, Tightening: b.Tightening, Stage: b.Stage, Set: b.Set, Tool: b.Tool, Value: b.Value})
	}
}

func (b *StageDone) words(name PositionNamer) string { return b.titled(titles{name: name}) }

func boltsWords(bolts []BoltAt, name PositionNamer) string {
	var order []int
	at := map[int][]string{}
	for _, b := range bolts {
		if at[b.Position] == nil {
			order = append(order, b.Position)
		}
		at[b.Position] = append(at[b.Position], b.Bolt)
	}
	var parts []string
	for _, p := range order {
		if p == 0 {
			parts = append(parts, strings.Join(at[p], ", "))
			continue
		}
		parts = append(parts, "position "+name(p)+" "+list(at[p]))
	}
	return list(parts)
}

// Loosened says that bolts were undone again.
type Loosened struct {
	Fastener string   `json:"fastener"`
	Bolts    []BoltAt `json:"bolts"`
	Why      string   `json:"why,omitempty"`
}

func (b *Loosened) check() error {
	return firstError(checkText("fastener", b.Fastener), checkBolts(b.Bolts), checkLength("why", b.Why))
}

func (b *Loosened) apply(s *State, at At) {
	for _, place := range b.Bolts {
		bolt := s.bolt(b.Fastener, place)
		bolt.Stages = append(bolt.Stages, Tightened{At: at, Loosened: true})
		bolt.Witness, bolt.Photos = nil, nil
	}
}

func (b *Loosened) words(name PositionNamer) string { return b.titled(titles{name: name}) }

// WitnessSeen says that the line of paint stands across these fasteners.
type WitnessSeen struct {
	Fastener string   `json:"fastener"`
	Bolts    []BoltAt `json:"bolts"`
	Photos   []string `json:"photos,omitempty"`
}

func (b *WitnessSeen) check() error {
	return firstError(checkText("fastener", b.Fastener), checkBolts(b.Bolts), checkCommitments("photo", b.Photos))
}

func (b *WitnessSeen) apply(s *State, at At) {
	for _, place := range b.Bolts {
		bolt := s.bolt(b.Fastener, place)
		bolt.Witness, bolt.Photos = &at, append(bolt.Photos, b.Photos...)
	}
	s.addPhotos(at, b.Photos)
}

func (b *WitnessSeen) words(name PositionNamer) string { return b.titled(titles{name: name}) }

// SettingMade is one setting from the engine sheet with what was read.
type SettingMade struct {
	Setting  string      `json:"setting"`            // id in the engine sheet
	Position int         `json:"position,omitempty"` // for a setting of each position
	Value    units.Read  `json:"value"`
	U        *units.Read `json:"u,omitempty"`
	Tool     string      `json:"tool,omitempty"`
	Remark   string      `json:"remark,omitempty"`
	Photos   []string    `json:"photos,omitempty"`
}

func (b *SettingMade) check() error {
	if b.Value.Kind == "" {
		return errors.New("no value: write what was read, with its unit")
	}
	if b.Position != 0 {
		if err := checkPosition(b.Position); err != nil {
			return err
		}
	}
	return firstError(checkText("setting", b.Setting), checkKind("u", b.U, b.Value.Kind), checkLength("tool", b.Tool),
		checkLength("remark", b.Remark), checkCommitments("photo", b.Photos))
}

func (b *SettingMade) apply(s *State, at At) {
	s.Tools = appendUsed(s.Tools, b.Tool, at)
	if s.Settings == nil {
		s.Settings = map[SettingKey]Noted[SettingMade]{}
	}
	s.Settings[SettingKey{b.Setting, b.Position}] = Noted[SettingMade]{At: at, Body: *b}
	s.addPhotos(at, b.Photos)
}

func (b *SettingMade) words(name PositionNamer) string { return b.titled(titles{name: name}) }
