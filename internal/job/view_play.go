// SPDX-License-Identifier: Apache-2.0

package job

import (
	"maps"
	"strconv"
	"strings"

	"witnessmark/metrology"
	"witnessmark/units"
)

// SideView is the side clearance of a rod or a throw in words.
type SideView struct {
	At    int    // the position at which it is entered
	Name  string // "Throw 1" or "Position 3 (A2)"
	Rods  string // "positions 1 (A1) and 2 (B1)", "" for one rod
	Value *ValueView
}

// ThrustView is the choice of thrust washers in words.
type ThrustView struct {
	In      string // what is in, or was
	Gap     string
	Middle  string
	Choices []ThrustLine
	Why     string // what is missing, where nothing can be chosen
	Better  string // what to do where no choice fits
}

// ThrustLine is one way to fit washers.
type ThrustLine struct {
	Washers  string
	Float    string
	Spread   string
	Verdict  WordView
	Chance   string
	Best     bool
	Fit      string // thicknesses in mm and ids, to fit it in one go
	OffWords string // from the middle
}

var playPhrases = map[Code]phrase{
	PlayMissing: {what: func(v *shower, o Obstacle) string {
		if o.Of == OfEndFloat {
			return "The end float of the crankshaft is not read."
		}
		return "Side clearance is not read at " + places(o.Items) + "."
	}, how: func(v *shower, o Obstacle) string {
		if o.Of == OfEndFloat {
			return "Push the crankshaft to one end, set the indicator to zero, push it to the other; record what it shows."
		}
		return "Push the rods to one side and put feelers in the gap; record the thickest that goes in."
	}, who: whoTechnician, page: "play", state: stateTodo},
}

func init() { maps.Copy(phrases, playPhrases) }

// play gives an obstacle about an axial play its own page and its own remedy.
func (v *shower) play(w *ObstacleView, o Obstacle) {
	if o.Of != OfEndFloat && o.Of != OfSideClearance || o.Clearance == nil {
		return
	}
	w.Page = "play"
	switch {
	case o.Code == NotProven:
		w.How = "Read it again, with a gauge that spreads less; readings of the same thing combine."
	case o.Of == OfEndFloat:
		w.How = "Read it again; then choose other thrust washers, which the page works out. Otherwise an inspector can concede it."
	case o.Code == TooWide:
		w.How = "Read it again; then measure the width of the throw and of each rod to see which is worn. Otherwise an inspector can concede it."
	default:
		w.How = "Read it again; then look for a rod the wrong way round, a cap that is not its own or a burr on a cheek. Otherwise an inspector can concede it."
	}
}

func (v *shower) sides() []SideView {
	var out []SideView
	for _, s := range v.a.Sides {
		w := SideView{At: s.Positions[0], Name: sentenceCase(sideName(s.Throw, s.Positions, s.Per, v.basis.Namer()))}
		if len(s.Positions) > 1 {
			w.Rods = positionsNamed(s.Positions, v.basis.Namer())
		}
		if s.Read != nil {
			val := v.clearance(s.Read)
			w.Value = &val
		}
		out = append(out, w)
	}
	return out
}

// Title is the side's full name: "Throw 1, positions 1 (A1) and 2 (B1)".
func (s SideView) Title() string {
	if s.Rods == "" {
		return s.Name
	}
	return s.Name + ", " + s.Rods
}

func positionsNamed(ps []int, name PositionNamer) string {
	var out []string
	for _, p := range ps {
		out = append(out, name(p))
	}
	return "positions " + list(out)
}

func (v *shower) thrustView() *ThrustView {
	if v.basis.Sheet == nil || !v.basis.Sheet.EndFloat.Given() && len(v.s.Thrust) == 0 {
		return nil
	}
	t, err := ChooseThrust(v.s, v.basis, nil)
	return v.thrust(t, err)
}

// ShowThrust puts a choice of thrust washers into words; err says why there is
// none.
func ShowThrust(t *Thrust, err error, a Assessment, s State, b Basis, voice Voice) *ThrustView {
	return (&shower{a: a, s: s, basis: b, voice: voice}).thrust(t, err)
}

func (v *shower) thrust(t *Thrust, err error) *ThrustView {
	out := &ThrustView{}
	if n := len(v.s.Thrust); n > 0 {
		out.In = strings.TrimSuffix(v.s.Thrust[n-1].Body.words(nil), ".")
	}
	if err != nil {
		out.Why = sentence(err.Error())
		return out
	}
	out.Gap = "They and the end float share " + v.length(t.GapMM, 3) + ", good to ±" + v.length(2*t.GapU, 3) + "."
	out.Middle = v.length(t.MiddleMM, 3)
	fits := false
	for i, c := range t.Choices {
		fits = fits || c.Decision.Verdict == metrology.Within
		out.Choices = append(out.Choices, v.thrustLine(c, t.MiddleMM, i == 0))
	}
	if !fits {
		out.Better = v.thrustBetter(*t)
	}
	return out
}

func (v *shower) thrustLine(c ThrustChoice, middle float64, best bool) ThrustLine {
	clear := &Clearance{Of: OfEndFloat, Decision: c.Decision, Agree: true}
	word, state := verdictWords(clear)
	l := ThrustLine{Float: v.length(c.EndFloatMM, 3), Spread: "±" + v.length(2*c.U, 3), Verdict: WordView{word, state}, Best: best, Chance: v.chance(*clear),
		OffWords: v.length(abs(c.EndFloatMM-middle), 3) + " from the middle"}
	if c.EndFloatMM < 0 {
		l.Float, l.Spread, l.Chance = "none", "", "they do not go in"
	}
	var names, fit []string
	for _, w := range c.Washers {
		n := v.length(w.ThicknessMM, 3)
		if w.ID != "" {
			n += " (" + w.ID + ")"
		}
		names = append(names, n)
		fit = append(fit, units.Number(w.ThicknessMM, units.UnitMillimetre, 3)+" mm="+w.ID)
	}
	l.Washers, l.Fit = strings.Join(names, " + "), strings.Join(fit, ";")
	if len(names) == 2 && names[0] == names[1] {
		l.Washers = "2 × " + names[0]
	}
	return l
}

// thrustBetter says which thickness would bring the float to the middle.
func (v *shower) thrustBetter(t Thrust) string {
	n := len(t.Choices[0].Washers)
	each := "a shim of"
	if n == 2 {
		each = strconv.Itoa(n) + " washers that together make"
	}
	return "None of them is proven to fit. The middle of the limits takes " + each + " " + v.length(t.NeededMM, 3) + "."
}
