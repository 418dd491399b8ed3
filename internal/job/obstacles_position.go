// SPDX-License-Identifier: Apache-2.0

package job

import (
	"witnessmark/metrology"
)

// positionObstacles looks at one big end: what was read, what the shells that
// came out showed, and what went in.
func (a *assessor) positionObstacles(p PositionAssessment) {
	if p.Fitted == nil {
		a.add(Obstacle{Code: NotRead, Check: CloseUp, Position: p.Position})
	} else {
		a.limitObstacle(*p.Fitted, p.Position, "")
		if a.untightened(p.Position, p.Fitted.Readings) {
			a.add(Obstacle{Code: ReadUntightened, Check: CloseUp, Position: p.Position, RestsOn: p.Fitted.Readings})
		}
		if t := p.Fitted.Taper; t != nil && t.Decision != nil && t.Decision.Verdict != metrology.Within {
			a.add(Obstacle{Code: TaperOver, Check: CloseUp, Position: p.Position, Clearance: p.Fitted, RestsOn: p.Fitted.Readings})
		}
	}
	at := a.s.Positions[p.Position]
	if at == nil {
		at = &Position{}
	}
	a.shellObstacles(p.Position, at)
	a.journalObstacle(p.Position, at)
	a.wearObstacles(p.Position, at)
}

// limitObstacle turns a verdict other than fits into an obstacle. of is empty
// for the big end's own clearance.
func (a *assessor) limitObstacle(c Clearance, position int, of string) {
	a.limitObstacleOf(c, []int{position}, of)
}

// limitObstacleOf is that of positions that share the value.
func (a *assessor) limitObstacleOf(c Clearance, at []int, of string) {
	code, bad := map[metrology.Verdict]Code{
		metrology.Above: TooWide, metrology.Below: TooTight, metrology.NotProven: NotProven,
	}[c.Decision.Verdict]
	if !bad || c.Min == nil && c.Max == nil {
		return
	}
	a.add(Obstacle{Code: code, Check: CloseUp, Position: at[0], Others: at[1:], Of: of, Clearance: &c, RestsOn: c.Readings})
}

func (a *assessor) shellObstacles(position int, at *Position) {
	if at.Shells == nil {
		a.add(Obstacle{Code: ShellsMissing, Check: CloseUp, Position: position})
		return
	}
	if m := at.Shells.Body.Missing(); len(m) > 0 {
		a.add(Obstacle{Code: ShellsUnconfirmed, Check: CloseUp, Position: position, Items: m, RestsOn: []int64{at.Shells.At.Seq}})
	}
}

func (a *assessor) journalObstacle(position int, at *Position) {
	n := len(at.Journal)
	if n == 0 {
		return
	}
	last := at.Journal[n-1]
	if last.Body.Damaged() {
		a.add(Obstacle{Code: JournalDamaged, Check: CloseUp, Position: position,
			Items: plainWords(without(last.Body.Features, "polished_line")), RestsOn: []int64{last.At.Seq}})
	}
}

// wearObstacles asks for the journal behind a shell that shows copper, bronze
// or scoring: it must be seen and measured.
func (a *assessor) wearObstacles(position int, at *Position) {
	seen := len(at.Journal) > 0
	measured := false
	for _, r := range a.s.Readings {
		if r.Body.Of == OfJournal && r.Body.Position == position {
			measured = true
		}
	}
	if seen && measured {
		return
	}
	copper, ok := a.b.Sheet.BigEnd.Shell.Construction.CopperShowsAt()
	if !ok {
		copper = 0
	}
	var items []string
	if !seen {
		items = append(items, "seen")
	}
	if !measured {
		items = append(items, "measured")
	}
	for _, half := range []string{Upper, Lower} {
		w := at.lastWear(half)
		if w == nil || !w.Body.NeedsJournal(copper) {
			continue
		}
		a.add(Obstacle{Code: ShellSuspect, Check: CloseUp, Position: position, Of: half,
			Title: wearWords(w.Body, a.b), Items: items, RestsOn: []int64{w.At.Seq}})
	}
}

// lastWear is what was last seen on one half, nil when nothing was.
func (p *Position) lastWear(half string) *Noted[WearSeen] {
	for i := len(p.Wear) - 1; i >= 0; i-- {
		if p.Wear[i].Body.Half == half {
			return &p.Wear[i]
		}
	}
	return nil
}

// wearWords is one shell's wear in a word or two: its worst feature, else the
// words of the sheet's construction for its severity.
func wearWords(w WearSeen, b Basis) string {
	for _, f := range []string{"spun", "wiped", "flaked", "scored", "edge_loaded", "corroded", "cavitated", "fretted", "embedded"} {
		for _, got := range w.Features {
			if got == f {
				if f == "scored" {
					return "scored"
				}
				return plainWord(f)
			}
		}
	}
	return severityWords(w.Severity)
}

var severities = [...]string{"as new", "polished", "overlay worn", "next layer showing", "failed"}

func severityWords(n int) string { return severities[min(max(n, 0), len(severities)-1)] }
