// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"slices"

	"witnessmark/internal/draw"
)

// excess puts where an excess sits into words, and what to do next.
func (v *shower) excess(e Excess) ExcessView {
	way := "above"
	if e.AboveMiddleMM < 0 {
		way = "below"
	}
	out := ExcessView{Step: e.Step, Title: v.length(abs(e.AboveMiddleMM), 3) + " " + way + " the middle of the limits"}
	for _, q := range FirstQuestions {
		view := QuestionView{Code: q, Ask: questionAsks[q]}
		switch {
		case slices.Contains(e.Clear, q):
			view.Answer = "clear"
		case slices.Contains(e.Found, q):
			view.Answer = "found"
		}
		out.Questions = append(out.Questions, view)
	}
	out.Words = v.excessWords(e, way)
	out.Bars = draw.Bars{Title: "What the strip readings change in each part"}
	for _, p := range e.Parts {
		b := draw.Bar{Label: capital(ofWords[p.Part]), Value: p.ShiftUM, Text: fmt.Sprintf("%+.1f ± %.1f µm", p.ShiftUM, p.SDUM)}
		if p.Measured {
			b.Label += ", measured"
			b.Ink = draw.InkSoft
		}
		out.Bars.Rows = append(out.Bars.Rows, b)
	}
	for _, c := range e.Carried {
		out.Carried = append(out.Carried, v.carried(c))
	}
	out.Next, out.Measure = v.excessStep(e), e.MeasureNext
	if e.Step == StepConfirmed {
		out.Confirmed, out.Measure = v.confirmed(e), ""
	}
	return out
}

func (v *shower) carried(c ExcessCarried) Fact {
	f := Fact{What: capital(ofWords[c.Part])}
	switch {
	case c.WidensMM >= 0:
		f.Value = "widens the clearance by " + v.length(c.WidensMM, 3)
	default:
		f.Value = "narrows it by " + v.length(-c.WidensMM, 3)
	}
	f.Note = "within the limits of a new part"
	if c.OutsideMM > 0 {
		f.Note = v.length(c.OutsideMM, 3) + " beyond the limits of a new part"
	}
	if c.Confirms {
		f.State = stateOut
	}
	return f
}

func (v *shower) excessWords(e Excess, way string) []string {
	var w []string
	if e.AsFoundUsed {
		s := "As found it read " + v.length(abs(e.FoundAboveMM), 3) + map[bool]string{true: " above", false: " below"}[e.FoundAboveMM >= 0] + " the middle too"
		if e.WideBothTimes {
			s += ", with other shells: what both readings share comes first, bore and journal"
		}
		w = append(w, s+".")
	}
	if n := e.Neighbours; n != nil {
		if n.StandsOut {
			w = append(w, fmt.Sprintf("It stands out from the other positions by %s (±%s): look at this position, not at the gauge or the size of all shells.", v.length(abs(n.DifferenceMM), 3), v.length(2*n.U, 3)))
		} else {
			w = append(w, "It does not stand out from the other positions: look at what they share too, the gauge, the shells’ size.")
		}
	}
	s := fmt.Sprintf("The parts, as far as they are known, predict %s ± %s; the strip is %s %s that.", v.length(e.PredictedMM, 3), v.length(2*e.PredictedU, 3), v.length(abs(e.DifferenceMM), 3), map[bool]string{true: "above", false: "below"}[e.DifferenceMM >= 0])
	if !e.Explained {
		s += " It is not explained by parts within tolerance."
	}
	if e.AsFoundUsed && !e.FoundExplained {
		s += " The as-found reading is not explained by parts within tolerance; worn shells may add to it."
	}
	return append(w, s)
}

// excessStep is the one thing to do next.
func (v *shower) excessStep(e Excess) string {
	switch e.Step {
	case StepAsk:
		return "Ask the cheap questions first: " + count(len(e.Open), "is", "are") + " left."
	case StepReadAgain:
		if len(e.Found) > 0 {
			return "Put right what was found, then read again with a fresh strip."
		}
		return "Read again with a fresh strip before anything is measured."
	case StepMeasure:
		return "Measure the " + ofWords[e.MeasureNext] + ": it narrows the prediction most."
	case StepConfirmed:
		return "Decide on the part that carries it."
	}
	return "Everything is measured and nothing explains it: repeat the readings, the least certain first."
}

// confirmed says which measured part explains the clearance.
func (v *shower) confirmed(e Excess) string {
	for _, c := range e.Carried {
		if !c.Confirms {
			continue
		}
		s := "Confirmed: the " + ofWords[c.Part] + " brings " + v.length(abs(c.WidensMM), 3) + " of the " + v.length(abs(e.AboveMiddleMM), 3)
		if c.OutsideMM > 0 {
			s += " and lies " + v.length(c.OutsideMM, 3) + " beyond its own limits"
		}
		return s + "."
	}
	return ""
}

// excessNext is what to do next about a position that is too wide or tight.
func (v *shower) excessNext(o Obstacle) string {
	if p, ok := v.a.Position(o.Position); ok && p.Excess != nil {
		next := v.excessStep(*p.Excess)
		if p.Excess.Step == StepAsk {
			next += " Then read again; then measure the part that is named."
		}
		return next
	}
	return "Read again; then measure housing bore, journal and shells to find where it sits."
}
