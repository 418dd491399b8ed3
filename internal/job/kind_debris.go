// SPDX-License-Identifier: Apache-2.0

package job

import "slices"

var (
	debrisPlaces = []string{"filter", "sump", "strainer", "magnet", "housing"}
	debrisKinds  = []string{"none", "copper", "grey_overlay", "aluminium", "steel", "plastic", "sealant"}
	// What metal debris has been carried to, each to be dealt with.
	debrisCircuit = []string{"cooler", "lines", "housing", "pickup"}
)

// DebrisFound is what lay in one place.
type DebrisFound struct {
	Place  string   `json:"place"`
	Kinds  []string `json:"kinds"`
	Amount string   `json:"amount"` // none, trace, some, much
	Remark string   `json:"remark,omitempty"`
	Photos []string `json:"photos,omitempty"`
}

func (b *DebrisFound) check() error {
	return firstError(checkOneOf("place", b.Place, debrisPlaces...), checkEach("debris", b.Kinds, debrisKinds...),
		checkOneOf("amount", b.Amount, "none", "trace", "some", "much"), checkLength("remark", b.Remark),
		checkCommitments("photo", b.Photos))
}

func (b *DebrisFound) apply(s *State, at At) {
	s.Debris = append(s.Debris, Noted[DebrisFound]{At: at, Body: *b})
	s.addPhotos(at, b.Photos)
}

// Metal reports whether bearing or engine metal was found.
func (b *DebrisFound) Metal() bool {
	return b.Amount != "none" && slices.ContainsFunc(b.Kinds, func(k string) bool {
		return k == "copper" || k == "grey_overlay" || k == "aluminium" || k == "steel"
	})
}

func (b *DebrisFound) words(PositionNamer) string {
	if b.Amount == "none" || len(b.Kinds) == 0 {
		return "Debris, " + plainWord(b.Place) + ": none."
	}
	w := "Debris, " + plainWord(b.Place) + ": " + b.Amount + ", " + list(plainWords(b.Kinds)) + "."
	if b.Remark != "" {
		w += " " + b.Remark
	}
	return w
}

// DebrisDealt says that one part of the oil circuit was dealt with.
type DebrisDealt struct {
	Part   string `json:"part"` // cooler, lines, housing, pickup
	How    string `json:"how"`  // cleaned, renewed, found clean, not fitted
	Remark string `json:"remark,omitempty"`
}

func (b *DebrisDealt) check() error {
	return firstError(checkOneOf("part", b.Part, debrisCircuit...),
		checkOneOf("how", b.How, "cleaned", "renewed", "found_clean", "not_fitted"), checkLength("remark", b.Remark))
}

func (b *DebrisDealt) apply(s *State, at At) {
	if s.DebrisDealt == nil {
		s.DebrisDealt = map[string]Noted[DebrisDealt]{}
	}
	s.DebrisDealt[b.Part] = Noted[DebrisDealt]{At: at, Body: *b}
}

func (b *DebrisDealt) words(PositionNamer) string {
	return "Oil circuit, " + plainWord(b.Part) + ": " + plainWord(b.How) + "."
}

// MainsSeen says that main bearings were inspected. Without it the handover
// prints that they were not.
type MainsSeen struct {
	Bearings string   `json:"bearings"` // which ones
	Finding  string   `json:"finding"`
	Photos   []string `json:"photos,omitempty"`
}

func (b *MainsSeen) check() error {
	return firstError(checkText("bearings", b.Bearings), checkText("finding", b.Finding), checkCommitments("photo", b.Photos))
}

func (b *MainsSeen) apply(s *State, at At) {
	s.Mains = append(s.Mains, Noted[MainsSeen]{At: at, Body: *b})
	s.addPhotos(at, b.Photos)
}

func (b *MainsSeen) words(PositionNamer) string {
	return "Main bearings " + b.Bearings + ": " + b.Finding + "."
}
