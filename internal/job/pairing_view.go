// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"witnessmark/bearing"
	"witnessmark/internal/draw"
	"witnessmark/units"
)

// PairingView is a choice of shells in words, with the strip as it would be.
type PairingView struct {
	Target   string
	Limits   string
	Headline string
	State    string // of the headline
	Proof    string // proven, or how much better it could be
	Rows     []PairingLine
	Asks     []PairingAskLine // sizes that are missing
	Remedies []PairingRemedy
	Notes    []string
	Strip    draw.Strip
	Problem  string // why there is no choice
	Adopted  bool   // this is what was adopted last
	MayAdopt bool
	Within   []PairingLine // where the best leaves the limits and another does not
}

// PairingLine is one position with the shells chosen for it.
type PairingLine struct {
	Position              int
	Name                  string
	Bore, Journal         string
	Upper, Lower          string
	Clearance, Departure  string
	Verdict               WordView
	Now                   string // the shells that are in now
	Committed, Aside, Set bool
	Why                   string // why it takes no part
}

// PairingAskLine is a size that is missing, with the page where it is measured.
type PairingAskLine struct {
	Position int
	Of       string // the part's code
	Words    string
}

// PairingRemedy is a position that these shells can't bring within the limits.
type PairingRemedy struct {
	Position int
	Words    string
}

// ShowPairing puts a solved case into words. solveErr is why nothing was solved.
func ShowPairing(c PairingCase, p bearing.Pairing, remedies []bearing.Remedy, solveErr error, a Assessment, s State, b Basis, voice Voice) PairingView {
	v := &shower{a: a, s: s, basis: b, voice: voice}
	out := PairingView{Target: v.length(c.Input.Target, 3), Limits: v.range_(c.Input.Limits.Min, c.Input.Limits.Max)}
	fits := map[int]bearing.Fit{}
	if solveErr == nil {
		for _, f := range p.Fits {
			fits[f.Position] = f
		}
	}
	for _, r := range c.Rows {
		f, ok := fits[r.Position]
		out.Rows = append(out.Rows, v.pairingLine(c, r, f, ok))
		for _, m := range r.Missing {
			if !r.Aside && !r.Built {
				out.Asks = append(out.Asks, PairingAskLine{r.Position, pairingPart(m), "Position " + v.basis.Namer()(r.Position) + ": " + m})
			}
		}
	}
	for _, r := range remedies {
		out.Remedies = append(out.Remedies, PairingRemedy{r.Position, v.remedy(r)})
	}
	out.notes(c, p, solveErr == nil)
	out.headline(c, p, solveErr, v)
	for _, f := range p.Within {
		out.Within = append(out.Within, v.pairingLine(c, *c.Row(f.Position), f, true))
	}
	out.Strip = v.pairingStrip(c, fits)
	if s.Pairing != nil && solveErr == nil {
		out.Adopted = sameFits(s.Pairing.Body.Fits, c.Adopt(p).Fits)
	}
	out.MayAdopt = solveErr == nil && !out.Adopted && len(c.Adopt(p).Fits) > 0
	return out
}

// pairingPart is the code of a part by its words.
func pairingPart(words string) string {
	if words == ofWords[OfJournal] {
		return OfJournal
	}
	return OfHousingBore
}

func sameFits(a, b []PairedShells) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i].Position != b[i].Position || a[i].Upper != b[i].Upper || a[i].Lower != b[i].Lower {
			return false
		}
	}
	return true
}

func (v *shower) pairingLine(c PairingCase, r PairingRow, f bearing.Fit, ok bool) PairingLine {
	l := PairingLine{Position: r.Position, Name: v.basis.Namer()(r.Position), Bore: "–", Journal: "–", Committed: r.Committed, Aside: r.Aside, Set: ok}
	if r.Bore != nil {
		l.Bore = v.number(r.Bore.SizeMM, 4)
	}
	if r.Journal != nil {
		l.Journal = v.number(r.Journal.SizeMM, 4)
	}
	if at := v.s.Positions[r.Position]; at != nil && at.Shells != nil {
		l.Now = shellName(at.Shells.Body.Upper) + ", " + shellName(at.Shells.Body.Lower)
	}
	switch {
	case ok:
		l.Upper, l.Lower = c.shells[f.Upper].ID, c.shells[f.Lower].ID
		l.Clearance, l.Departure = v.number(f.Clearance, 4), signedMicro(f.Departure)
		l.Verdict.Word, l.Verdict.State = verdictWords(v.predicted(c, f))
	case r.Unreachable:
		l.Why, l.Verdict = "no two shells here bring it within the limits", WordView{"out of reach", stateOut}
	case r.Aside:
		l.Why, l.Verdict = "left out", WordView{"left out", "soft"}
	case r.Built:
		l.Why, l.Verdict = "tightened for good on shells that are not in this stock", WordView{"built", "soft"}
	case len(r.Missing) > 0:
		l.Why, l.Verdict = "not measured: "+list(r.Missing), WordView{"not measured", stateTodo}
	default:
		l.Verdict = WordView{"open", stateTodo}
	}
	return l
}

// predicted decides a clearance that is not built yet.
func (v *shower) predicted(c PairingCase, f bearing.Fit) *Clearance {
	m := c.Predicted(f)
	a := &assessor{s: v.s, b: v.basis}
	out := &Clearance{Of: OfClearance, Phase: AsFitted, Agree: true, Decimals: 4}
	out.set(m)
	out.decide(m, a.limitFor(OfClearance, AsFitted), v.basis)
	return out
}

func signedMicro(mm float64) string {
	um := 1000 * mm
	if math.Abs(um) < 0.05 {
		return "0.0 µm"
	}
	return strings.Replace(fmt.Sprintf("%+.1f µm", um), "-", "−", 1)
}

func (out *PairingView) headline(c PairingCase, p bearing.Pairing, err error, v *shower) {
	out.State = stateTodo
	switch {
	case errors.Is(err, bearing.ErrTooFewShells):
		half, n := c.fewer()
		out.Headline = "Too few shells"
		out.Problem = fmt.Sprintf("For %s there are too few %s shells: %s more, measured, would do. Or leave positions out.",
			count(len(c.Input.Bores), "position", "positions"), half, count(max(n, 1), half+" shell", half+" shells"))
		return
	case err != nil:
		out.Headline, out.Problem = "No choice yet", sentence(err.Error())
		return
	}
	out.Headline = fmt.Sprintf("Every position within %s µm of target", units.Number(p.LargestDepartureUM, units.UnitMillimetre, 1))
	if len(c.Rows) > len(p.Fits) {
		out.Headline = fmt.Sprintf("The other %s within %s µm of target", count(len(p.Fits), "position", "positions"), units.Number(p.LargestDepartureUM, units.UnitMillimetre, 1))
	}
	out.State = stateFits
	if !p.AllWithin {
		out.State = stateOut
	}
	switch {
	case p.ProvenBest:
		out.Proof = "Proven: no other choice of these shells is better."
	case p.BoundUM < p.LargestDepartureUM:
		out.Proof = fmt.Sprintf("The best that was found; it is not proven. No choice can be below %s µm, so at most %s µm could be gained.",
			units.Number(p.BoundUM, units.UnitMillimetre, 1), units.Number(p.LargestDepartureUM-p.BoundUM, units.UnitMillimetre, 1))
	default:
		out.Proof = "The largest departure is proven to be the least. Whether the others could lie nearer still is not proven."
	}
}

func (out *PairingView) notes(c PairingCase, p bearing.Pairing, solved bool) {
	say := func(s string) { out.Notes = append(out.Notes, s) }
	if c.NoTarget {
		say("The engine sheet names no target: the middle of the limits is taken.")
	}
	switch {
	case c.Growth == nil:
		say("What crush adds to the bore is not in the account: the engine sheet does not hold what it takes.")
	case c.Growth.From != "crush_height":
		say("The growth from crush is from the free spread alone, a lower limit: the true clearance is wider.")
	default:
		say(fmt.Sprintf("Crush adds %s µm to every bore, worked out from the sheet’s crush height.", micro(c.Growth.BoreMM)))
	}
	if len(c.Input.Grades) > 0 {
		say("Walls known by their grade alone are taken as the middle of the grade; measured walls are surer.")
	}
	for _, d := range c.Doubts {
		say("Look again: " + d.Error() + ".")
	}
	if solved && !p.AllWithin && p.LimitsAttainable == bearing.No {
		say("No choice of these shells keeps every position within the limits.")
	}
	if solved && !p.AllWithin && p.LimitsAttainable == bearing.Unknown {
		say("Whether another choice keeps every position within the limits is not known; none was found.")
	}
}

// remedy says in the workshop's words what would help a position.
func (v *shower) remedy(r bearing.Remedy) string {
	w := r.String()
	if r.Ground > 0 {
		return w // the sheet's grades are for standard journals
	}
	var grades []string
	for _, g := range v.basis.Sheet.BigEnd.Shell.Grades {
		if mid, ok := g.Wall.Mid(); ok {
			if two := 2 * mid; two >= r.WallSum.Min && two <= r.WallSum.Max {
				grades = append(grades, g.ID)
			}
		}
	}
	if len(grades) > 0 {
		w += " Two of grade " + list(grades) + " of the sheet would."
	} else if !r.Reachable && len(v.basis.Sheet.BigEnd.Shell.Grades) > 0 {
		w += " No grade of the engine sheet is that " + map[bool]string{true: "thick", false: "thin"}[r.BeyondUM > 0] + "."
	}
	return w
}

// pairingStrip is the crankshaft as it would be: what takes no part stays as it
// was read.
func (v *shower) pairingStrip(c PairingCase, fits map[int]bearing.Fit) draw.Strip {
	var positions []PositionView
	for _, p := range v.a.Positions {
		positions = append(positions, v.position(p))
	}
	s := v.strip(positions)
	s.Title = "Big-end clearance with these shells, before anything is fitted"
	for i := range s.Columns {
		f, ok := fits[s.Columns[i].Position]
		if !ok {
			continue
		}
		pred := v.predicted(c, f)
		val := v.clearance(pred)
		s.Columns[i].AsFitted, s.Columns[i].Verdict = v.point(pred, &val), val.Verdict.Word
	}
	return s
}

// HelpLine is what one more shell would change.
type HelpLine struct{ Words string }

// ShowHelp says how much one more shell of each wall or grade would help; what
// helps nothing is counted.
func (c PairingCase) ShowHelp(help []bearing.Help) (lines []HelpLine, nothing int) {
	for _, h := range help {
		if h.GainUM < 0.05 && h.GainUM2 < 0.05 {
			nothing++
			continue
		}
		name := c.shells[h.ID].ID
		w := fmt.Sprintf("One more %s like %s, %.4f mm: largest departure %.1f µm", h.Half, name, h.Wall, h.LargestDepartureUM)
		if h.GainUM >= 0.05 {
			w += fmt.Sprintf(", %.1f µm less", h.GainUM)
		} else {
			w += fmt.Sprintf(" as now, the sum of squares %.1f µm² less", h.GainUM2)
		}
		if !h.ProvenBest {
			w += "; as far as was searched"
		}
		lines = append(lines, HelpLine{w + "."})
	}
	return lines, nothing
}
