// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"strings"

	"witnessmark/internal/draw"
	"witnessmark/metrology"
)

// allFit says the chance that every position fits.
func (v *shower) allFit() string {
	if v.a.AllFit == nil {
		return ""
	}
	p := v.a.AllFit.Independent
	if p >= 0.5 {
		return "Chance that all positions fit: " + percent(roundTo(p, 2)) + ", taking the readings as independent."
	}
	return "Chance that all positions fit: " + metrology.Odds(p) + ", taking the readings as independent."
}

// roundTo rounds a probability to digits after the point, but never up to
// certainty.
func roundTo(p float64, digits int) float64 {
	scale := 1.0
	for range digits {
		scale *= 10
	}
	return min(float64(int(p*scale+0.5))/scale, 1-1/scale)
}

// finding picks what needs attention most: too wide or tight before not
// proven, as fitted before as found.
func (v *shower) finding(positions []PositionView) *Finding {
	for _, state := range []string{stateOut, stateUnproven} {
		for _, p := range positions {
			if p.Fitted != nil && p.Verdict.State == state && !v.settled(p.Position) {
				val := *p.Fitted
				if p.Found != nil && p.Found.Verdict.State == stateOut && state == stateOut {
					val.Why += " It read " + p.Found.WithUnit + " with the old shells too, so what both share comes first: bore and journal."
				}
				return &Finding{Position: p.Position, Title: fmt.Sprintf("Position %d, cylinder %s, as fitted", p.Position, p.Cylinder), Value: val}
			}
		}
	}
	return nil
}

// settled reports whether a position's clearance was let stand.
func (v *shower) settled(position int) bool {
	for _, o := range v.a.Obstacles {
		if o.Position == position && o.Conceded != nil && (o.Code == TooWide || o.Code == TooTight || o.Code == NotProven) {
			return true
		}
	}
	return false
}

var checkTitles = map[Check][2]string{
	CloseUp:  {"Ready to close up", "Before you close up"},
	Start:    {"Ready to start", "Before you start it"},
	Handover: {"Ready to hand over", "Before you hand over"},
}

// check lists what stands in the way of one check; each check shows what the
// ones before it do not.
func (v *shower) check(c Check) CheckView {
	view := CheckView{Check: c, Ready: v.a.Ready(c), Title: checkTitles[c][1]}
	if view.Ready {
		view.Title = checkTitles[c][0]
	}
	for _, o := range v.a.Obstacles {
		if o.Check != c {
			continue
		}
		if o.Conceded != nil {
			view.Conceded = append(view.Conceded, v.obstacle(o))
			continue
		}
		view.Standing = append(view.Standing, v.obstacle(o))
	}
	view.Standing = group(view.Standing)
	return view
}

// group puts obstacles of one code into one line with a count: "Positions 7
// and 8 are not measured with the new shells".
func group(all []ObstacleView) []ObstacleView {
	var out []ObstacleView
	at := map[string]int{}
	for _, o := range all {
		say, ok := grouped[o.Code]
		if !ok || o.Position == 0 && say.things == "" || o.Position != 0 && say.positions == "" {
			out = append(out, o)
			continue
		}
		kind := string(o.Code)
		if o.Position == 0 {
			kind += "/things"
		}
		i, seen := at[kind]
		if !seen {
			at[kind] = len(out)
			o.group, o.subjects = []int{o.Position}, []string{o.subject}
			out = append(out, o)
			continue
		}
		out[i].join(o, say)
	}
	return out
}

// join makes one line stand for one more obstacle of its code.
func (g *ObstacleView) join(o ObstacleView, say plural) {
	g.group, g.subjects = append(g.group, o.Position), append(g.subjects, o.subject)
	g.Mark, g.Key, g.Concedable, g.Several = fmt.Sprint(len(g.group)), "", false, true
	if o.Position == 0 {
		g.What = sentence(list(g.subjects) + " " + say.things)
		return
	}
	g.Position = 0
	g.What = sentence(positions(g.group) + " " + say.positions)
}

// plural is how several obstacles of one code read: of positions, and of
// other things. An empty one is not put together.
type plural struct{ positions, things string }

var grouped = map[Code]plural{
	NotRead:         {"are not measured with the new shells", ""},
	ReadUntightened: {"were read as fitted, but no full tightening of the cap was on record by then", ""},
	ShellsMissing:   {"have no shells fitted on record", ""},
	MeasuringIn:     {"are still on their measuring tightening", ""},
	StageMissing:    {"have final stages missing", "have final stages missing"},
	WitnessMissing:  {"have no witness mark seen", "have no witness mark seen"},
	SettingMissing:  {"have a setting that is not recorded", "are not recorded"},
	RunMissing:      {"", "are not on record"},
	PartMissing:     {"", "are not in hand"},
	PartLeft:        {"", "came and are neither fitted nor returned on record"},
	ToolNotBack:     {"", "are borrowed and not given back"},
	OperationOff:    {"", "are still apart by the record"},
}

func (v *shower) setting(s SettingAssessment) SettingView {
	out := SettingView{ID: s.Setting, Title: s.Title, Position: s.Position, Read: s.Text, Limit: s.Limit, Source: s.Source, Verdict: WordView{"not made", stateTodo}}
	if s.Problem != "" {
		out.Verdict, out.Problem = WordView{"not usable", stateUnproven}, sentence(s.Problem)
	}
	if s.Decision == nil {
		return out
	}
	switch s.Decision.Verdict {
	case metrology.Within:
		out.Verdict = WordView{"within", stateFits}
	case metrology.NotProven:
		out.Verdict = WordView{"not proven", stateUnproven}
	default:
		out.Verdict = WordView{"out of limits", stateOut}
	}
	if s.Backlash != nil {
		out.Backlash = v.backlash(*s.Backlash, out.Verdict)
	}
	return out
}

// Precedence is said on every sheet and report.
const Precedence = "The manufacturer’s current service information, local rules and licensed practice prevail over anything shown here."

// InventedNotice is said wherever demonstration data is shown.
const InventedNotice = "Invented for demonstration: no real engine, person, part or place."

func (v *shower) notices() []string {
	var n []string
	if v.a.Invented {
		n = append(n, InventedNotice)
	}
	if len(v.s.Unknown) > 0 {
		n = append(n, count(len(v.s.Unknown), "entry is", "entries are")+" of a kind that this version does not know. They are kept and shown in the record.")
	}
	return n
}

// strip is the drawing of the crankshaft with every position.
func (v *shower) strip(positions []PositionView) draw.Strip {
	s := draw.Strip{Title: "Big-end clearance along the crank", Unit: v.unit().Symbol, Decimals: v.decimals()}
	if v.basis.Sheet != nil {
		l := v.basis.Sheet.BigEnd.Clearance.New
		if l.Min != nil {
			s.Min = &draw.Limit{Value: v.unit().FromCanonical(float64(*l.Min))}
		}
		if l.Max != nil {
			s.Max = &draw.Limit{Value: v.unit().FromCanonical(float64(*l.Max))}
		}
	}
	for i, p := range v.a.Positions {
		col := draw.StripColumn{Position: p.Position, Cylinder: p.Cylinder, Throw: p.Throw, Verdict: positions[i].Verdict.Word}
		col.AsFound = v.point(p.Found, positions[i].Found)
		if col.AsFitted = v.point(p.Fitted, positions[i].Fitted); col.AsFitted == nil {
			col.AsFitted = &draw.Point{State: draw.Todo}
		}
		s.Columns = append(s.Columns, col)
	}
	return s
}

func (v *shower) decimals() int {
	d := 3
	if !strings.HasPrefix(v.unit().Symbol, "mm") {
		d = 4
	}
	return d
}

func (v *shower) point(c *Clearance, val *ValueView) *draw.Point {
	if c == nil {
		return nil
	}
	u := v.unit()
	return &draw.Point{Value: u.FromCanonical(c.ValueMM), Low: u.FromCanonical(c.LowMM), High: u.FromCanonical(c.HighMM),
		State: val.Verdict.State, Label: val.Text}
}

// tabs are the steps of the job with how far each has come.
func (v *shower) tabs() []Tab {
	s, a := v.s, v.a
	measured := len(a.Positions) > 0
	assembled := true
	for _, o := range a.Obstacles {
		switch o.Code {
		case NotRead, NoSheet:
			measured = false
		case MeasuringIn, StageMissing, WitnessMissing, ShellsMissing, SettingMissing, LookMissing:
			assembled = false
		}
	}
	stripped := measured || len(s.Readings) > 0 || hasDirection(s, "strip")
	tabs := []Tab{
		{Title: "Agree", Page: "agree", Done: len(s.Authorities) > 0, aside: s.Estimate == nil},
		{Title: "Arrival", Page: "arrival", Done: s.Arrival != nil},
		{Title: "Parts", Page: "parts", Done: v.partsHere(), aside: s.Scope == nil && len(s.Supply) == 0},
		{Title: "Strip", Page: "strip", Done: stripped},
		{Title: "Measure", Page: "", Done: measured},
		{Title: "Assemble", Page: "assemble", Done: measured && assembled},
		{Title: "Run", Page: "run", Done: a.Start && runDone(a)},
		{Title: "Hand over", Page: "handover", Done: s.Handover != nil},
	}
	for i := range tabs {
		if !tabs[i].Done && !tabs[i].aside {
			tabs[i].Here = true
			break
		}
	}
	return tabs
}

// partsHere reports whether parts are tracked and none is missing.
func (v *shower) partsHere() bool {
	for _, o := range v.a.Obstacles {
		if o.Code == PartMissing || o.Code == PartQuestioned {
			return false
		}
	}
	return len(v.s.Supply) > 0
}

func hasDirection(s State, d string) bool {
	for _, o := range s.Operations {
		if o.Body.Direction == d {
			return true
		}
	}
	return false
}

func runDone(a Assessment) bool {
	for _, o := range a.Obstacles {
		if (o.Code == RunMissing || o.Code == RunFailed || o.Code == RunOut) && o.Conceded == nil {
			return false
		}
	}
	return true
}

// next says the one thing to do next, and what the job waits for.
func (v *shower) next() (next, waits string, at ObstacleView) {
	if v.s.Handover != nil {
		return "Handed over.", "handed over", at
	}
	if page, step := v.early(); page != "" {
		return step[0], step[1], ObstacleView{Page: page}
	}
	for i, c := range Checks {
		view := v.check(c)
		if len(view.Standing) == 0 {
			continue
		}
		first := view.Standing[0]
		for _, o := range view.Standing {
			if o.State == stateOut {
				first = o
				break
			}
		}
		if len(first.group) > 0 {
			first.Position = first.group[0]
		}
		return first.How, []string{"closing up", "starting", "handing over"}[i] + " waits: " + first.What, first
	}
	return "Hand the job over.", "ready to hand over", ObstacleView{Page: "handover"}
}

// early is what a job waits for before anything is taken apart. What is already
// known to be wrong comes first.
func (v *shower) early() (page string, step [2]string) {
	if len(v.s.Readings) > 0 || len(v.s.Operations) > 0 {
		return "", step
	}
	for _, c := range Checks {
		for _, o := range v.check(c).Standing {
			if o.State == stateOut {
				return "", step
			}
		}
	}
	for _, t := range v.tabs() {
		if step, ok := earlySteps[t.Page]; ok && t.Here {
			return t.Page, step
		}
	}
	return "", step
}

// earlySteps are, by the page of a step, what to do and what the job waits for.
var earlySteps = map[string][2]string{
	"agree":   {"Agree the work and its price with the owner.", "the owner has not agreed to the work yet"},
	"arrival": {"Record the condition on arrival.", "the condition on arrival is not on record"},
	"parts":   {"See which parts are still to come.", "parts are still to come"},
	"strip":   {"Strip it, and record each operation.", "the strip has not begun"},
}

// Line is one entry of the record in words.
type Line struct {
	Seq        int64
	ID         string
	Kind       string
	Title      string
	Words      string // as it was written
	Now        string // as it stands, corrections counted
	Person     string
	Time       string // device time, as the workshop's clock shows it
	Received   string
	ClockOff   string // the device's clock was off by more than 5 minutes
	Position   int
	Replaced   []Line // the corrections of it, oldest first
	Replaces   int64
	Withdrawn  bool
	Unknown    bool
	Commitment string // of the words beside the log
	Photos     []string
	Raw        string
}
