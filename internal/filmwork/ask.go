// SPDX-License-Identifier: Apache-2.0

package filmwork

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"

	"witnessmark/engine"
)

// Ask is everything that the film of a job rests on.
type Ask struct {
	Sheet     *engine.Sheet
	Positions []Position
}

// Position is one big end with what was measured of it; nil is not measured.
type Position struct {
	Position      int
	Cylinder      string
	Found, Fitted *Clearance
	Shape         *Shape
	// FoundRough and FittedRough are the measured roughness; nil is not measured.
	FoundRough, FittedRough *Roughness
}

// Roughness is the measured Ra of journal and shells in µm; 0 is not measured,
// and the sheet's stands in.
type Roughness struct {
	JournalUM float64 `json:"journal_Ra_um"`
	ShellUM   float64 `json:"shell_Ra_um"`
}

// Clearance is a measured diametral clearance.
type Clearance struct {
	MM       float64
	U        float64 // standard uncertainty, mm
	Censored string  // or_more, or_less: the end of the gauge's scale
}

// Shape is the measured form of journal and bore, differences of diameters in
// mm. Angles are in degrees in the sense of rotation: of the journal from the
// outermost point of its throw, of the bore from the rod towards the piston.
type Shape struct {
	JournalOvality   float64 `json:"journal_ovality_mm"`
	JournalOvalityAt float64 `json:"journal_ovality_at_deg"`
	JournalTaper     float64 `json:"journal_taper_mm"` // front less rear
	JournalBarrel    float64 `json:"journal_barrel_mm"`
	BoreOvality      float64 `json:"bore_ovality_mm"`
	BoreOvalityAt    float64 `json:"bore_ovality_at_deg"`
	U                float64 `json:"standard_uncertainty_mm"` // of each difference
}

// edition changes when the same ask may give other numbers.
const edition = 2

// Key names the ask by its content: the same sheet and the same readings have
// the same key, whoever asks and whenever.
func (a Ask) Key() string {
	hash := ""
	if a.Sheet != nil {
		hash = a.Sheet.Hash
	}
	// Positions hold numbers and words alone, which always encode.
	data, err := json.Marshal(struct {
		Edition   int
		Sheet     string
		Positions []Position
	}{edition, hash, a.Positions})
	if err != nil {
		return hash
	}
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:12])
}

// measured reports whether any position has a clearance.
func (a Ask) measured() bool {
	for _, p := range a.Positions {
		if p.Found != nil || p.Fitted != nil {
			return true
		}
	}
	return false
}
