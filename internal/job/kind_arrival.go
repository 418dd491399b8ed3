// SPDX-License-Identifier: Apache-2.0

package job

import (
	"strings"

	"witnessmark/units"
)

// Arrival is the condition in which the vehicle came.
type Arrival struct {
	Odometer       *units.Read `json:"odometer,omitempty"`
	OilPressureHot *units.Read `json:"oil_pressure_hot_idle,omitempty"`
	Noises         string      `json:"noises,omitempty"`
	Leaks          string      `json:"leaks,omitempty"`
	Faults         string      `json:"faults_stored,omitempty"`
	Photos         []string    `json:"photos,omitempty"`
}

func (b *Arrival) check() error {
	return firstError(
		checkKind("odometer", b.Odometer, units.KindDistance),
		checkKind("oil pressure", b.OilPressureHot, units.KindPressure),
		checkLength("noises", b.Noises), checkLength("leaks", b.Leaks), checkLength("faults", b.Faults),
		checkCommitments("photo", b.Photos))
}

func (b *Arrival) apply(s *State, at At) {
	s.Arrival = &Noted[Arrival]{At: at, Body: *b}
	s.addPhotos(at, b.Photos)
}

func (b *Arrival) words(PositionNamer) string {
	var w []string
	add := func(name, text string) {
		if text != "" {
			w = append(w, name+" "+text)
		}
	}
	if b.Odometer != nil {
		add("odometer", readText(*b.Odometer))
	}
	if b.OilPressureHot != nil {
		add("oil pressure hot at idle", readText(*b.OilPressureHot))
	}
	add("noises:", b.Noises)
	add("leaks:", b.Leaks)
	add("faults stored:", b.Faults)
	if len(w) == 0 {
		return "Arrived; nothing noted."
	}
	return "Arrived: " + strings.Join(w, "; ") + "."
}

// Details is something personal of the owner or the vehicle. The log holds
// only the commitment to it; the words are a salted blob beside the log that
// can be erased.
type Details struct {
	Of         string `json:"of"` // owner or vehicle
	Commitment string `json:"commitment"`
}

func (b *Details) check() error {
	return firstError(checkOneOf("details of", b.Of, "owner", "vehicle"), checkCommitment("commitment", b.Commitment))
}

func (b *Details) apply(s *State, at At) {
	if s.Details == nil {
		s.Details = map[string]Noted[Details]{}
	}
	s.Details[b.Of] = Noted[Details]{At: at, Body: *b}
	s.addBlob(at, b.Commitment)
}

func (b *Details) words(PositionNamer) string {
	return "Details of the " + b.Of + " noted, kept beside the log."
}
