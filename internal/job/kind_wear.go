// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"slices"
	"strings"
)

// Upper is the rod's half of the shell, Lower the cap's.
const (
	Upper = "upper"
	Lower = "lower"
)

// Features that a shell can show beside its wear.
var shellFeatures = []string{
	"scored", "embedded", "wiped", "flaked", "corroded", "cavitated", "edge_loaded", "fretted", "spun",
}

// WearSeen is what a shell that came out looks like. Severity runs from 0, as
// new, to 4, failed, as the engine sheet's shell construction defines it.
type WearSeen struct {
	Position int      `json:"position"`
	Half     string   `json:"half"`
	Severity int      `json:"severity"`
	Features []string `json:"features,omitempty"`
	Extent   string   `json:"extent,omitempty"` // spot, part or whole
	Place    string   `json:"place,omitempty"`  // crown, parting line, front edge, rear edge, oil hole
	Remark   string   `json:"remark,omitempty"`
	Photos   []string `json:"photos,omitempty"`
}

func (b *WearSeen) check() error {
	if b.Severity < 0 || b.Severity > 4 {
		return fmt.Errorf("severity %d: 0 is as new, 4 is failed", b.Severity)
	}
	if err := checkPosition(b.Position); err != nil {
		return err
	}
	if b.Extent != "" {
		if err := checkOneOf("extent", b.Extent, "spot", "part", "whole"); err != nil {
			return err
		}
	}
	if b.Place != "" {
		if err := checkOneOf("place", b.Place, "crown", "parting_line", "front_edge", "rear_edge", "oil_hole"); err != nil {
			return err
		}
	}
	return firstError(checkOneOf("half", b.Half, Upper, Lower), checkEach("feature", b.Features, shellFeatures...),
		checkLength("remark", b.Remark), checkCommitments("photo", b.Photos))
}

func (b *WearSeen) apply(s *State, at At) {
	p := s.position(b.Position)
	p.Wear = append(p.Wear, Noted[WearSeen]{At: at, Body: *b})
	s.addPhotos(at, b.Photos)
}

func (b *WearSeen) words(name PositionNamer) string {
	w := fmt.Sprintf("Position %s, %s shell: wear %d of 4", name(b.Position), b.Half, b.Severity)
	if len(b.Features) > 0 {
		w += ", " + list(plainWords(b.Features))
	}
	if b.Extent != "" {
		w += ", " + map[string]string{"spot": "in spots", "part": "over part of it", "whole": "over the whole of it"}[b.Extent]
	}
	if b.Place != "" {
		w += ", at the " + plainWord(b.Place)
	}
	if b.Remark != "" {
		w += ". " + b.Remark
	}
	return strings.TrimSuffix(w, ".") + "."
}

// NeedsJournal reports whether the shell has lost or shed metal so that its
// journal must be seen and measured before anything is closed up.
func (b *WearSeen) NeedsJournal(copperFrom int) bool {
	if copperFrom > 0 && b.Severity >= copperFrom {
		return true
	}
	for _, f := range []string{"scored", "wiped", "flaked", "spun"} {
		if slices.Contains(b.Features, f) {
			return true
		}
	}
	return b.Severity >= 4
}

var journalFeatures = []string{"clean", "polished_line", "scored", "pick_up", "blued", "ridge", "cracked"}

// JournalSeen is what a journal looks like. Scored means that a fingernail
// catches.
type JournalSeen struct {
	Position int      `json:"position"`
	Features []string `json:"features"`
	Remark   string   `json:"remark,omitempty"`
	Photos   []string `json:"photos,omitempty"`
}

func (b *JournalSeen) check() error {
	if len(b.Features) == 0 {
		return fmt.Errorf("journal: nothing chosen: choose one of %s", strings.Join(journalFeatures, ", "))
	}
	if slices.Contains(b.Features, "clean") && len(b.Features) > 1 {
		return fmt.Errorf("journal: clean and %s at once", list(without(b.Features, "clean")))
	}
	return firstError(checkPosition(b.Position), checkEach("journal", b.Features, journalFeatures...),
		checkLength("remark", b.Remark), checkCommitments("photo", b.Photos))
}

func (b *JournalSeen) apply(s *State, at At) {
	p := s.position(b.Position)
	p.Journal = append(p.Journal, Noted[JournalSeen]{At: at, Body: *b})
	s.addPhotos(at, b.Photos)
}

func (b *JournalSeen) words(name PositionNamer) string {
	w := "Position " + name(b.Position) + ", journal: " + list(plainWords(b.Features)) + "."
	if b.Remark != "" {
		w += " " + b.Remark
	}
	return w
}

// Damaged reports whether the journal must not run as it is.
func (b *JournalSeen) Damaged() bool {
	for _, f := range []string{"scored", "pick_up", "blued", "ridge", "cracked"} {
		if slices.Contains(b.Features, f) {
			return true
		}
	}
	return false
}

var plain = map[string]string{
	"edge_loaded": "edge-worn", "polished_line": "polished line", "scored": "scored, a nail catches",
	"pick_up": "pick-up", "front_edge": "front edge", "rear_edge": "rear edge",
	"parting_line": "parting line", "oil_hole": "oil hole", "grey_overlay": "grey overlay",
}

func plainWord(code string) string {
	if w, ok := plain[code]; ok {
		return w
	}
	return strings.ReplaceAll(code, "_", " ")
}

func plainWords(codes []string) []string {
	out := make([]string, len(codes))
	for i, c := range codes {
		out[i] = plainWord(c)
	}
	return out
}

func without(all []string, one string) []string {
	return slices.DeleteFunc(slices.Clone(all), func(s string) bool { return s == one })
}
