// SPDX-License-Identifier: Apache-2.0

package job

import (
	"encoding/json"
	"errors"
)

// HandedOver closes the work. It keeps what the decision rested on: the
// assessment, the program version, the workshop's settings and the extract of
// the tool register, all in one snapshot beside the log.
type HandedOver struct {
	Snapshot       string `json:"snapshot"` // content hash of the stored snapshot
	Program        string `json:"program"`
	MainsInspected bool   `json:"main_bearings_inspected"`
	// Standing counts the obstacles that stood when it was handed over all the
	// same.
	Standing int    `json:"obstacles_standing"`
	Remark   string `json:"remark,omitempty"`
}

func (b *HandedOver) check() error {
	return firstError(checkContent("snapshot", b.Snapshot), checkText("program version", b.Program), checkLength("remark", b.Remark))
}

func (b *HandedOver) apply(s *State, at At) {
	s.Handover = &Noted[HandedOver]{At: at, Body: *b}
}

func (b *HandedOver) words(PositionNamer) string {
	w := "Handed over."
	if !b.MainsInspected {
		w += " Main bearings not inspected."
	}
	if b.Standing > 0 {
		w += " With obstacles standing."
	}
	return w
}

// Sealed is a signed checkpoint of the log up to the entry before it. It does
// not lock: later entries are sealed again. Package record reads and verifies
// it; here it is only known that it is there.
type Sealed struct {
	Note    string          `json:"note"`
	Key     string          `json:"key"`
	Extends json.RawMessage `json:"extends,omitempty"`
}

func (b *Sealed) check() error {
	if b.Note == "" || b.Key == "" {
		return errors.New("seal: a signed note and its key are needed")
	}
	return nil
}

func (b *Sealed) apply(s *State, at At) {
	s.Seals = append(s.Seals, Noted[Sealed]{At: at, Body: *b})
}

func (b *Sealed) words(PositionNamer) string { return "Sealed up to the entry before this one." }
