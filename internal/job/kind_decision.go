// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"fmt"
	"strings"
)

// Decided is a choice that somebody made, with the reason.
type Decided struct {
	About    string `json:"about"`
	Decision string `json:"decision"`
	Reason   string `json:"reason,omitempty"`
	Position int    `json:"position,omitempty"`
}

func (b *Decided) check() error {
	if b.Position != 0 {
		if err := checkPosition(b.Position); err != nil {
			return err
		}
	}
	return firstError(checkText("about", b.About), checkText("decision", b.Decision), checkLength("reason", b.Reason))
}

func (b *Decided) apply(s *State, at At) {
	s.Decisions = append(s.Decisions, Noted[Decided]{At: at, Body: *b})
}

func (b *Decided) words(name PositionNamer) string {
	w := "Decided, " + b.About
	if b.Position != 0 {
		w += ", position " + name(b.Position)
	}
	w += ": " + b.Decision
	if b.Reason != "" {
		w += ", because " + b.Reason
	}
	return strings.TrimSuffix(w, ".") + "."
}

// Conceded lets one obstacle stand, with a reason. It names the entries that
// the obstacle rests on and lapses when either changes.
type Conceded struct {
	Obstacle string  `json:"obstacle"` // its key
	RestsOn  []int64 `json:"rests_on"`
	Reason   string  `json:"reason"`
	// Signature is the commitment to the owner's drawn or typed signature. A
	// workshop with one person needs it.
	Signature string `json:"signature,omitempty"`
	// NoSecond says that no second person looked.
	NoSecond bool `json:"no_second_person,omitempty"`
}

func (b *Conceded) check() error {
	if b.Signature != "" {
		if err := checkCommitment("signature", b.Signature); err != nil {
			return err
		}
	}
	if b.NoSecond && b.Signature == "" {
		return errors.New("concession without a second person: the owner's signature is needed")
	}
	return firstError(checkText("obstacle", b.Obstacle), checkText("reason", b.Reason))
}

func (b *Conceded) apply(s *State, at At) {
	s.Concessions = append(s.Concessions, Noted[Conceded]{At: at, Body: *b})
	if b.Signature != "" {
		s.addBlob(at, b.Signature)
	}
}

func (b *Conceded) words(name PositionNamer) string { return b.titled(titles{name: name}) }

// Correction replaces what an earlier entry said, or withdraws it. Both stay
// visible.
type Correction struct {
	Replaces int64   `json:"replaces"`
	Reason   string  `json:"reason"`
	Kind     string  `json:"kind,omitempty"` // of the entry that it replaces
	Version  int     `json:"version,omitempty"`
	Body     rawBody `json:"body,omitempty"` // none withdraws the entry
}

func (b *Correction) check() error {
	if b.Replaces < 1 {
		return fmt.Errorf("replaces %d: name the entry that is corrected", b.Replaces)
	}
	if err := checkText("reason", b.Reason); err != nil {
		return err
	}
	if b.Withdraws() {
		return nil
	}
	switch b.Kind {
	case "correction", "seal", "handover", "concession", "job_opened":
		return fmt.Errorf("a %s is not corrected by another text; withdraw it or write a new one", plainWord(b.Kind))
	}
	_, err := Decode(b.Kind, b.Version, []byte(b.Body))
	return err
}

// Withdraws reports whether nothing takes the place of the entry.
func (b *Correction) Withdraws() bool { return len(b.Body) == 0 || string(b.Body) == "null" }

// apply does nothing: Fold lets corrections take effect at the entry they
// replace.
func (b *Correction) apply(*State, At) {}

func (b *Correction) words(name PositionNamer) string { return b.titled(titles{name: name}) }

func (b *Correction) titled(t titles) string {
	w := fmt.Sprintf("Entry %d ", b.Replaces)
	if b.Withdraws() {
		return w + "withdrawn: " + b.Reason
	}
	w += "corrected: "
	if body, err := Decode(b.Kind, b.Version, []byte(b.Body)); err == nil {
		w += sayWith(body, t)
	}
	return w + " Reason: " + b.Reason
}

// rawBody is JSON that is decoded later.
type rawBody []byte

func (r rawBody) MarshalJSON() ([]byte, error) {
	if len(r) == 0 {
		return []byte("null"), nil
	}
	return r, nil
}

func (r *rawBody) UnmarshalJSON(data []byte) error {
	*r = append((*r)[:0], data...)
	return nil
}
