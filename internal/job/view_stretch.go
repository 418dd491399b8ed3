// SPDX-License-Identifier: Apache-2.0

package job

import "fmt"

// StretchView is the lengths of one bolt in words.
type StretchView struct {
	Fastener, Place, Set         string
	Before, Tight, After, Growth string
	Stretch                      string
	Preload                      string
	Uses                         string // "2 left", "none left", "no limit on the sheet"
	State                        WordView
	Why                          string
	Entries                      string
}

func (v *shower) stretches() []StretchView {
	var out []StretchView
	for _, x := range v.a.Stretches {
		out = append(out, v.stretch(x))
	}
	return out
}

func (v *shower) stretch(x BoltStretch) StretchView {
	out := StretchView{Fastener: x.Title, Set: x.Set, Before: given(x.Before, 3, " mm"), Tight: given(x.Tight, 3, " mm"), After: given(x.After, 3, " mm"),
		Growth: given(x.Growth, 0, " µm"), Stretch: given(x.Stretch, 0, " µm"), Preload: given(x.Preload, 1, " kN"), Entries: entriesWords(x.Entries),
		State: WordView{"within its length", stateFits}, Uses: "no limit on the sheet"}
	out.Place = x.Title + ", bolt " + x.Bolt
	if x.Position != 0 {
		out.Place = x.Title + ", position " + positionName(x.Position, v.basis.cylinder(x.Position)) + ", bolt " + x.Bolt
	}
	switch {
	case x.PastYield:
		out.Preload = "about " + out.Preload + ", past yield"
	case x.PreloadU != nil:
		out.Preload += " ± " + number(2*(*x.PreloadU), 1) + " kN (k = 2)"
	}
	if x.UsesLeft != nil {
		out.Uses = fmt.Sprintf("%d left", *x.UsesLeft)
		if *x.UsesLeft == 0 {
			out.Uses = "none left"
		}
	}
	if x.Limit == nil && x.UsesLeft == nil {
		out.State = WordView{"no limit to hold it against", stateTodo}
	}
	switch {
	case x.Problem != "":
		out.State, out.Why = WordView{"not usable", stateUnproven}, sentence(x.Problem)
	case x.UsedAgain:
		out.State, out.Why = WordView{"over its limit, and used again", stateOut}, sentence(x.Why)
	case x.Spent && !x.OverLength && x.After == nil && x.UsesMade == 1:
		out.State = WordView{"in its only use", stateFits}
	case x.Spent:
		out.State, out.Why = WordView{"spent", stateUnproven}, sentence(x.Why)
	}
	if len(x.Missing) > 0 && x.Tight != nil {
		out.Why = sentence("no preload: the sheet lacks "+list(x.Missing)) + " " + out.Why
	}
	return out
}
