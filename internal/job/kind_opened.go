// SPDX-License-Identifier: Apache-2.0

package job

import "strings"

// Opened starts a job. The owner, plate and identity number are not in it:
// they are [Details], kept beside the log.
type Opened struct {
	Number  string `json:"number"`            // the workshop's own, such as 0412
	Vehicle string `json:"vehicle,omitempty"` // make and model in plain words
	Purpose string `json:"purpose,omitempty"`
	// Invented marks a demonstration: every page and report says so.
	Invented bool `json:"invented,omitempty"`
}

func (b *Opened) check() error {
	return firstError(checkText("job number", b.Number), checkLength("vehicle", b.Vehicle), checkLength("purpose", b.Purpose))
}

func (b *Opened) apply(s *State, at At) {
	s.Number, s.Vehicle, s.Purpose, s.Invented = b.Number, b.Vehicle, b.Purpose, b.Invented
	s.Opened = at
}

func (b *Opened) words(PositionNamer) string {
	return strings.TrimSpace("Job " + b.Number + " opened. " + b.Vehicle)
}

// SheetAdopted pins the engine sheet by the hash of its bytes. A sheet adopted
// later reassesses everything.
type SheetAdopted struct {
	Sheet  string `json:"sheet"` // content hash
	Family string `json:"family"`
	Reason string `json:"reason,omitempty"`
}

func (b *SheetAdopted) check() error {
	return firstError(checkContent("sheet", b.Sheet), checkText("family", b.Family), checkLength("reason", b.Reason))
}

func (b *SheetAdopted) apply(s *State, at At) {
	s.Sheet, s.SheetAt = *b, at
}

func (b *SheetAdopted) words(PositionNamer) string {
	w := "Engine sheet " + b.Family + " adopted, " + short(b.Sheet) + "."
	if b.Reason != "" {
		w += " " + b.Reason
	}
	return w
}

// short is enough of a hash for a person to compare.
func short(hash string) string {
	if _, digits, ok := strings.Cut(hash, ":"); ok && len(digits) > 12 {
		return digits[:12]
	}
	return hash
}
