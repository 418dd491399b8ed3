// SPDX-License-Identifier: Apache-2.0

package engine

import "witnessmark/units"

// Limit is a limit on a length, the usual kind.
type Limit = LimitOf[units.Length]

// BigEnd is the bearing between a rod and its journal. Clearances, ovality
// and taper are differences of diameters.
type BigEnd struct {
	Journal       Nominal[units.Length] `yaml:"journal,required"`
	Undersizes    []Undersize           `yaml:"undersizes"`
	HousingBore   Nominal[units.Length] `yaml:"housing_bore"`
	Width         Nominal[units.Length] `yaml:"width,required"` // along the journal, what carries load
	Clearance     Clearance             `yaml:"clearance,required"`
	Ovality       Limit                 `yaml:"ovality"` // of the journal
	Taper         Limit                 `yaml:"taper"`   // of the journal, over its width
	BoreOvality   Limit                 `yaml:"bore_ovality"`
	JournalFinish Value[units.Length]   `yaml:"journal_roughness"` // Ra
	LeastFilm     Limit                 `yaml:"least_film"`        // of oil, as calculated; seldom given
	Shell         Shell                 `yaml:"shell,required"`
}

// Clearance is the diametral running clearance.
type Clearance struct {
	New       Limit               `yaml:"new,required"`
	InService Limit               `yaml:"in_service"`
	Target    Value[units.Length] `yaml:"target"` // what a choice of shells aims at
}

// Undersize is a size to which the journal may be ground.
type Undersize struct {
	ID      string                `yaml:"id,required"`
	Journal Nominal[units.Length] `yaml:"journal,required"`
}

// Shell is one half of the bearing.
type Shell struct {
	Wall         Nominal[units.Length] `yaml:"wall,required"` // at the crown
	Grades       []Grade               `yaml:"grades"`
	CrushHeight  Nominal[units.Length] `yaml:"crush_height"` // of one half over its half of the bore
	FreeSpread   Nominal[units.Length] `yaml:"free_spread"`  // across the open ends, less the housing bore
	Roughness    Value[units.Length]   `yaml:"roughness"`    // Ra of the running surface
	Located      string                `yaml:"located"`      // "tang", "dowel" or "none"
	Different    bool                  `yaml:"upper_and_lower_differ"`
	OilHole      string                `yaml:"oil_hole"` // "none", "upper", "lower" or "both"
	Construction Construction          `yaml:"construction,required"`
}

// Grade is one of the walls in which shells are made.
type Grade struct {
	ID   string                `yaml:"id,required"`
	Half string                `yaml:"half"` // "upper", "lower" or "both" (the default)
	Mark string                `yaml:"mark"` // how it is marked, such as "two dots on the back"
	Wall Nominal[units.Length] `yaml:"wall,required"`
}

// Construction is what the shell is made of, from the running surface down,
// and what its wear looks like.
type Construction struct {
	Title  string  `yaml:"title,required"`
	Layers []Layer `yaml:"layers,required"`
	// Wear has five entries, for severity 0 (as new), 1 (polished),
	// 2 (overlay worn), 3 (next layer showing) and 4 (failed).
	Wear  []WearLevel `yaml:"wear,required"`
	Basis `yaml:"-"`
}

// Layer is one material of a shell.
type Layer struct {
	ID        string                `yaml:"id,required"`
	Material  string                `yaml:"material,required"`
	Thickness Nominal[units.Length] `yaml:"thickness"`
	Colour    string                `yaml:"colour"`
	Copper    bool                  `yaml:"copper"` // copper or bronze: once it shows, the journal is suspect
}

// WearLevel says what one severity means for this construction.
type WearLevel struct {
	Words string `yaml:"words,required"`
	Shows string `yaml:"shows,required"` // id of the layer that is seen
}

// WearWords returns the words for a severity from 0 to 4, or "".
func (c Construction) WearWords(severity int) string {
	if severity < 0 || severity >= len(c.Wear) {
		return ""
	}
	return c.Wear[severity].Words
}

// Layer returns the layer with this id.
func (c Construction) Layer(id string) (Layer, bool) {
	for _, l := range c.Layers {
		if l.ID == id {
			return l, true
		}
	}
	return Layer{}, false
}

// CopperShowsAt returns the least severity at which a copper or bronze layer
// is seen. ok is false for a construction that never shows one.
func (c Construction) CopperShowsAt() (severity int, ok bool) {
	for i, w := range c.Wear {
		if l, found := c.Layer(w.Shows); found && l.Copper {
			return i, true
		}
	}
	return 0, false
}

// Thrust is what holds the crankshaft along its length, and what it can be had in.
type Thrust struct {
	Fitted  int            `yaml:"fitted"` // washers or shims that share the end float, 1 or 2; 0: not said
	Washers []ThrustWasher `yaml:"washers"`
}

// ThrustWasher is one of the thicknesses in which thrust washers or shims are
// made.
type ThrustWasher struct {
	ID        string                `yaml:"id,required"`
	Mark      string                `yaml:"mark"` // how it is marked
	Thickness Nominal[units.Length] `yaml:"thickness,required"`
}

// SideClearance is the axial play of rods on a throw.
type SideClearance struct {
	Per   string `yaml:"per"` // "rod", or "throw" where the rods of a throw are measured together
	Limit Limit  `yaml:"limit,required"`
}

// PerThrow reports whether the rods that share a throw share one reading: the
// sheet says so, or says nothing and two rods stand on a throw.
func (s *Sheet) PerThrow() bool {
	if s.SideClearance.Per != "" {
		return s.SideClearance.Per == "throw"
	}
	for _, t := range s.Throws() {
		if len(t) > 1 {
			return true
		}
	}
	return false
}
