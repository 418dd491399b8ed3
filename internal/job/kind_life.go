// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"fmt"
	"strings"

	"witnessmark/units"
)

// HorizonSet is how far the owner means to keep the vehicle: a distance, or
// years at so much a year.
type HorizonSet struct {
	Distance *units.Read `json:"distance,omitempty"`
	Years    float64     `json:"years,omitempty"`
	PerYear  *units.Read `json:"distance_per_year,omitempty"`
}

// Bounds of a horizon: more is a slip of the pen.
const (
	mostYears = 50
	mostKm    = 2e6
)

func (b *HorizonSet) check() error {
	if err := firstError(checkKind("horizon", b.Distance, units.KindDistance), checkKind("distance in a year", b.PerYear, units.KindDistance)); err != nil {
		return err
	}
	switch {
	case b.Distance == nil && b.Years == 0:
		return errors.New("horizon: nothing entered: write a distance such as 60000 km, or years such as 4 years")
	case b.Distance != nil && b.Years != 0:
		return errors.New("horizon: a distance and years at once: write one of them")
	case b.Years != 0 && !(b.Years > 0 && b.Years <= mostYears):
		return fmt.Errorf("horizon %g years: write more than nothing and at most %d years", b.Years, mostYears)
	case b.Years != 0 && (b.PerYear == nil || !(b.PerYear.Value > 0)):
		return fmt.Errorf("horizon %g years: how far is driven in a year is missing: write it too, such as 15000 km", b.Years)
	}
	if km := b.Km(); !(km > 0) || km > mostKm {
		return fmt.Errorf("horizon %g km: write more than nothing and at most %.0f km", km, mostKm)
	}
	return nil
}

// Km is the horizon in kilometres.
func (b *HorizonSet) Km() float64 {
	switch {
	case b.Distance != nil:
		return b.Distance.Value
	case b.PerYear != nil:
		return b.Years * b.PerYear.Value
	}
	return 0
}

func (b *HorizonSet) apply(s *State, at At) { s.Horizon = &Noted[HorizonSet]{At: at, Body: *b} }

func (b *HorizonSet) words(PositionNamer) string {
	return "The owner means to keep it for " + b.Text() + "."
}

// Text is the horizon in words.
func (b *HorizonSet) Text() string {
	if b.Distance != nil {
		return readText(*b.Distance)
	}
	return fmt.Sprintf("%g years at %s a year, %.0f km", b.Years, readText(*b.PerYear), b.Km())
}

// Typed is the horizon as it would be typed, and the distance in a year.
func (b *HorizonSet) Typed() (horizon, perYear string) {
	if b.Distance != nil {
		return readText(*b.Distance), ""
	}
	return fmt.Sprintf("%g years", b.Years), readText(*b.PerYear)
}

// WorkFound says whether what a piece of work renews was found worn or sound
// when it was looked at. With the distance it is what the workshop learns from.
type WorkFound struct {
	Work   string   `json:"work"` // id of work of the plan
	Title  string   `json:"title,omitempty"`
	Needed bool     `json:"needed"` // worn: it had to be renewed
	Remark string   `json:"remark,omitempty"`
	Photos []string `json:"photos,omitempty"`
}

func (b *WorkFound) check() error {
	return firstError(checkText("work", b.Work), checkLength("title", b.Title), checkLength("remark", b.Remark), checkCommitments("photo", b.Photos))
}

func (b *WorkFound) apply(s *State, at At) {
	if s.Found == nil {
		s.Found = map[string]Noted[WorkFound]{}
	}
	s.Found[b.Work] = Noted[WorkFound]{At: at, Body: *b}
	s.addPhotos(at, b.Photos)
}

func (b *WorkFound) words(PositionNamer) string {
	w := strings.TrimSuffix(partTitle(b.Title, plainWord(b.Work)), ".") + ": " + map[bool]string{true: "found worn, it is needed", false: "found sound, not needed"}[b.Needed] + "."
	if b.Remark != "" {
		w += " " + b.Remark
	}
	return w
}
