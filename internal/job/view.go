// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"
	"strings"
	"time"

	"witnessmark/internal/draw"
	"witnessmark/metrology"
	"witnessmark/units"
)

// View holds the decided words and rounded numbers of a job for page, report
// and text output alike, so that they cannot disagree.
type View struct {
	Number     string
	Vehicle    string
	Family     string
	Odometer   string
	Invented   bool
	Unit       string // of lengths
	Tabs       []Tab
	Limits     string // "0.030 to 0.060 mm"
	Positions  []PositionView
	AllFit     string
	Finding    *Finding // what needs attention most
	Checks     []CheckView
	Settings   []SettingView
	Stretches  []StretchView
	Clamps     []ClampView
	Traces     []TraceSetView
	EndFloat   *ValueView // as fitted
	FloatFound *ValueView // as found
	Thrust     *ThrustView
	Sides      []SideView
	Crush      []string // what crush does to the housing, by the sheet
	Mains      string
	Notices    []string // what must be said wherever the job is shown
	Strip      draw.Strip
	Next       string       // the one thing to do next
	NextAt     ObstacleView // where it is done: its page and position
	Waits      string       // what the job waits for, for the list of jobs
}

// Tab is one step of the job.
type Tab struct {
	Title string
	Page  string
	Done  bool
	Here  bool
	aside bool // it is not what the job waits for
}

// PositionView is one big end.
type PositionView struct {
	Position      int
	Cylinder      string
	Throw         int
	Name          string // "4 (B2)"
	Found, Fitted *ValueView
	Side          *ValueView
	Upper, Lower  WordView // wear
	Journal       WordView
	ShellUpper    string
	ShellLower    string
	ShellsDone    bool
	Bolts         []BoltView
	Verdict       WordView // as fitted
	Measured      []MeasuredView
	FromParts     *FromPartsView
	Excess        *ExcessView
	Running       *RunningView
}

// WordView is a word with its state.
type WordView struct {
	Word  string
	State string // fits, out, unproven, todo, soft
}

// BoltView is one bolt's place in words.
type BoltView struct {
	Bolt  string
	State string // none, measuring, partial, final
	Words string
}

// ValueView is a decided value.
type ValueView struct {
	Text     string // "0.068"
	Unit     string
	WithUnit string // "0.068 mm"
	Spread   string // "±0.006 mm"
	Limit    string // "0.030 to 0.060 mm"
	Verdict  WordView
	Headline string // "0.068 mm is too wide"
	Why      string // plain sentences
	Chance   string // the risk, where there is one worth saying
	Taper    string
	Readings string // "entries 12 and 14"
	Notes    []string
	Rule     string      // the rule and the confidence of the decision
	Study    string      // what a gauge study did to the decision
	Budget   *BudgetView // what drives the spread
}

// CheckView is one of the three checks.
type CheckView struct {
	Check    Check
	Title    string // "Ready to close up" or "Before you close up"
	Ready    bool
	Standing []ObstacleView
	Conceded []ObstacleView
}

// SettingView is one setting in words.
type SettingView struct {
	ID, Title string
	Position  int
	Read      string
	Limit     string
	Source    string
	Verdict   WordView
	Backlash  *BacklashView // read around its gear
	Problem   string        // why what was read around it can't be used
}

// Finding is the position that needs attention most.
type Finding struct {
	Position int
	Title    string // "Position 4, cylinder B2, as fitted"
	Value    ValueView
}

// Voice is how a reader wants things said.
type Voice struct {
	Units units.Preferences
	// Names are the people's names by id, as far as they are not erased.
	Names map[string]string
	Zone  *time.Location
}

type shower struct {
	a     Assessment
	s     State
	basis Basis
	voice Voice
}

// Show puts an assessment into words.
func Show(a Assessment, s State, b Basis, voice Voice) View {
	v := &shower{a: a, s: s, basis: b, voice: voice}
	out := View{
		Number: s.Number, Vehicle: s.Vehicle, Family: a.Family, Invented: a.Invented, Unit: v.unit().Symbol,
		Mains: "Main bearings not inspected.",
	}
	if s.Arrival != nil && s.Arrival.Body.Odometer != nil {
		out.Odometer = readText(*s.Arrival.Body.Odometer)
	}
	if a.MainsInspected {
		out.Mains = "Main bearings inspected."
	}
	if b.Sheet != nil {
		out.Limits = v.range_(b.Sheet.BigEnd.Clearance.New.Range())
	}
	for _, p := range a.Positions {
		out.Positions = append(out.Positions, v.position(p))
	}
	out.AllFit = v.allFit()
	out.Finding = v.finding(out.Positions)
	for _, c := range Checks {
		out.Checks = append(out.Checks, v.check(c))
	}
	for _, set := range a.Settings {
		out.Settings = append(out.Settings, v.setting(set))
	}
	out.Clamps, out.Traces, out.Stretches = v.clamps(), v.traces(), v.stretches()
	if a.EndFloat != nil {
		e := v.clearance(a.EndFloat)
		out.EndFloat = &e
	}
	if a.FloatFound != nil {
		e := v.clearance(a.FloatFound)
		out.FloatFound = &e
	}
	out.Sides, out.Thrust = v.sides(), v.thrustView()
	out.Crush = v.crush()
	out.Notices = v.notices()
	out.Strip = v.strip(out.Positions)
	out.Tabs = v.tabs()
	out.Next, out.Waits, out.NextAt = v.next()
	return out
}

func (v *shower) unit() units.Unit { return v.voice.Units.Unit(units.KindLength) }

// length prints millimetres in the reader's unit, with the decimals of what
// was read.
func (v *shower) length(mm float64, decimals int) string {
	return v.number(mm, decimals) + " " + v.unit().Symbol
}

func (v *shower) number(mm float64, decimals int) string {
	u := v.unit()
	if u != units.UnitMillimetre {
		decimals = units.DecimalsFor(math.Pow10(-decimals), u)
	}
	return units.Number(mm, u, decimals)
}

func (v *shower) range_(lo, hi float64) string {
	u := v.unit().Symbol
	switch {
	case math.IsInf(lo, -1) && math.IsInf(hi, 1):
		return ""
	case math.IsInf(hi, 1):
		return "at least " + v.number(lo, 3) + " " + u
	case math.IsInf(lo, -1):
		return "at most " + v.number(hi, 3) + " " + u
	}
	return v.number(lo, 3) + " to " + v.number(hi, 3) + " " + u
}

func (v *shower) person(id string) string {
	if n, ok := v.voice.Names[id]; ok && n != "" {
		return n
	}
	return "person " + id
}

func (v *shower) position(p PositionAssessment) PositionView {
	pv := PositionView{Position: p.Position, Cylinder: p.Cylinder, Throw: p.Throw, Name: positionName(p.Position, p.Cylinder), ShellUpper: "—", ShellLower: "—"}
	for _, c := range []struct {
		from *Clearance
		to   **ValueView
	}{{p.Found, &pv.Found}, {p.Fitted, &pv.Fitted}, {p.Side, &pv.Side}} {
		if c.from != nil {
			val := v.clearance(c.from)
			*c.to = &val
		}
	}
	v.measured(&pv, p)
	word, state := verdictWords(p.Fitted)
	pv.Verdict = WordView{word, state}
	for _, b := range p.Bolts {
		pv.Bolts = append(pv.Bolts, boltView(b))
	}
	pv.Upper, pv.Lower, pv.Journal = WordView{"not seen", stateTodo}, WordView{"not seen", stateTodo}, WordView{"not seen", stateTodo}
	if at := v.s.Positions[p.Position]; at != nil {
		v.seen(&pv, at)
	}
	return pv
}

func (v *shower) seen(pv *PositionView, at *Position) {
	if w := at.lastWear(Upper); w != nil {
		pv.Upper = wearView(w.Body, v.basis)
	}
	if w := at.lastWear(Lower); w != nil {
		pv.Lower = wearView(w.Body, v.basis)
	}
	if n := len(at.Journal); n > 0 {
		j := at.Journal[n-1].Body
		pv.Journal = WordView{list(plainWords(j.Features)), "soft"}
		if j.Damaged() {
			pv.Journal.State = stateOut
		}
	}
	if at.Shells != nil {
		pv.ShellUpper, pv.ShellLower = shellName(at.Shells.Body.Upper), shellName(at.Shells.Body.Lower)
		pv.ShellsDone = len(at.Shells.Body.Missing()) == 0
	}
}

func shellName(s Shell) string {
	for _, n := range []string{s.ID, s.Part} {
		if n != "" {
			return n
		}
	}
	return "fitted"
}

func wearView(w WearSeen, b Basis) WordView {
	state := "soft"
	switch {
	case w.NeedsJournal(0) || w.Severity >= 3:
		state = stateOut
	case w.Severity == 2:
		state = stateUnproven
	case len(w.Features) > 0:
		state = stateOut
	}
	return WordView{wearWords(w, b), state}
}

func boltView(b BoltSeen) BoltView {
	words := map[string]string{BoltNone: "no stage on record", BoltMeasuring: "on its measuring tightening",
		BoltPartial: "final stages begun", BoltFinal: "finally tightened"}[b.State]
	if b.Witness {
		words += ", witness mark seen"
	}
	return BoltView{Bolt: b.Bolt, State: b.State, Words: words}
}

// clearance puts a decided value into words.
func (v *shower) clearance(c *Clearance) ValueView {
	d := max(c.Decimals, 3)
	word, state := verdictWords(c)
	val := ValueView{Text: v.number(c.ValueMM, d), Unit: v.unit().Symbol, Verdict: WordView{word, state}, Readings: entriesWords(c.Readings)}
	switch c.Side {
	case string(metrology.OrMore):
		val.Text += " or more"
	case string(metrology.OrLess):
		val.Text += " or less"
	}
	val.WithUnit = val.Text + " " + val.Unit
	if c.Side == "" {
		val.Spread = "±" + v.length((c.HighMM-c.LowMM)/2, d)
	}
	if c.Min == nil && c.Max == nil {
		val.Verdict = WordView{"read", "soft"}
		val.Headline = val.WithUnit
		return val
	}
	val.Limit = v.range_(limitEnds(c))
	val.Headline = val.WithUnit + " " + map[string]string{"fits": "fits", "too wide": "is too wide", "too tight": "is too tight", "not proven": "is not proven"}[word]
	val.Chance = v.chance(*c)
	val.Why = v.why(*c, val)
	val.Notes = v.notes(*c)
	val.Rule, val.Study = rule(c.Decision), v.studyWords(*c)
	if c.Budget != nil && !c.ByParts {
		val.Budget = v.budget("What drives the spread of the clearance", *c.Budget)
	}
	if c.Taper != nil {
		val.Taper = "not resolved between front and rear"
		if c.Taper.Resolved {
			val.Taper = v.length(abs(c.Taper.ValueMM), d) + " wider at the " + map[bool]string{true: "front", false: "rear"}[c.Taper.ValueMM > 0]
		}
	}
	return val
}

func limitEnds(c *Clearance) (lo, hi float64) {
	lo, hi = math.Inf(-1), math.Inf(1)
	if c.Min != nil {
		lo = *c.Min
	}
	if c.Max != nil {
		hi = *c.Max
	}
	return lo, hi
}

// chance says the risk as people say it: beside every fits that is nearer
// than 95 %, and beside every other verdict.
func (v *shower) chance(c Clearance) string {
	switch c.Decision.Verdict {
	case metrology.Within:
		if c.Decision.Within >= 0.95 {
			return ""
		}
		return metrology.Odds(1-c.Decision.Within) + " that it is not"
	case metrology.NotProven:
		return v.outside(c)
	}
	return metrology.Odds(c.Decision.Within) + " that it is inside"
}

// outside says how likely the value is beyond its nearer limit.
func (v *shower) outside(c Clearance) string {
	switch {
	case c.Side != "":
		return "the gauge's scale ends there"
	case !c.Agree:
		return "its readings do not agree"
	case c.Decision.Above >= c.Decision.Below:
		return metrology.Odds(c.Decision.Above) + " that it is over"
	}
	return metrology.Odds(c.Decision.Below) + " that it is under"
}

func (v *shower) value(c Clearance) string { return v.clearance(&c).WithUnit }

// against names the value and the limit that it passes.
func (v *shower) against(c Clearance) string {
	lim := c.Max
	if c.Decision.Verdict == metrology.Below {
		lim = c.Min
	}
	if lim == nil {
		return v.value(c)
	}
	return v.value(c) + " against " + v.length(*lim, 3)
}

// why says in plain sentences what the verdict rests on.
func (v *shower) why(c Clearance, val ValueView) string {
	var w []string
	w = append(w, "Allowed: "+val.Limit+".")
	if c.Side == "" {
		s := "The reading is good to " + val.Spread
		if len(c.Readings) > 1 {
			s = count(len(c.Readings), "reading", "readings") + " together are good to " + val.Spread
			if c.ByParts {
				s = "Strip and measured parts together are good to " + val.Spread
			}
		}
		if val.Chance != "" {
			s += ": " + val.Chance
		}
		w = append(w, s+".")
	} else {
		w = append(w, "It is at the end of the gauge's scale, which never proves a fit.")
	}
	return strings.Join(w, " ")
}

// notes are what must be said beside the decision.
func (v *shower) notes(c Clearance) []string {
	var n []string
	if c.LimitUnchecked {
		n = append(n, "The limit has not been checked against its source.")
	}
	if c.Assumed {
		n = append(n, "The gauge's spread is assumed; a gauge study would say better.")
	}
	if w := v.studyWords(c); w != "" {
		n = append(n, w)
	}
	if c.Contradicted {
		n = append(n, "Strip and measured parts say different clearances, so nothing is proven.")
	}
	if c.Decision.From == Assumed {
		n = append(n, "Confidence "+percent(c.Decision.Confidence)+", assumed. "+ruleName(c.Decision.Confidence))
	} else {
		n = append(n, "Confidence "+percent(c.Decision.Confidence)+", set by the "+map[string]string{FromLimit: "engine sheet", FromWorkshop: "workshop"}[c.Decision.From]+". "+ruleName(c.Decision.Confidence))
	}
	if !c.Agree {
		n = append(n, "The readings do not agree with each other; the spread was widened.")
	}
	return n
}

func percent(p float64) string {
	return strings.TrimSuffix(strings.TrimRight(units.Number(p*100, units.UnitMillimetre, 2), "0"), ".") + " %"
}
