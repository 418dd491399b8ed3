// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"fmt"
	"math"

	"witnessmark/mesh"
	"witnessmark/units"
)

// GearRead is the backlash of a gear, read with an indicator at places around
// it. It is kept as the indicator showed it; what that is at the pitch circle
// is computed.
type GearRead struct {
	Setting  string `json:"setting"` // id in the engine sheet
	Position int    `json:"position,omitempty"`
	// Measured and ReadRadius say how the indicator stood where that is not as
	// the sheet has it: transverse, normal or axial.
	Measured   string      `json:"measured,omitempty"`
	ReadRadius *units.Read `json:"read_radius,omitempty"`
	Readings   []GearPlace `json:"readings"`
	U          *units.Read `json:"u,omitempty"` // standard uncertainty of one reading, as read
	Tool       string      `json:"tool,omitempty"`
	Remark     string      `json:"remark,omitempty"`
	Photos     []string    `json:"photos,omitempty"`
}

// GearPlace is one reading around the gear.
type GearPlace struct {
	Angle units.Read `json:"angle"`
	Value units.Read `json:"value"`
}

// MaxGearPlaces is how many readings around a gear one entry may hold.
const MaxGearPlaces = 72

func (b *GearRead) check() error {
	if len(b.Readings) == 0 {
		return errors.New("no readings: write what the indicator showed at each place around the gear")
	}
	if len(b.Readings) > MaxGearPlaces {
		return fmt.Errorf("%d readings around a gear: %d at most", len(b.Readings), MaxGearPlaces)
	}
	for i, r := range b.Readings {
		if err := r.check(i + 1); err != nil {
			return err
		}
	}
	if b.Position != 0 {
		if err := checkPosition(b.Position); err != nil {
			return err
		}
	}
	_, err := mesh.ParseDirection(b.Measured)
	return firstError(err, checkText("setting", b.Setting), checkKind("reading radius", b.ReadRadius, units.KindLength), checkKind("uncertainty", b.U, units.KindLength),
		checkLength("tool", b.Tool), checkLength("remark", b.Remark), checkCommitments("photo", b.Photos))
}

// maxGearTurn is the widest angle that anybody means, in degrees.
const maxGearTurn = 3600

func (r GearPlace) check(n int) error {
	if r.Angle.Kind != units.KindAngle || r.Value.Kind != units.KindLength {
		return fmt.Errorf("reading %d: an angle of the gear and a length are needed", n)
	}
	if math.Abs(r.Angle.Value) > maxGearTurn {
		return fmt.Errorf("reading %d: %s is more than ten turns of the gear", n, r.Angle.Text)
	}
	if r.Value.Value < 0 {
		return fmt.Errorf("reading %d: %s is below zero; set the indicator to zero at one flank", n, r.Value.Text)
	}
	return nil
}

func (b *GearRead) apply(s *State, at At) {
	s.Tools = appendUsed(s.Tools, b.Tool, at)
	if s.Gears == nil {
		s.Gears = map[SettingKey]Noted[GearRead]{}
	}
	s.Gears[SettingKey{b.Setting, b.Position}] = Noted[GearRead]{At: at, Body: *b}
	s.addPhotos(at, b.Photos)
}

func (b *GearRead) words(name PositionNamer) string { return b.titled(titles{name: name}) }

func (b *GearRead) titled(t titles) string {
	low, high := b.Readings[0].Value, b.Readings[0].Value
	for _, r := range b.Readings {
		if r.Value.Value < low.Value {
			low = r.Value
		}
		if r.Value.Value > high.Value {
			high = r.Value
		}
	}
	w := "Setting, " + t.setting(b.Setting)
	if b.Position != 0 {
		w += ", position " + t.name(b.Position)
	}
	w += ": " + count(len(b.Readings), "reading", "readings") + " around the gear, " + readText(low) + " to " + readText(high) + " as the indicator showed it"
	if b.Tool != "" {
		w += ", with " + b.Tool
	}
	return w + "."
}
