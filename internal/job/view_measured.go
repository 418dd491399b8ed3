// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"witnessmark/internal/draw"
	"witnessmark/metrology"
)

// MeasuredView is one measured part in words.
type MeasuredView struct {
	Part    string // its code
	Title   string // "Housing bore"
	Phase   string
	Size    string // "56.0214 mm"
	Spread  string
	Limit   string
	Verdict WordView // within the sheet's size of a new part
	Facts   []Fact
	Budget  *BudgetView
}

// Fact is one line about a part: what, how much, and what must be said of it.
type Fact struct {
	What, Value, Note string
	State             string
}

// BudgetView is what drives a spread, as bars and as a table.
type BudgetView struct {
	Title string
	Bars  draw.Bars
	Rows  []BudgetRow
	Words []string
}

// BudgetRow is one line of the table.
type BudgetRow struct{ Name, Type, Shape, Freedom, Brings, Share string }

// FromPartsView is a clearance from measured parts in words.
type FromPartsView struct {
	Value, Spread string
	Way           string
	Verdict       WordView // agree or not
	Beside        []string
	Budget        BudgetView
}

// RunningView is the clearance hot, in words.
type RunningView struct {
	Value string
	Words []string
}

// ExcessView leads from a clearance that is off to what explains it.
type ExcessView struct {
	Title     string // "0.025 mm above the middle of the limits"
	Step      string
	Next      string // the one thing to do next
	Measure   string // code of the part to measure next
	Questions []QuestionView
	Words     []string
	Bars      draw.Bars // what the readings shift
	Carried   []Fact
	Confirmed string
}

// QuestionView is one of the first questions.
type QuestionView struct {
	Code, Ask string
	Answer    string // "", "clear" or "found"
}

var questionAsks = map[string]string{
	"right_shell": "Right shells: size, grade, upper and lower as marked?",
	"dirt":        "Dirt: seats and shell backs clean and dry?",
	"tang":        "Tangs in their slots, shells flush at the joint?",
	"own_cap":     "This rod’s own cap, the right way round?",
	"full_angle":  "Bolts taken through the full torque and angle?",
	"strip":       "Strip whole: not smeared, torn or past its date?",
	"crank_moved": "Crank stood still while the strip was in?",
}

// measured puts what was measured at a position into words.
func (v *shower) measured(pv *PositionView, p PositionAssessment) {
	for _, m := range p.Parts {
		pv.Measured = append(pv.Measured, v.part(m))
	}
	if p.FromParts != nil {
		f := v.fromParts(*p.FromParts)
		pv.FromParts = &f
	}
	if p.Excess != nil {
		e := v.excess(*p.Excess)
		pv.Excess = &e
	}
	if p.Running != nil {
		r := v.running(*p.Running)
		pv.Running = &r
	}
}

func (v *shower) part(m Measured) MeasuredView {
	d := max(m.decimals, 3) + 1
	out := MeasuredView{Part: m.Part, Title: capital(ofWords[m.Part]), Phase: m.Phase, Size: v.length(m.SizeMM, d), Spread: "±" + v.length((m.HighMM-m.LowMM)/2, d)}
	if m.Decision != nil {
		lo, hi := math.Inf(-1), math.Inf(1)
		if m.Min != nil {
			lo = *m.Min
		}
		if m.Max != nil {
			hi = *m.Max
		}
		out.Limit = "new: " + v.range_(lo, hi)
		if m.Undersize != "" {
			out.Limit = "new, undersize " + m.Undersize + ": " + v.range_(lo, hi)
		}
		out.Verdict = sizeWords(m.Decision.Verdict)
	}
	out.Facts = v.partFacts(m, d)
	if m.Budget != nil {
		out.Budget = v.budget("What drives the spread of the "+ofWords[m.Part], *m.Budget)
	}
	return out
}

func sizeWords(d metrology.Verdict) WordView {
	switch d {
	case metrology.Within:
		return WordView{"within the size of a new part", stateFits}
	case metrology.Above:
		return WordView{"larger than a new part", stateOut}
	case metrology.Below:
		return WordView{"smaller than a new part", stateOut}
	}
	return WordView{"at the edge of the size of a new part", stateUnproven}
}

func (v *shower) partFacts(m Measured, d int) []Fact {
	var out []Fact
	if len(m.Planes) > 1 {
		for _, p := range m.Planes {
			out = append(out, Fact{What: capital(p.Plane), Value: v.length(p.SizeMM, d), Note: "±" + v.length(2*p.U, d) + ", " + count(p.N, "reading", "readings")})
		}
	}
	if o := m.Ovality; o != nil {
		f := Fact{What: "Ovality", Value: v.length(o.ValueMM, d) + " ±" + v.length(2*o.U, d), State: formState(o.Decision)}
		f.Note = fmt.Sprintf("greatest at %.0f°; a perfectly round one would show %s in this fit, and %s as greatest less least (read: %s)",
			o.Direction, v.length(o.BiasMM, d), v.length(o.RangeBiasMM, d), v.length(o.RangeMM, d))
		if o.Max != nil {
			f.Note += "; allowed " + v.length(*o.Max, 3)
		}
		out = append(out, f)
	} else if len(m.Planes) > 0 && m.Planes[0].RangeMM > 0 {
		p := m.Planes[0]
		out = append(out, Fact{What: "Greatest less least", Value: v.length(p.RangeMM, d), Note: "a perfectly round one would show " + v.length(p.RangeBiasMM, d) + " on average; three directions and more tell an oval"})
	}
	if t := m.Taper; t != nil {
		at := "larger at the " + map[bool]string{true: "front", false: "rear"}[t.ValueMM > 0]
		if abs(t.ValueMM) < 2*t.U {
			at = "no more than its spread"
		}
		out = append(out, Fact{What: "Taper", Value: v.length(abs(t.ValueMM), d) + " ±" + v.length(2*t.U, d), Note: at, State: formState(t.Decision)})
	}
	if o := m.Outlier; o != nil && o.Suspect {
		where := o.Plane
		if o.Angled {
			where = strings.TrimSpace(where + fmt.Sprintf(" at %.0f°", o.AngleDeg))
		}
		note := fmt.Sprintf("Grubbs’ test at 5 %%: G %.2f above %.2f; it still counts: correct it if it is a slip", o.G, o.Critical)
		if o.OfResiduals {
			note += "; made on the distances from the oval, so roughly"
		}
		out = append(out, Fact{What: "Farthest off", Value: strings.TrimSpace(v.length(o.ValueMM, d) + " " + where), Note: note, State: stateUnproven})
	}
	out = append(out, v.readFacts(m)...)
	return out
}

// readFacts say how it was read.
func (v *shower) readFacts(m Measured) []Fact {
	from := map[string]string{SpreadStudy: "spread of a reading from the gauge study", SpreadStated: "spread of a reading as the register or the reading states it",
		SpreadAssumed: "spread of a reading assumed: one step of the scale; a gauge study would say better", SpreadOwn: "spread from the readings’ own scatter"}[m.SpreadFrom]
	if m.PersonsUnknown {
		from += "; of one person, what another would read is not known"
	}
	what := count(m.N, "reading", "readings")
	if len(m.Gauges) > 0 {
		what += " with " + list(m.Gauges)
	}
	out := []Fact{{What: "Read", Value: what, Note: from}}
	f := Fact{What: "Temperature", Value: "not given", Note: "taken as 20 °C"}
	if m.PartCelsius != nil {
		f = Fact{What: "Temperature", Value: strconv.FormatFloat(*m.PartCelsius, 'g', -1, 64) + " °C", Note: "reduced to 20 °C (ISO 1)"}
	}
	out = append(out, f)
	for _, k := range m.Kept {
		out = append(out, Fact{What: "Questioned", Value: "kept all the same", Note: k, State: stateUnproven})
	}
	return out
}

func formState(d *Decision) string {
	if d == nil {
		return ""
	}
	return map[metrology.Verdict]string{metrology.Within: stateFits, metrology.Above: stateOut}[d.Verdict]
}

// budget draws what drives a spread.
func (v *shower) budget(title string, b Budgeted) *BudgetView {
	out := &BudgetView{Title: title, Bars: draw.Bars{Title: title}}
	for _, l := range b.Lines {
		name := l.Name
		if l.Assumed {
			name += " (assumed)"
		}
		freedom := "∞"
		if l.DegreesOfFreedom != nil {
			freedom = strconv.FormatFloat(*l.DegreesOfFreedom, 'f', 0, 64)
		}
		share := fmt.Sprintf("%.0f %%", 100*l.Share)
		out.Rows = append(out.Rows, BudgetRow{Name: capital(name), Type: l.Type, Shape: l.Shape, Freedom: freedom, Brings: v.small(l.ContributionMM), Share: share})
		if l.Share >= 0.005 {
			out.Bars.Rows = append(out.Bars.Rows, draw.Bar{Label: capital(l.Name), Value: l.ContributionMM, Text: v.small(l.ContributionMM) + ", " + share})
		}
	}
	out.Words = v.budgetWords(b)
	return out
}

// small prints a spread in micrometres, or in the reader's unit.
func (v *shower) small(mm float64) string {
	if v.unit().Symbol == "mm" {
		return micro(mm) + " µm"
	}
	return v.length(mm, 4)
}

func (v *shower) budgetWords(b Budgeted) []string {
	w := []string{fmt.Sprintf("Standard uncertainty %s; 95 %% lie within ±%s (JCGM 100, factor %.2f).", v.small(b.U), v.small((b.HighMM-b.LowMM)/2), b.Factor)}
	if t := b.MonteCarlo; t != nil {
		s := fmt.Sprintf("%s trials (JCGM 101) agree with it to ±%s.", thousands(t.Trials), v.small(t.Tolerance))
		if t.Decides {
			s = fmt.Sprintf("%s trials (JCGM 101) differ from it by more than ±%s: the trials decide, standard uncertainty %s.", thousands(t.Trials), v.small(t.Tolerance), v.small(t.U))
		}
		w = append(w, s)
	}
	d := driver(b)
	if d == nil {
		return w
	}
	s := capital(d.Name) + " drives it most."
	switch {
	case b.Better != nil && b.Better.With != "":
		s += fmt.Sprintf(" With %s in place of %s for the %s it would be %s.", b.Better.With, b.Better.Gauge, b.Better.Line, v.small(b.Better.U))
	case b.Better != nil:
		s += fmt.Sprintf(" A gauge of half the spread in place of %s for the %s would bring it to %s; the register has none finer.", b.Better.Gauge, b.Better.Line, v.small(b.Better.U))
	case strings.HasPrefix(d.Name, "growth"):
		s += " Measuring the bore with the shells in, cap torqued, does without it."
	case strings.HasPrefix(d.Name, "repeatability of"):
		s += " A second strip, or the parts with a finer gauge, shrinks it."
		if d.Assumed {
			s += " It is assumed: a gauge study says how large it is."
		}
	case strings.HasPrefix(d.Name, "between two bars"):
		s += " A finer scale, or a measured width, shrinks it."
	}
	return append(w, s)
}

func thousands(n int) string {
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

func (v *shower) fromParts(f FromParts) FromPartsView {
	out := FromPartsView{Value: v.length(f.ValueMM, 4), Spread: "±" + v.length((f.Budget.HighMM-f.Budget.LowMM)/2, 4)}
	out.Way = "bore with the shells in, cap torqued, less journal"
	if f.Way == OfHousingBore {
		out.Way = "housing bore less journal and two walls, plus " + v.length(*f.GrowthMM, 3) + " by which crush widens the bore"
	}
	out.Budget = *v.budget("What drives the spread of the clearance from parts", *f.Budget)
	b := f.Beside
	if b == nil {
		return out
	}
	out.Beside = append(out.Beside, fmt.Sprintf("The strip reads %s. Normalised error %.2f (ISO 13528; up to 1 they agree).", v.length(b.StripMM, 3), abs(b.NormalisedError)))
	if b.Agree {
		out.Verdict = WordView{"they agree", stateFits}
		out.Beside = append(out.Beside, fmt.Sprintf("Together: %s, standard uncertainty %s.", v.length(*b.CombinedMM, 4), v.small(*b.CombinedU)))
		return out
	}
	out.Verdict = WordView{"they do not agree", stateOut}
	again := map[string]string{"strip": "the strip", "parts": "the parts"}[b.Repeat]
	out.Beside = append(out.Beside, "Repeat "+again+": "+b.Why+".")
	return out
}

func (v *shower) running(r Running) RunningView {
	out := RunningView{Value: v.length(r.ClearanceMM, 3)}
	change := "as at 20 °C"
	switch {
	case r.ChangeMM > 0.0005:
		change = v.length(r.ChangeMM, 3) + " more than at 20 °C"
	case r.ChangeMM < -0.0005:
		change = v.length(-r.ChangeMM, 3) + " less than at 20 °C"
	}
	out.Words = append(out.Words, fmt.Sprintf("At %g °C, by the expansions of journal, shells and housing: %s. A calculation (ISO 7902-1), not a limit.", r.Celsius, change))
	switch {
	case r.Loose:
		out.Words = append(out.Words, "No crush is left at that temperature: nothing holds the shells.")
	case r.PressureMPa > 0:
		out.Words = append(out.Words, fmt.Sprintf("The shells press on their housing with %.0f MPa then.", r.PressureMPa))
	}
	return out
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// The rules that a decision can follow.
const (
	RuleISO14253 = "ISO 14253-1:2017" // proven with 95 %
	RuleJCGM106  = "JCGM 106:2012"
)

func ruleOf(confidence float64) string {
	if confidence >= 0.95-1e-9 && confidence <= 0.95+1e-9 {
		return RuleISO14253
	}
	return RuleJCGM106
}

// ruleName says the rule that a decision follows.
func ruleName(confidence float64) string {
	if ruleOf(confidence) == RuleISO14253 {
		return "Rule: ISO 14253-1 (proven with 95 %), by JCGM 106."
	}
	return "Rule: JCGM 106, proven when the chance reaches the confidence."
}

func rule(d Decision) string {
	if d.Confidence == 0 {
		return ""
	}
	return ruleName(d.Confidence) + " Confidence " + percent(d.Confidence) + "."
}

// studyWords says what a gauge study did to a decision.
func (v *shower) studyWords(c Clearance) string {
	e := c.Study
	if e == nil {
		return ""
	}
	now, was := c.standard(), e.U
	w := fmt.Sprintf("Spread by the gauge study of %s, %s", list(e.Gauges), e.Date)
	if e.Persons > 0 {
		w += ", " + count(e.Persons, "person", "persons")
	}
	w += fmt.Sprintf(": standard uncertainty %s, not the %s assumed before.", v.small(now), v.small(was))
	if e.PersonsDrive {
		w += " Persons differ more than one person’s readings do."
	}
	without := verdictWord(e.Verdict)
	if e.Verdict != c.Decision.Verdict {
		w += fmt.Sprintf(" Without the study it would be ‘%s’; with it, it is ‘%s’.", without, verdictWord(c.Decision.Verdict))
	}
	return w
}

func verdictWord(d metrology.Verdict) string {
	w, _ := verdictWords(&Clearance{Decision: Decision{Verdict: d}})
	return w
}

// crush says what the crush of the sheet's shells does.
func heldAgainst(all bool) string {
	if all {
		return "the joint at speed is held against that"
	}
	return "the joint at speed is held against the greater of that and the sheet’s, until every position is measured"
}

func (v *shower) crush() []string {
	c := v.a.Crush
	if c == nil {
		return nil
	}
	w := fmt.Sprintf("Crush by the sheet, taken as thick rings (Lamé): interference %s, contact pressure %.1f MPa, the housing grows by %s and the bore inside the shells by %s.",
		v.length(c.InterferenceMM, 3), c.PressureMPa, v.length(c.HousingMM, 3), v.length(c.BoreMM, 3))
	if c.From == "free_spread" {
		w = "Only the free spread is known, which presses far less than crush: " + fmt.Sprintf("contact pressure at least %.2f MPa.", c.PressureMPa)
	}
	out := []string{w, fmt.Sprintf("It takes %.1f kN off each parting face, which the bolts must hold beside the load.", c.FaceLoadN/1000)}
	if m := v.a.CrushMeasured; m != nil {
		p, _ := v.a.Position(m.Position)
		out = append(out, fmt.Sprintf("As measured at position %s the bore grows by %s ±%s, which takes %.1f kN off each parting face, at most %.1f kN; %s.",
			positionName(m.Position, p.Cylinder), v.length(m.GrowthMM, 3), v.length(2*m.GrowthU, 3), m.FaceLoadN/1000, m.MostN/1000, heldAgainst(m.All)))
	}
	return out
}
