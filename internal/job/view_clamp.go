// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark/internal/draw"
	"witnessmark/units"
)

// ClampCaution stands wherever a clamp load or a joint at speed is shown.
const ClampCaution = "Calculated, not measured, and not an approval: the manufacturer’s tightening instructions prevail. Single-use and yield-tightened bolts are renewed, whatever the figures say."

// ClampView is the clamp load of one fastener in words.
type ClampView struct {
	Fastener string
	Title    string
	Missing  string // what the sheet lacks, or why it can't be computed
	Sides    []ClampSide
	Why      []string // why a final angle narrows it
	Bands    draw.Ranges
	Places   []ClampPlace
	Assumed  []string
	Notes    []string
	Joint    *JointView
}

// ClampSide is one way of tightening the bolt, beside others.
type ClampSide struct {
	How, Load, Likely, Ratio, Use string
}

// ClampPlace is the clamp load at one place.
type ClampPlace struct {
	Position int
	Place    string // "position 4 (B2), bolts a and b"
	Stages   string
	State    string // final, partial, measuring
	Word     string // "final", "final stages begun", "measuring"
	Load     string // "37.1 to 45.7 kN"
	Likely   string
	Ratio    string
	Yield    string
	Tools    string
	Problem  string
	Short    string // for the list of positions: "37.1 to 45.7 kN"
	Entries  string
}

// JointView is the joint at speed in words.
type JointView struct {
	Missing string
	Rests   string
	Crush   string
	Speeds  []JointLine
	Assumed []string
}

// JointLine is the joint at one speed.
type JointLine struct {
	Name, Speed, Parting, Share, Left, Separation, Fatigue, Yield string
	Closed                                                        WordView
	Says                                                          string
}

func (v *shower) clamps() []ClampView {
	var out []ClampView
	for _, c := range v.a.Clamps {
		out = append(out, v.clamp(c))
	}
	return out
}

func (v *shower) clamp(c FastenerClamp) ClampView {
	out := ClampView{Fastener: c.Fastener, Title: c.Title}
	switch {
	case len(c.Missing) > 0:
		out.Missing = "The engine sheet does not say enough for a clamp load. It lacks " + list(c.Missing) + "."
		return out
	case c.Problem != "":
		out.Missing = "The clamp load can’t be computed: " + c.Problem + "."
		return out
	}
	out.sides(v, c)
	for _, p := range c.Places {
		out.Places = append(out.Places, v.clampPlace(c, p))
	}
	out.Assumed, out.Notes = sentences(c.Asked.Assumptions), sentences(c.Asked.Notes)
	if c.Joint != nil {
		out.Joint = v.joint(*c.Joint)
	}
	return out
}

// sides puts the same bolt in each way beside each other.
func (o *ClampView) sides(v *shower, c FastenerClamp) {
	o.Bands = draw.Ranges{Title: c.Title + ": clamp load by the way it is tightened", Unit: "kN", Line: &draw.RangeLine{Value: c.Asked.Yield, Label: "least yield " + kN(c.Asked.Yield)}}
	add := func(how string, l ClampLoad, ink draw.Ink) {
		s := ClampSide{How: how, Load: loadWords(l), Likely: kN(l.Final.Likely), Ratio: ratio(l.ScatterRatio), Use: useWords(l)}
		o.Sides = append(o.Sides, s)
		o.Bands.Rows = append(o.Bands.Rows, draw.Range{Label: how, Low: l.Final.Min, Likely: l.Final.Likely, High: l.Final.Max, Text: s.Load + ", greatest over least " + s.Ratio, Ink: ink})
	}
	add("sheet: "+v.stagesAsked(c.Fastener), *c.Asked, draw.InkAct)
	seen := []string{}
	for _, p := range c.Places {
		if tools := toolWords(p.Tools); p.Load != nil && p.Complete && p.Tightening == Final && tools != "" && !slices.Contains(seen, tools) {
			seen = append(seen, tools)
			add("as tightened, with "+toolsShort(p.Tools), *p.Load, draw.InkAct)
		}
	}
	if c.Alone == nil {
		return
	}
	add("torque alone: "+number(c.Alone.TorqueNm, 1)+" N·m", c.Alone.ClampLoad, draw.InkWait)
	o.Why = whyAngle(c)
}

// whyAngle says why a final angle narrows the spread.
func whyAngle(c FastenerClamp) []string {
	w := []string{
		fmt.Sprintf("By torque alone, nine tenths of the torque go into friction, which nobody knows exactly: the greatest clamp load is %s times the least.", ratio(c.Alone.ScatterRatio)),
		fmt.Sprintf("With a final angle only the way to snug depends on friction; from there the thread’s pitch sets the load: %s times.", ratio(c.Asked.ScatterRatio)),
	}
	if c.Asked.PastYield {
		w = append(w, "Past yield the load no longer follows the angle either: what remains is the spread of the bolts’ own strength. Such a bolt is longer afterwards, and spent.")
	}
	return append(w, "By torque alone it is set as VDI 2230 would: 90 % of yield for the slipperiest, weakest bolt.")
}

func (v *shower) stagesAsked(fastener string) string {
	f, _ := v.basis.Sheet.Fastener(fastener)
	var w []string
	for _, s := range f.Stages {
		_, asks, ok := strings.Cut(StageTitle(f, s.ID), " · ")
		if ok {
			w = append(w, asks)
		}
	}
	return strings.Join(w, ", then ")
}

func (v *shower) clampPlace(c FastenerClamp, p PlaceLoad) ClampPlace {
	f, _ := v.basis.Sheet.Fastener(c.Fastener)
	out := ClampPlace{Position: p.Position, Place: "all", Tools: toolWords(p.Tools), Problem: p.Problem, Entries: entriesWords(p.Entries)}
	if p.Position != 0 {
		out.Place = "position " + positionName(p.Position, v.basis.cylinder(p.Position)) + ", " + boltsNamed(p.Bolts)
	}
	var stages []string
	for _, id := range p.Stages {
		stages = append(stages, StageTitle(f, id))
	}
	out.Stages = strings.Join(stages, "; ")
	switch {
	case p.Tightening == Measuring:
		out.State, out.Word = BoltMeasuring, "measuring"
	case p.Complete:
		out.State, out.Word = BoltFinal, "final"
	default:
		out.State, out.Word = BoltPartial, "final stages begun"
	}
	if l := p.Load; l != nil {
		out.Load, out.Likely, out.Ratio, out.Yield = loadWords(*l), kN(l.Final.Likely), ratio(l.ScatterRatio), useWords(*l)
		out.Short = out.Load
	}
	return out
}

func boltsNamed(names []string) string {
	if len(names) == 1 {
		return "bolt " + names[0]
	}
	return "bolts " + list(names)
}

// toolWords names tools with what their tolerance adds.
func toolWords(tools []ToolShare) string {
	var w []string
	for _, t := range tools {
		s := t.Tool
		switch {
		case t.Percent > 0:
			s += " ±" + trimmed(t.Percent, 1) + " % (" + t.From + ")"
		case t.Degrees > 0:
			s += " ±" + trimmed(t.Degrees, 1) + "°"
		default:
			s += " (tolerance not in the register)"
		}
		if !slices.Contains(w, s) {
			w = append(w, s)
		}
	}
	return strings.Join(w, ", ")
}

// toolsShort names tools with their tolerance alone.
func toolsShort(tools []ToolShare) string {
	short := slices.Clone(tools)
	for i := range short {
		short[i].From = ""
	}
	return strings.ReplaceAll(toolWords(short), " ()", "")
}

func loadWords(l ClampLoad) string {
	if number(l.Final.Min, 1) == number(l.Final.Max, 1) {
		return kN(l.Final.Min)
	}
	return number(l.Final.Min, 1) + " to " + kN(l.Final.Max)
}

// useWords say how far towards its yield a bolt is taken.
func useWords(l ClampLoad) string {
	w := fmt.Sprintf("%s to %s %% of the least yield strength while turning", number(l.Utilisation.Min, 0), number(l.Utilisation.Max, 0))
	if l.PastYield {
		w += ", past yield"
	}
	return w
}

func kN(x float64) string            { return number(x, 1) + " kN" }
func ratio(x float64) string         { return number(x, 2) }
func number(x float64, d int) string { return units.Number(x, units.UnitMillimetre, d) }
func trimmed(x float64, d int) string {
	return strings.TrimSuffix(number(x, d), "."+strings.Repeat("0", d))
}

func sentences(list []string) []string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = sentence(s)
	}
	return out
}

func (v *shower) joint(j RodJoint) *JointView {
	out := &JointView{Assumed: sentences(j.Assumptions)}
	switch {
	case len(j.Missing) > 0:
		out.Missing = "The engine sheet does not say enough for the joint at speed. It lacks " + list(j.Missing) + "."
		return out
	case j.Problem != "":
		out.Missing = "The joint at speed can’t be computed: " + j.Problem + "."
		return out
	}
	out.Rests = "Clamp load as the sheet’s stages would give it, " + number(j.Preload.Min, 1) + " to " + kN(j.Preload.Max) + " each bolt."
	if j.AsTightened {
		out.Rests = "Clamp load as tightened, over all positions: " + number(j.Preload.Min, 1) + " to " + kN(j.Preload.Max) + " each bolt."
	}
	if j.Crush != nil {
		out.Crush = "Of it the crush of the shells takes " + kN(*j.Crush) + " each bolt before the faces of the cap touch: " + v.crushFrom(j) + "."
	}
	for _, s := range j.Speeds {
		out.Speeds = append(out.Speeds, jointLine(s))
	}
	return out
}

// crushFrom says which crush the joint was worked out with.
func (v *shower) crushFrom(j RodJoint) string {
	const bySheet = "by the sheet, at its greatest crush height; "
	c := v.a.CrushMeasured
	if c == nil {
		return bySheet + "nobody measured it"
	}
	p, _ := v.a.Position(c.Position)
	if j.CrushFrom != CrushMeasured {
		return bySheet + fmt.Sprintf("the greatest that was measured is less, at position %s, but not every position was measured", positionName(c.Position, p.Cylinder))
	}
	return fmt.Sprintf("as measured at position %s, where the bore with its shells is %s wider than the housing less both walls, taken at the upper end of its spread",
		positionName(c.Position, p.Cylinder), v.length(c.GrowthMM, 3))
}

func jointLine(s JointSpeed) JointLine {
	l := JointLine{Name: map[string]string{"rated": "rated speed", "over": "over-speed"}[s.Name], Speed: number(s.RPM, 0) + " rpm", Parting: kN(s.PartingForce),
		Share: fmt.Sprintf("%s (%s %%)", kN(s.BoltShare), number(100*s.LoadFactor, 0)), Left: kN(s.ClampLeft), Separation: number(s.Separation, 1),
		Fatigue: number(s.Fatigue, 1), Yield: number(s.YieldUse, 0) + " %"}
	l.Closed = WordView{"stays closed", stateFits}
	if !s.Closed {
		l.Closed = WordView{"opens", stateOut}
	}
	l.Says = fmt.Sprintf("At %s %s pull at the cap. Each bolt gets %s of it, and %s are left on the parting line: %s.", l.Speed, l.Parting, kN(s.BoltShare), l.Left, l.Closed.Word)
	return l
}
