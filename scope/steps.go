// SPDX-License-Identifier: Apache-2.0

package scope

import "slices"

// Spread turns a plan's single figure into three, as factors of it.
type Spread struct{ Least, Most float64 }

// UsualSpread is a fifth quicker to three fifths slower. Common practice, no
// source: an assumption, to be shown as one.
var UsualSpread = Spread{0.8, 1.6}

func (s Spread) of(h Hours) PERT {
	x := h.Hours()
	return PERT{s.Least * x, x, s.Most * x}
}

// Step is one stretch of work on the vehicle.
type Step struct {
	ID       string   // strip:ID, work:ID or refit:ID
	Title    string   // of the operation or work
	Duration PERT     // in working hours
	Needs    []string // steps that end before it starts
	Supplies []string // parts (by id) and tools (by name) that it takes
}

// Steps lists a job as steps: operations stripped after what they need, work
// after what it needs, operations refitted after the work and after what was
// stripped behind them. Work takes its parts; a refit takes the parts that
// renew what was disturbed; all take their tools.
//
// It returns an *[UnknownWorkError] for work that the plan does not have.
func (p *Plan) Steps(want []string, s Spread) ([]Step, error) {
	asked, err := p.lookUp(want)
	if err != nil {
		return nil, err
	}
	work, _ := p.graph.together(asked)
	needed := p.needed(work)
	var strips, works, refits []Step
	for _, i := range p.graph.order {
		if !needed[i] {
			continue
		}
		o := p.Operations[i]
		strips = append(strips, Step{"strip:" + o.ID, o.Title, s.of(o.Strip), prefixed("strip:", o.Needs), slices.Clone(o.Tools)})
		refit := Step{"refit:" + o.ID, o.Title, s.of(o.Refit), []string{"strip:" + o.ID}, slices.Clone(o.Tools)}
		for _, x := range o.Disturbs {
			if x.Part != "" {
				refit.Supplies = append(refit.Supplies, p.graph.current(x.Part))
			}
		}
		refits = append(refits, refit)
	}
	for _, w := range work {
		x := p.Work[w]
		step := Step{"work:" + x.ID, x.Title, s.of(x.Hours), prefixed("strip:", x.Needs), slices.Clone(x.Tools)}
		for _, u := range x.Parts {
			step.Supplies = append(step.Supplies, p.graph.current(u.Part))
		}
		works = append(works, step)
	}
	slices.Reverse(refits)
	p.behind(refits, work)
	return slices.Concat(strips, works, refits), nil
}

// behind makes each refit wait for all that was reached through it.
func (p *Plan) behind(refits []Step, work []int) {
	at := map[string]*Step{}
	for i := range refits {
		at[refits[i].ID] = &refits[i]
	}
	for i := range refits {
		o, _ := p.OperationByID(refits[i].ID[len("refit:"):])
		for _, need := range o.Needs {
			r := at["refit:"+need]
			r.Needs = append(r.Needs, refits[i].ID)
		}
	}
	for _, w := range work {
		for _, need := range p.Work[w].Needs {
			r := at["refit:"+need]
			r.Needs = append(r.Needs, "work:"+p.Work[w].ID)
		}
	}
}

func prefixed(prefix string, ids []string) []string {
	var out []string
	for _, id := range ids {
		out = append(out, prefix+id)
	}
	return out
}
