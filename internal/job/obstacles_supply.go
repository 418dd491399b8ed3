// SPDX-License-Identifier: Apache-2.0

package job

// supply looks at parts and special tools. A job whose parts are not tracked
// has no obstacles of them.
func (a *assessor) supply() {
	for _, name := range sortedKeys(a.s.Special) {
		if t := a.s.Special[name]; t.Borrowed != nil && t.Returned == nil {
			a.add(Obstacle{Code: ToolNotBack, Check: Handover, Of: name, Title: name, RestsOn: []int64{t.Borrowed.At.Seq}})
		}
	}
	if len(a.s.Supply) == 0 {
		return
	}
	for _, p := range a.parts() {
		o := Obstacle{Of: p.Part, Title: p.Title, RestsOn: p.seqs}
		switch {
		case p.Differs:
			o.Code, o.Check, o.Items, o.RestsOn = PartQuestioned, CloseUp, []string{p.Seen, p.Number}, p.checked
		case p.State == PartSentBack || p.InHand:
		default:
			o.Code, o.Check, o.Items = PartMissing, CloseUp, []string{quantity(wholeSum(p.Needed - max(p.Arrived-p.Returned, p.Fitted)))}
		}
		if o.Code != "" {
			a.add(o)
		}
		if p.Before != "" {
			a.add(Obstacle{Code: PartDates, Check: Handover, Of: p.Part, Title: p.Title, Items: []string{p.Before, p.On}, RestsOn: p.seqs})
		}
		if p.InHand && p.Left > 0 {
			a.add(Obstacle{Code: PartLeft, Check: Handover, Of: p.Part, Title: p.Title, Items: []string{quantity(p.Left)}, RestsOn: p.seqs})
		}
	}
}

// parts are those of the agreed scope and the others on record.
func (a *assessor) parts() []PartSeen {
	plan, lines := a.partLines()
	return Parts(a.s, plan, lines, func(at At) string { return Day(at.Received, a.b.zone()) })
}
