// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"

	"witnessmark/units"
)

// Bagged says that what an operation loosened lies in a marked bag.
type Bagged struct {
	Operation string   `json:"operation"`
	What      string   `json:"what,omitempty"`
	Bag       string   `json:"bag,omitempty"` // what stands on its label
	Photos    []string `json:"photos,omitempty"`
}

func (b *Bagged) check() error {
	return firstError(checkText("operation", b.Operation), checkLength("what", b.What), checkLength("bag", b.Bag), checkCommitments("photo", b.Photos))
}

func (b *Bagged) apply(s *State, at At) {
	if s.Bags == nil {
		s.Bags = map[string]Noted[Bagged]{}
	}
	s.Bags[b.Operation] = Noted[Bagged]{At: at, Body: *b}
	s.addPhotos(at, b.Photos)
}

func (b *Bagged) words(PositionNamer) string {
	w := "Bagged and marked: " + b.Operation
	if b.What != "" {
		w += ", " + b.What
	}
	if b.Bag != "" {
		w += ", bag " + b.Bag
	}
	return w + "."
}

// RefitProved says that one thing which an operation disturbed is right again.
type RefitProved struct {
	Operation string      `json:"operation"`
	Thing     string      `json:"thing"` // id of what was disturbed
	Title     string      `json:"title,omitempty"`
	Done      bool        `json:"done,omitempty"`    // tightened in its stages, connected, renewed, filled, set
	Witness   bool        `json:"witness,omitempty"` // mark painted and seen
	Stage     string      `json:"stage,omitempty"`   // the last one, as the sheet or the maker names it
	Tool      string      `json:"tool,omitempty"`
	Value     *units.Read `json:"value,omitempty"`
	Result    string      `json:"result,omitempty"`
	None      string      `json:"none_because,omitempty"` // why nothing is needed
	Photos    []string    `json:"photos,omitempty"`
}

func (b *RefitProved) check() error {
	if !b.Done && !b.Witness && b.None == "" {
		return errors.New("nothing is said to be done: say what was done, or why nothing is needed")
	}
	return firstError(checkText("operation", b.Operation), checkText("thing", b.Thing), checkLength("title", b.Title), checkLength("stage", b.Stage),
		checkLength("tool", b.Tool), checkLength("result", b.Result), checkLength("reason", b.None), checkCommitments("photo", b.Photos))
}

func (b *RefitProved) apply(s *State, at At) {
	if s.Proofs == nil {
		s.Proofs = map[ProofKey][]Noted[RefitProved]{}
	}
	k := ProofKey{b.Operation, b.Thing}
	s.Proofs[k] = append(s.Proofs[k], Noted[RefitProved]{At: at, Body: *b})
	s.Tools = appendUsed(s.Tools, b.Tool, at)
	s.addPhotos(at, b.Photos)
}

func (b *RefitProved) words(PositionNamer) string {
	w := b.Title
	if w == "" {
		w = b.Thing
	}
	w = sentence(w)
	w = w[:len(w)-1] + ": "
	switch {
	case b.None != "":
		return w + "nothing needed, because " + b.None + "."
	case b.Done && b.Witness:
		w += "done and marked"
	case b.Done:
		w += "done"
	default:
		w += "marked"
	}
	if b.Stage != "" {
		w += ", " + b.Stage
	}
	if b.Value != nil {
		w += ", " + readText(*b.Value)
	}
	if b.Result != "" {
		w += ", " + b.Result
	}
	return w + "."
}

// FaultsRead is what the control units had stored.
type FaultsRead struct {
	Stored  string `json:"stored,omitempty"` // as they were read; empty: none
	Cleared bool   `json:"cleared,omitempty"`
	Remark  string `json:"remark,omitempty"`
}

func (b *FaultsRead) check() error {
	return firstError(checkLength("stored", b.Stored), checkLength("remark", b.Remark))
}

func (b *FaultsRead) apply(s *State, at At) {
	s.Faults = append(s.Faults, Noted[FaultsRead]{At: at, Body: *b})
}

func (b *FaultsRead) words(PositionNamer) string {
	w := "Stored faults: none."
	if b.Stored != "" {
		w = "Stored faults: " + b.Stored + "."
		if b.Cleared {
			w += " Cleared, and not back."
		}
	}
	if b.Remark != "" {
		w += " " + b.Remark
	}
	return w
}
