// SPDX-License-Identifier: Apache-2.0

package job

import (
	"slices"

	"witnessmark/engine"
	"witnessmark/metrology"
)

// SettingAssessment is one setting of the sheet with what was read. Numbers
// are in the unit of its limit.
type SettingAssessment struct {
	Setting  string    `json:"setting"`
	Title    string    `json:"title"`
	Position int       `json:"position,omitempty"`
	Value    *float64  `json:"value,omitempty"`
	Unit     string    `json:"unit"`
	Text     string    `json:"read,omitempty"`
	Limit    string    `json:"limit"`
	Source   string    `json:"source,omitempty"`
	Decision *Decision `json:"decision,omitempty"`
	Entry    int64     `json:"entry,omitempty"`
	// Backlash is what readings around its gear come to; Problem says why they
	// can't be used.
	Backlash *Backlash `json:"backlash,omitempty"`
	Problem  string    `json:"problem,omitempty"`
}

func (a *assessor) debris() {
	var places []string
	var metal []int64
	for _, d := range a.s.Debris {
		places = append(places, d.Body.Place)
		if d.Body.Metal() {
			metal = append(metal, d.At.Seq)
		}
	}
	var unread []string
	for _, p := range []string{"filter", "sump"} {
		if !slices.Contains(places, p) {
			unread = append(unread, p)
		}
	}
	if len(unread) > 0 {
		a.add(Obstacle{Code: DebrisNotRead, Check: CloseUp, Items: unread})
	}
	if len(metal) == 0 {
		return
	}
	var left []string
	for _, part := range debrisCircuit {
		if _, done := a.s.DebrisDealt[part]; !done {
			left = append(left, plainWord(part))
		}
	}
	if len(left) > 0 {
		a.add(Obstacle{Code: DebrisMetal, Check: CloseUp, Items: left, RestsOn: metal})
	}
}

func (a *assessor) settings() {
	for _, set := range a.b.Sheet.Settings {
		places := set.Positions
		if len(places) == 0 {
			places = []int{0}
		}
		for _, p := range places {
			a.setting(set, p)
		}
	}
}

func (a *assessor) setting(set engine.Setting, position int) {
	out := SettingAssessment{Setting: set.ID, Title: set.Title, Position: position, Unit: set.Limit.Unit, Limit: set.Limit.String(), Source: sourceTitle(a.b.Sheet, set.Limit.Basis)}
	made, ok := a.s.Settings[SettingKey{set.ID, position}]
	if g, around := a.s.Gears[SettingKey{set.ID, position}]; around && g.At.Seq > made.At.Seq {
		a.around(set, g, out)
		return
	}
	if !ok {
		a.out.Settings = append(a.out.Settings, out)
		a.add(Obstacle{Code: SettingMissing, Check: CloseUp, Position: position, Of: set.ID, Title: set.Title})
		return
	}
	if string(made.Body.Value.Kind) != set.Limit.Quantity { // a torque is no length
		out.Text, out.Entry = readText(made.Body.Value), made.At.Seq
		a.out.Settings = append(a.out.Settings, out)
		a.add(Obstacle{Code: SettingMissing, Check: CloseUp, Position: position, Of: set.ID, Title: set.Title, RestsOn: []int64{made.At.Seq}})
		return
	}
	value := made.Body.Value.Value
	out.Value, out.Text, out.Entry = &value, readText(made.Body.Value), made.At.Seq
	m := metrology.Measurement{Value: value, HalfWidth: made.Body.Value.Resolution / 2}
	if made.Body.U != nil {
		m.U = made.Body.U.Value
	}
	d := decision(m, set.Limit.Bounds, a.b)
	out.Decision = &d
	a.decided(set, out)
}

// around decides a setting by the readings around its gear, which came last.
func (a *assessor) around(set engine.Setting, g Noted[GearRead], out SettingAssessment) {
	if err := a.gear(set, g, &out); err != nil {
		out.Problem, out.Entry = err.Error(), g.At.Seq
		a.out.Settings = append(a.out.Settings, out)
		a.add(Obstacle{Code: SettingMissing, Check: CloseUp, Position: out.Position, Of: set.ID, Title: set.Title, RestsOn: []int64{g.At.Seq}})
		return
	}
	a.decided(set, out)
}

// decided keeps a decided setting, with what stands in the way.
func (a *assessor) decided(set engine.Setting, out SettingAssessment) {
	a.out.Settings = append(a.out.Settings, out)
	d := *out.Decision
	code := map[metrology.Verdict]Code{metrology.Above: SettingOut, metrology.Below: SettingOut, metrology.NotProven: SettingNotProven}[d.Verdict]
	if code != "" {
		a.add(Obstacle{Code: code, Check: CloseUp, Position: out.Position, Of: set.ID, Title: set.Title,
			Items: []string{out.Text, out.Limit}, RestsOn: []int64{out.Entry}})
	}
}

func sourceTitle(s *engine.Sheet, b engine.Basis) string {
	if src, ok := s.Sources[b.Source]; ok {
		return src.Title
	}
	return ""
}

func (a *assessor) lastLook() {
	l := a.s.LastLook
	if l == nil {
		a.add(Obstacle{Code: LookMissing, Check: CloseUp})
		return
	}
	if m := l.Body.Missing(); len(m) > 0 {
		a.add(Obstacle{Code: LookUnconfirmed, Check: CloseUp, Items: m, RestsOn: []int64{l.At.Seq}})
	}
}

// unchecked names the values of the sheet that a decision rests on and that
// nobody held against their source.
func (a *assessor) unchecked() {
	if a.b.Sheet == nil {
		return
	}
	var paths []string
	note := func(path string, b engine.Basis) {
		if !b.Checked {
			paths = append(paths, path)
		}
	}
	if len(a.s.Readings) > 0 {
		l := a.b.Sheet.BigEnd.Clearance.New.Bounds()
		note(l.Path, l.Basis)
	}
	if f, ok := a.b.Sheet.RodBolts(); ok && len(a.s.Bolts) > 0 {
		note("fasteners."+f.ID, f.Basis)
	}
	for _, set := range a.b.Sheet.Settings {
		for k := range a.s.Settings {
			if k.Setting == set.ID && !set.Limit.Checked {
				paths = append(paths, set.Limit.Path)
			}
		}
	}
	slices.Sort(paths)
	if paths = slices.Compact(paths); len(paths) > 0 {
		a.add(Obstacle{Code: Unchecked, Check: CloseUp, Items: paths, RestsOn: []int64{a.s.SheetAt.Seq}})
	}
}

// run looks at the steps of the first start against the sheet.
func (a *assessor) run() {
	done := map[string][]Noted[RunStep]{}
	for _, r := range a.s.Run {
		done[r.Body.Step] = append(done[r.Body.Step], r)
	}
	for _, step := range RunSteps {
		check := Handover
		if step == StepPrime {
			check = Start
		}
		a.runStep(step, check, done[step])
	}
	a.heatCycles(len(okSteps(done[StepHeatCycle])))
	a.levelAfterEach(done)
}

func okSteps(steps []Noted[RunStep]) []Noted[RunStep] {
	return slices.DeleteFunc(slices.Clone(steps), func(r Noted[RunStep]) bool { return !r.Body.OK })
}

// runStep looks at the last time a step was done.
func (a *assessor) runStep(step string, check Check, done []Noted[RunStep]) {
	if len(done) == 0 {
		a.add(Obstacle{Code: RunMissing, Check: check, Of: step})
		return
	}
	last := done[len(done)-1]
	if !last.Body.OK {
		a.add(Obstacle{Code: RunFailed, Check: check, Of: step, RestsOn: []int64{last.At.Seq}})
		return
	}
	for _, r := range lastOfEachPoint(done) {
		l, ok := a.pressureLimit(step, r.Body.Point)
		if !ok || r.Body.Value == nil {
			continue
		}
		v := *r.Body.Value
		if d := decision(metrology.Measurement{Value: v.Value, HalfWidth: v.Resolution / 2}, l, a.b); d.Verdict != metrology.Within {
			a.add(Obstacle{Code: RunOut, Check: check, Of: step, Items: []string{readText(v), l.String()}, RestsOn: []int64{r.At.Seq}})
			return
		}
	}
}

// lastOfEachPoint keeps the last time of each pressure point, so that a later
// one at another speed does not hide it.
func lastOfEachPoint(done []Noted[RunStep]) []Noted[RunStep] {
	var out []Noted[RunStep]
	for i, r := range done {
		if !slices.ContainsFunc(done[i+1:], func(l Noted[RunStep]) bool { return l.Body.Point == r.Body.Point }) {
			out = append(out, r)
		}
	}
	return out
}

// pressureLimit is the sheet's limit on an oil pressure.
func (a *assessor) pressureLimit(step, point string) (engine.Bounds, bool) {
	if a.b.Sheet == nil {
		return engine.Bounds{}, false
	}
	run := a.b.Sheet.Run
	var points []engine.OilPressure
	switch step {
	case StepPrime:
		return run.Priming.Bounds(), run.Priming.Given()
	case StepPressureCold:
		points = run.PressureCold
	case StepPressureHot:
		points = run.PressureHot
	}
	for i, p := range points {
		if p.ID == point || point == "" && i == 0 {
			return p.Limit.Bounds(), p.Limit.Given()
		}
	}
	return engine.Bounds{}, false
}

func (a *assessor) heatCycles(done int) {
	if a.b.Sheet == nil || !a.b.Sheet.Run.HeatCycles.Given() || done == 0 {
		return // none at all is a missing step already
	}
	if want := int(a.b.Sheet.Run.HeatCycles.V); done < want {
		a.add(Obstacle{Code: RunMissing, Check: Handover, Of: StepHeatCycle, Items: []string{count(want-done, "more heat cycle", "more heat cycles")}})
	}
}

// levelAfterEach asks for a level after the last heat cycle.
func (a *assessor) levelAfterEach(done map[string][]Noted[RunStep]) {
	cycles, levels := done[StepHeatCycle], done[StepLevel]
	if len(cycles) == 0 || len(levels) == 0 {
		return
	}
	if last := cycles[len(cycles)-1]; levels[len(levels)-1].At.Seq < last.At.Seq {
		a.add(Obstacle{Code: RunMissing, Check: Handover, Of: StepLevel, Items: []string{"after the last heat cycle"}, RestsOn: []int64{last.At.Seq}})
	}
}

// papers looks at what the handover itself needs.
func (a *assessor) papers() {
	if a.s.Arrival == nil {
		a.add(Obstacle{Code: ArrivalMissing, Check: Handover})
	}
	for _, n := range a.s.Notes {
		if n.Body.Open && n.Resolved == nil {
			a.add(Obstacle{Code: NoteOpen, Check: Handover, Position: n.Body.Position, Of: noteName(n.At.Seq), RestsOn: []int64{n.At.Seq}})
		}
	}
	if len(a.s.OldParts) == 0 {
		a.add(Obstacle{Code: OldPartsMissing, Check: Handover})
	}
	for _, u := range a.s.Unknown {
		a.add(Obstacle{Code: UnknownEntry, Check: Handover, Of: noteName(u.Seq), Title: u.Kind, RestsOn: []int64{u.Seq}})
	}
}

// photos asks for the photos that the sheet wants.
func (a *assessor) photos() {
	if a.b.Sheet == nil {
		return
	}
	for _, want := range a.b.Sheet.PhotosWanted {
		if missing := a.photoless(want); len(missing) > 0 {
			check := Handover
			switch want.Before {
			case "close_up":
				check = CloseUp
			case "start":
				check = Start
			}
			a.add(Obstacle{Code: PhotoMissing, Check: check, Of: want.ID, Title: want.Why, Items: missing})
		}
	}
}
