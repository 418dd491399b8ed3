// SPDX-License-Identifier: Apache-2.0

package job

import (
	"slices"
	"strings"

	"witnessmark/scope"
)

// OperationView is an operation of the plan in words.
type OperationView struct {
	ID, Title, Strip, Refit, Caution string
	Off, Stripped, Back              bool
	Bag                              string // what is on record of its bag
	Things                           []ThingView
	Loose                            string // fasteners to bag
	Tools                            string
	Left                             int // things not proved
}

// ThingView is a thing that an operation disturbed.
type ThingView struct {
	Thing, Title, Kind string
	State              WordView
	Said               string
	Sheet              string // page where the engine sheet's own proof is made
	Steering           bool
	Proved             bool
	Button             string // what one tap says
	Mark               bool   // the tap says that the witness mark is there
}

// WorkView is a piece of agreed work.
type WorkView struct {
	ID, Title, Hours, Caution string
	Done                      bool
}

// ShowOperations puts the operations of the agreed work into words, in the
// order of the strip.
func ShowOperations(all []OperationSeen, plan *scope.Plan) []OperationView {
	var out []OperationView
	for _, x := range all {
		o, _ := plan.OperationByID(x.ID)
		v := OperationView{ID: x.ID, Title: x.Title, Strip: hours(o.Strip.Hours()), Refit: hours(o.Refit.Hours()), Caution: o.Caution,
			Off: x.Off, Stripped: x.Stripped, Back: x.Back, Tools: strings.Join(o.Tools, ", ")}
		if x.Bag != nil {
			v.Bag = x.Bag.Body.words(nil)
		}
		var loose []string
		for _, t := range x.Things {
			tv := thingView(t, plan)
			if !tv.Proved {
				v.Left++
			}
			if t.Kind == thingFastener {
				loose = append(loose, lower(t.Title))
			}
			v.Things = append(v.Things, tv)
		}
		v.Loose = list(loose)
		out = append(out, v)
	}
	return out
}

func thingView(t DisturbedThing, plan *scope.Plan) ThingView {
	v := ThingView{Thing: t.Thing, Title: t.Title, Kind: t.Kind, Proved: t.Proved(), Steering: t.Checked, Mark: t.Needs, Button: proofButtons[t.Kind]}
	if v.Button == "" {
		v.Button = "Done"
	}
	var said []string
	if t.Part != "" {
		w := "renewed with "
		if t.Quantity != "" && t.Quantity != "1" {
			w += t.Quantity + " × "
		}
		said = append(said, w+lower(titleOfPart(plan, t.Part)))
	}
	switch {
	case t.Sheet && t.Kind == thingFastener:
		v.Sheet, v.State = "bolts", WordView{"by its stages on the engine sheet", "soft"}
	case t.Sheet:
		v.Sheet, v.State = "settings", WordView{"by its reading on the engine sheet", "soft"}
	case t.None != "":
		v.State = WordView{"nothing needed", stateFits}
		said = append(said, t.None)
	case v.Proved:
		v.State = WordView{map[bool]string{true: "tightened and marked", false: "done"}[t.Needs], stateFits}
	case t.Done && t.Needs:
		v.State, v.Button = WordView{"witness mark missing", stateUnproven}, "Marked"
	case t.Marked && t.Needs:
		v.State = WordView{"marked, tightening missing", stateUnproven}
	default:
		v.State = WordView{map[bool]string{true: "to tighten and mark", false: "to do"}[t.Needs], stateTodo}
	}
	if t.Result != "" {
		said = append(said, t.Result)
	}
	v.Said = strings.Join(said, "; ")
	return v
}

// proofButtons are what one tap says, by kind of thing.
var proofButtons = map[string]string{
	thingFastener: "Tightened in its stages, and marked", "seal": "Renewed", "fluid": "Filled", "connection": "Connected, latched",
	thingCalibration: "Set anew", thingSteering: "Checked",
}

// ShowWork lists the agreed work in words.
func ShowWork(s State, plan *scope.Plan, e scope.Estimate) []WorkView {
	var out []WorkView
	for _, id := range workIDs(e) {
		w, ok := plan.WorkByID(id)
		if !ok {
			continue
		}
		done := slices.ContainsFunc(s.Operations, func(o Noted[OperationDone]) bool {
			return o.Body.Direction == "work" && o.Body.Operation == id
		})
		out = append(out, WorkView{ID: id, Title: w.Title, Hours: hours(w.Hours.Hours()), Caution: w.Caution, Done: done})
	}
	return out
}

func workIDs(e scope.Estimate) []string {
	var ids []string
	for _, x := range slices.Concat(e.Wanted, e.Companions) {
		ids = append(ids, x.ID)
	}
	return ids
}

// titleOfPart is a part's title in the plan; its id where the plan has none.
func titleOfPart(plan *scope.Plan, id string) string {
	for _, p := range plan.Parts {
		if p.ID == id && p.Title != "" {
			return p.Title
		}
	}
	return id
}

// LookedView is what was found of a piece of work, to write down or to read.
type LookedView struct {
	ID, Title string
	Found     string // in words; empty: nobody looked yet
	Needed    bool
}

// ShowLooked lists the agreed work and what was offered beside it, with whether
// it was found worn or sound.
func ShowLooked(s State, plan *scope.Plan, e scope.Estimate) []LookedView {
	var out []LookedView
	ids := workIDs(e)
	for _, id := range OffersOf(s, plan) {
		if !slices.Contains(ids, id) {
			ids = append(ids, id)
		}
	}
	for _, id := range ids {
		w, ok := plan.WorkByID(id)
		if !ok {
			continue
		}
		v := LookedView{ID: id, Title: w.Title}
		if f, ok := s.Found[id]; ok {
			v.Found, v.Needed = map[bool]string{true: "found worn", false: "found sound"}[f.Body.Needed], f.Body.Needed
		}
		out = append(out, v)
	}
	return out
}
