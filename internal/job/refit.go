// SPDX-License-Identifier: Apache-2.0

package job

import (
	"slices"

	"witnessmark/engine"
	"witnessmark/scope"
)

// Kinds of what an operation disturbs, as plans name them.
const (
	thingFastener    = "fastener"
	thingSteering    = "steering"
	thingCalibration = "calibration"
)

// DisturbedThing is one thing that an operation disturbed, with its proof.
type DisturbedThing struct {
	Operation string `json:"operation"`
	Thing     string `json:"thing"`
	Title     string `json:"title"`
	Kind      string `json:"kind,omitempty"`
	Part      string `json:"part,omitempty"` // renewed with it
	Quantity  string `json:"quantity,omitempty"`
	// Sheet: the engine sheet has it, so its stages or its reading count there.
	Sheet   bool                 `json:"by_sheet,omitempty"`
	Done    bool                 `json:"done"`
	Marked  bool                 `json:"marked"`
	Result  string               `json:"result,omitempty"`
	None    string               `json:"none_because,omitempty"`
	Proofs  []Noted[RefitProved] `json:"-"`
	Needs   bool                 `json:"needs_mark"` // a witness mark belongs to it
	Checked bool                 `json:"-"`          // it wants a result, or why there is none
}

// Proved reports whether nothing is left to do about it.
func (d DisturbedThing) Proved() bool {
	switch {
	case d.Sheet || d.None != "":
		return true
	case d.Checked:
		return d.Done && d.Result != ""
	}
	return d.Done && (d.Marked || !d.Needs)
}

// OperationSeen is one operation of a plan with what is on record of it.
type OperationSeen struct {
	ID        string           `json:"operation"`
	Title     string           `json:"title"`
	Off       bool             `json:"off"`      // now
	Stripped  bool             `json:"stripped"` // at some time
	Back      bool             `json:"back"`
	Things    []DisturbedThing `json:"things,omitempty"`
	Bag       *Noted[Bagged]   `json:"-"`
	Outermost bool             `json:"-"` // needs nothing else to come off: on last, after the engine has run
	seqs      []int64
}

// Operations are those of a plan that the agreed work needs, in the order of
// the strip.
func Operations(s State, plan *scope.Plan, sheet *engine.Sheet, ids []string) []OperationSeen {
	var out []OperationSeen
	for _, id := range ids {
		o, ok := plan.OperationByID(id)
		if !ok {
			continue
		}
		x := OperationSeen{ID: o.ID, Title: o.Title, Outermost: len(o.Needs) == 0}
		since := int64(0)
		for _, d := range s.Operations {
			if d.Body.Operation != id {
				continue
			}
			x.seqs = append(x.seqs, d.At.Seq)
			switch d.Body.Direction {
			case "strip":
				x.Off, x.Stripped, x.Back, since = true, true, false, d.At.Seq
			case "refit":
				x.Off, x.Back = false, true
			}
		}
		if bag, ok := s.Bags[id]; ok {
			x.Bag = &bag
		}
		for _, d := range o.Disturbs {
			x.Things = append(x.Things, disturbed(s, sheet, o.ID, d, since))
		}
		out = append(out, x)
	}
	return out
}

// disturbed is a thing with the proofs since the operation was stripped last.
func disturbed(s State, sheet *engine.Sheet, operation string, d scope.Disturbance, since int64) DisturbedThing {
	t := DisturbedThing{Operation: operation, Thing: d.ID, Title: d.Name(), Kind: d.Kind, Part: d.Part, Sheet: onSheet(sheet, d.ID),
		Needs: d.Kind == thingFastener, Checked: d.Kind == thingSteering}
	if d.Quantity != nil {
		t.Quantity = d.Quantity.Trim(0).String()
	}
	for _, p := range s.Proofs[ProofKey{operation, d.ID}] {
		if p.At.Seq < since {
			continue
		}
		t.Proofs = append(t.Proofs, p)
		t.Done, t.Marked = t.Done || p.Body.Done, t.Marked || p.Body.Witness
		t.None = p.Body.None
		switch {
		case p.Body.Result != "":
			t.Result = p.Body.Result
		case p.Body.Value != nil:
			t.Result = readText(*p.Body.Value)
		}
	}
	return t
}

// onSheet reports whether the engine sheet has a fastener or a setting of that
// id: its stages or its reading are looked at there.
func onSheet(sheet *engine.Sheet, id string) bool {
	if sheet == nil {
		return false
	}
	if _, ok := sheet.Setting(id); ok {
		return true
	}
	return slices.ContainsFunc(sheet.Fasteners, func(f engine.Fastener) bool { return f.ID == id })
}

// refit looks at what the operations of the plan disturbed. A job without a
// plan, and operations that were not stripped by it, are left alone.
func (a *assessor) refit() {
	plan, ids := a.plan()
	if plan == nil {
		return
	}
	last := int64(0)
	for _, x := range Operations(a.s, plan, a.b.Sheet, ids) {
		if !x.Stripped {
			continue
		}
		last = max(last, slices.Max(x.seqs))
		check := Start
		if x.Outermost {
			check = Handover
		}
		if x.Off {
			a.add(Obstacle{Code: OperationOff, Check: check, Of: x.ID, Title: x.Title, RestsOn: x.seqs})
		}
		a.things(x, check)
	}
	if last > 0 {
		a.faults(last)
	}
}

// things sorts what is not proved: fasteners, connections, seals and fluids
// before the engine starts, steering and resets before handover.
func (a *assessor) things(x OperationSeen, check Check) {
	items := map[Code][]string{}
	rests := map[Code][]int64{}
	for _, t := range x.Things {
		if t.Proved() {
			continue
		}
		code := RefitUnproved
		switch t.Kind {
		case thingSteering:
			code = SteeringUnchecked
		case thingCalibration:
			code = ResetMissing
		}
		items[code] = append(items[code], t.lacks())
		for _, p := range t.Proofs {
			rests[code] = append(rests[code], p.At.Seq)
		}
	}
	for _, code := range []Code{RefitUnproved, SteeringUnchecked, ResetMissing} {
		if len(items[code]) == 0 {
			continue
		}
		at := Handover
		if code == RefitUnproved {
			at = check
		}
		a.add(Obstacle{Code: code, Check: at, Of: x.ID, Title: x.Title, Items: items[code], RestsOn: append(rests[code], x.seqs...)})
	}
}

// lacks says what is missing of a thing.
func (d DisturbedThing) lacks() string {
	switch {
	case d.Needs && d.Done:
		return lower(d.Title) + ", witness mark"
	case d.Needs && d.Marked:
		return lower(d.Title) + ", tightening"
	case d.Needs:
		return lower(d.Title) + ", tightening and witness mark"
	}
	return lower(d.Title)
}

// faults asks for the stored faults after the last operation.
func (a *assessor) faults(last int64) {
	var read *Noted[FaultsRead]
	for i := range a.s.Faults {
		read = &a.s.Faults[i]
	}
	switch {
	case read == nil || read.At.Seq < last:
		a.add(Obstacle{Code: FaultsUnread, Check: Handover, RestsOn: []int64{last}})
	case read.Body.Stored != "" && !read.Body.Cleared:
		a.add(Obstacle{Code: FaultsStored, Check: Handover, Items: []string{read.Body.Stored}, RestsOn: []int64{read.At.Seq}})
	}
}
