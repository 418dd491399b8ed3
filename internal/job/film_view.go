// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"slices"

	"witnessmark/internal/draw"
	"witnessmark/internal/filmwork"
	"witnessmark/metrology"
)

// FilmView is the film of a job in words, rounded, with its drawings, as seen
// from one position.
type FilmView struct {
	Ready    bool     // there are films to show
	Empty    []string // else: why not, and what to do
	Running  bool
	Stopped  bool
	Progress string // how far the computation has come
	Done     int
	Total    int

	Position  int
	Title     string // "Position 4, cylinder B2, as fitted, at 7000 rev/min"
	Headline  string // "a third thinner"
	State     string
	Lead      string // the comparison
	Second    string // micrometres with their doubt
	Likely    string // the spread against the others
	Limits    []string
	Shape     string
	Verdict   string // which no oil changes
	Rows      []FilmRow
	Beside    string // what the ratios are to
	Oils      []FilmOil
	OilNames  [2]string // heads of the oil table: this position, the others
	OilSay    string
	Load      draw.Polar
	Orbit     draw.Polar
	Cycle     draw.Chart
	Chance    *draw.Chart
	Maps      []draw.Contours
	Steps     []FilmStep
	Assumed   []string
	Caution   string
	Continues string // what is still being computed
}

// FilmRow is one position of the table.
type FilmRow struct {
	Position      int
	Name          string
	Found, Fitted *FilmCell
	Verdict       WordView
}

// FilmCell is one film.
type FilmCell struct{ Clearance, Ratio, Band string }

// FilmOil is one line of the comparison of oils.
type FilmOil struct {
	Name, When           string
	Own, OwnBand, Others string
	Friction, WarmUp     string
	Wait                 string
}

// FilmStep is one instant, for stepping through the cycle.
type FilmStep struct {
	Angle float64
	X, Y  float64 // on the drawing of the orbit, rim 1
	Film  float64 // µm
	LoadX float64 // on the drawing of the load, kN
	LoadY float64
	Words string
}

// FilmSteps is how many instants a page without script offers.
const FilmSteps = 8

// ShowFilm puts a film into words. position 0 is the one with the least film;
// step is the instant marked in the drawings, in [0, FilmSteps).
func ShowFilm(st filmwork.Status, position, step int, a Assessment, s State, b Basis, voice Voice) FilmView {
	w := &filmShower{shower: shower{a: a, s: s, basis: b, voice: voice}, st: st, r: st.Result}
	w.out = FilmView{Running: st.Running, Stopped: st.Stopped, Done: st.Done, Total: st.Total, Caution: FilmCaution}
	w.progress()
	if w.empty() {
		return w.out
	}
	w.choose(position)
	w.out.Ready = true
	w.finding()
	w.rows()
	w.oils()
	w.draw(step)
	w.out.Assumed = filmAssumptions(w.r, filmShape(w.at.Position, w.s, w.basis), w.at.Shape != nil)
	return w.out
}

type filmShower struct {
	shower
	st   filmwork.Status
	r    *filmwork.Result
	at   filmwork.PositionFilm
	now  *filmwork.PhaseFilm
	peer *filmwork.PhaseFilm // the middle one of the others, or the sheet's middle
	name string              // of the peer
	out  FilmView
}

func (w *filmShower) progress() {
	switch {
	case w.st.Running && w.st.Total > 0:
		w.out.Progress = fmt.Sprintf("Computing: %d %% done.", 100*w.st.Done/w.st.Total)
	case w.st.Running:
		w.out.Progress = "Computing: waiting for its turn."
	case w.st.Stopped:
		w.out.Progress = "Stopped before it was complete. What is there stays."
	}
}

// empty says why there is nothing to show yet.
func (w *filmShower) empty() bool {
	say := func(words ...string) bool {
		w.out.Empty = words
		return true
	}
	switch {
	case w.st.Err != nil:
		return say("The film of this engine can’t be computed: "+sentence(w.st.Err.Error()), "Look at the engine sheet: correct what it says there, and adopt the new one.")
	case w.basis.Sheet == nil:
		return say("This job has no engine sheet yet, so there is nothing to compute.")
	case w.r == nil:
		return say("The films are not there yet.")
	case len(w.r.Missing) > 0:
		return say("The engine sheet lacks what a film needs: "+list(w.r.Missing)+".", "Add it to the sheet, each value with its source, and adopt the new sheet.")
	}
	if !slices.ContainsFunc(w.r.Positions, func(p filmwork.PositionFilm) bool { return p.Now() != nil }) {
		return say("No clearance is measured yet. Measure a position, and its film stands here.")
	}
	return false
}

// least is the film that decides: zero where none holds.
func least(p *filmwork.PhaseFilm) float64 {
	if p == nil || len(p.Oils) == 0 || !p.Oils[0].Hot.Held() {
		return 0
	}
	return p.Oils[0].Hot.MinFilmUM
}

// choose finds the position, else the one with the least film, and what it is
// compared with.
func (w *filmShower) choose(position int) {
	first := true
	for _, p := range w.r.Positions {
		switch {
		case p.Now() == nil:
		case position == p.Position:
			w.at, position = p, -1
		case position >= 0 && (first || least(p.Now()) < least(w.at.Now())):
			w.at, first = p, false
		}
	}
	w.now = w.at.Now()
	w.peer, w.name = w.middleOf(w.at.Position)
	w.out.Position = w.at.Position
}

// middleOf is the middle one of the other positions by film, or the sheet's
// middle clearance where no other is measured.
func (w *filmShower) middleOf(position int) (*filmwork.PhaseFilm, string) {
	type one struct {
		p    *filmwork.PhaseFilm
		name string
	}
	var others []one
	for _, p := range w.r.Positions {
		if p.Position != position && least(p.Now()) > 0 && (p.Fitted != nil) == (w.at.Fitted != nil) {
			others = append(others, one{p.Now(), "position " + fmt.Sprint(p.Position)})
		}
	}
	if len(others) == 0 {
		return &filmwork.PhaseFilm{ClearanceMM: w.r.ClearanceMM, Oils: w.r.Reference, Cycle: w.r.Middle}, "the sheet’s middle clearance"
	}
	slices.SortStableFunc(others, func(a, b one) int { return int(1e9 * (least(a.p) - least(b.p))) })
	m := others[len(others)/2]
	return m.p, m.name
}

// others is what the position is compared with, in words.
func (w *filmShower) others() string {
	n := 0
	for _, p := range w.r.Positions {
		if p.Now() != nil && (p.Fitted != nil) == (w.at.Fitted != nil) {
			n++
		}
	}
	switch n {
	case 1:
		return "the sheet’s middle clearance keeps"
	case 2:
		return "the other position keeps"
	}
	return "the others keep"
}

func (w *filmShower) finding() {
	o := &w.out
	phase := "as found"
	if w.at.Fitted != nil {
		phase = "as fitted"
	}
	o.Title = fmt.Sprintf("Position %d, cylinder %s, %s, at %.0f rev/min", w.at.Position, w.at.Cylinder, phase, w.r.SpeedRPM)
	own, other := w.now.Oils[0].Hot, w.peer.Oils[0].Hot
	if !own.Held() {
		o.Headline, o.State, o.Lead = "no film holds", stateOut, fmt.Sprintf("Position %d: %s", w.at.Position, filmFailure(own))
		o.Verdict = w.verdict()
		return
	}
	ratio := 0.0
	if other.Held() && other.MinFilmUM > 0 {
		ratio = own.MinFilmUM / other.MinFilmUM
	}
	o.State = stateFits
	if ratio < 0.85 {
		o.State = stateUnproven
	}
	if ratio < 0.7 {
		o.State = stateOut
	}
	o.Headline = thinner(ratio)
	o.Lead = fmt.Sprintf("Position %d keeps %s, at %s of the cycle, %s.", w.at.Position, besideThem(ratio, w.others()), atDeg(own), where(own))
	against := filmSize(own.MinFilmUM) + " against " + filmSize(other.MinFilmUM)
	if filmSize(own.MinFilmUM) == filmSize(other.MinFilmUM) {
		against = "about " + filmSize(own.MinFilmUM) + " for both, to the nearest half"
	}
	o.Second = fmt.Sprintf("Calculated %s; the comparison is good, the figures themselves only to a third or so: %s against %s.",
		against, oilBand(w.now.Oils[0]), oilBand(w.peer.Oils[0]))
	if !own.Converged {
		o.Second += " The orbit did not settle; take it as a hint."
	}
	if w.now.Censored != "" {
		o.Second += " The clearance was read at the end of the gauge’s scale, so this is the film at that end."
	}
	if sp := w.now.Spread; sp != nil {
		o.Likely = fmt.Sprintf("With the spread of clearance, oil temperature and load: %.1f to %.1f of the others, eight times in ten.", sp.Beside[2], sp.Beside[18])
		if len(w.r.Positions) == 1 || w.name == "the sheet’s middle clearance" {
			o.Likely = fmt.Sprintf("With the spread of clearance, oil temperature and load: %.1f to %.1f of the sheet’s middle, eight times in ten.", sp.Beside[2], sp.Beside[18])
		}
	}
	w.limits(own)
	w.shape()
	o.Verdict = w.verdict()
}

// limits are compared only where the sheet or a measured roughness gives one.
func (w *filmShower) limits(own filmwork.Film) {
	sp := w.now.Spread
	if w.r.LeastFilmUM != nil {
		words := fmt.Sprintf("The sheet wants a calculated film of at least %.1f µm.", *w.r.LeastFilmUM)
		if sp != nil && sp.BelowLimit != nil {
			words += fmt.Sprintf(" Chance of less: %s.", chanceOf(*sp.BelowLimit))
		}
		w.out.Limits = append(w.out.Limits, words)
	}
	if own.Lambda != nil && w.now.Surfaces != nil {
		words := fmt.Sprintf("The film is about %s times the roughness of journal and shell, %s (%.2f µm together).", timesRough(*own.Lambda), surfacesFrom(w.now.Surfaces), w.now.Surfaces.CombinedUM)
		if sp != nil && sp.BelowRoughness != nil {
			words += fmt.Sprintf(" Chance that it is thinner than they are rough: %s.", chanceOf(*sp.BelowRoughness))
		}
		w.out.Limits = append(w.out.Limits, words)
	}
	if len(w.out.Limits) == 0 {
		w.out.Limits = []string{"The sheet gives no least film, and the roughness of journal and shells is neither in the sheet nor measured, so the film is held against no limit."}
	}
}

// timesRough is a film over roughness as people say it: whole, below three to
// the nearest half.
func timesRough(l float64) string {
	if l < 3 {
		return fmt.Sprintf("%.1f", halves(l))
	}
	return fmt.Sprintf("%.0f", l)
}

// surfacesFrom says where the roughness of both surfaces comes from.
func surfacesFrom(s *filmwork.Surfaces) string {
	switch {
	case s.JournalMeasured && s.ShellMeasured:
		return "both measured"
	case s.JournalMeasured:
		return "the journal’s measured, the shells’ by the sheet"
	case s.ShellMeasured:
		return "the shells’ measured, the journal’s by the sheet"
	}
	return "both by the sheet"
}

func chanceOf(p float64) string {
	if p < 0.005 {
		return "less than 1 in 200"
	}
	return metrology.Odds(p)
}

// shape says what was measured of the form and what it costs.
func (w *filmShower) shape() {
	x := w.at.Shape
	switch {
	case x == nil:
	case x.Failed != "" && x.AsIsUM == 0:
		w.out.Shape = fmt.Sprintf("With the form that was measured, %s, no film holds: the parts would touch.", formText(x.Form))
	case x.RoundUM > 0:
		left := x.AsIsUM / x.RoundUM
		w.out.Shape = fmt.Sprintf("The form that was measured, %s, costs %s", formText(x.Form), costs(left))
		if x.WorstUM > 0 {
			w.out.Shape += fmt.Sprintf(": %.2f of what round and straight parts would keep, %.2f if it is worse by twice its uncertainty", left, x.WorstUM/x.RoundUM)
		} else if x.Failed != "" {
			w.out.Shape += fmt.Sprintf(": %.2f of what round and straight parts would keep; if it is worse by twice its uncertainty they would touch", left)
		}
		w.out.Shape += "."
	}
}

// verdict repeats the clearance's verdict: no oil changes it.
func (w *filmShower) verdict() string {
	p, ok := w.a.Position(w.at.Position)
	c := p.Fitted
	if c == nil {
		c = p.Found
	}
	if !ok || c == nil {
		return ""
	}
	word, state := verdictWords(c)
	if state == stateFits {
		return fmt.Sprintf("Position %d fits by its clearance; the film does not change that.", w.at.Position)
	}
	return fmt.Sprintf("No oil changes a verdict: the clearance of position %d is %s, whatever oil goes in.", w.at.Position, word)
}

func (w *filmShower) rows() {
	for _, p := range w.r.Positions {
		row := FilmRow{Position: p.Position, Name: positionName(p.Position, p.Cylinder), Found: w.cell(p.Found), Fitted: w.cell(p.Fitted)}
		if x, ok := w.a.Position(p.Position); ok {
			word, state := verdictWords(x.Fitted)
			row.Verdict = WordView{word, state}
		}
		w.out.Rows = append(w.out.Rows, row)
	}
	w.out.Beside = fmt.Sprintf("Ratios are to the film at the sheet’s middle clearance, %s, on its usual oil, %s, hot at %.0f rev/min.",
		w.length(w.r.ClearanceMM, 3), w.r.Oils[0].Grade, w.r.SpeedRPM)
}

func (w *filmShower) cell(p *filmwork.PhaseFilm) *FilmCell {
	if p == nil {
		return nil
	}
	return &FilmCell{Clearance: w.length(p.ClearanceMM, 3), Ratio: ratioText(p.Oils[0].Hot.Ratio), Band: oilBand(p.Oils[0])}
}

func (w *filmShower) oils() {
	w.out.OilNames = [2]string{fmt.Sprintf("Position %d, hot", w.at.Position), "Others, hot"}
	if w.name == "the sheet’s middle clearance" {
		w.out.OilNames[1] = "Sheet’s middle, hot"
	}
	for i, o := range w.r.Oils {
		own, other := w.now.Oils[i], w.peer.Oils[i]
		line := FilmOil{Name: o.Grade, When: o.When, Own: ratioText(own.Hot.Ratio), OwnBand: oilBand(own), Others: ratioText(other.Hot.Ratio),
			Friction: w.friction(i), WarmUp: "no film holds", Wait: "–"}
		if o.Assumed {
			line.Name += ", figures assumed from the grade"
		} else if own.Hot.Held() {
			line.Name += fmt.Sprintf(", %.1f mPa·s in the film", own.Hot.ViscosityMPas)
		}
		if own.WarmUp.Held() {
			line.WarmUp = ratioText(own.WarmUp.Ratio) + fmt.Sprintf(", oil %.0f times as thick as hot", o.WarmUpMM2S/o.HotMM2S)
		}
		if o.ReadyAtC != nil {
			line.Wait = fmt.Sprintf("wait for %.0f °C before load", *o.ReadyAtC)
		}
		w.out.Oils = append(w.out.Oils, line)
	}
	w.out.OilSay = "Only oils that the sheet allows are compared. " + w.out.Verdict
	if n := len(w.r.Oils); n > 1 {
		best := 0
		for i := range w.r.Oils {
			if w.now.Oils[i].Hot.Ratio > w.now.Oils[best].Hot.Ratio {
				best = i
			}
		}
		if other := least(w.peer); best > 0 && other > 0 {
			w.out.OilSay = fmt.Sprintf("On %s position %d would keep %s on %s, at %s. ", w.r.Oils[best].Grade, w.at.Position,
				besideThem(w.now.Oils[best].Hot.MinFilmUM/other, w.others()), w.r.Oils[0].Grade, w.friction(best)+" of friction instead of "+w.friction(0)) + w.out.OilSay
		}
	}
}

// friction is that of all big ends, where a position is not measured that of
// the sheet's middle.
func (w *filmShower) friction(oil int) string {
	sum := 0.0
	for _, p := range w.r.Positions {
		f := w.r.Reference[oil].Hot
		if now := p.Now(); now != nil && now.Oils[oil].Hot.Held() {
			f = now.Oils[oil].Hot
		}
		sum += f.FrictionW
	}
	return fmt.Sprintf("%.1f kW", sum/1000)
}
