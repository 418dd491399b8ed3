// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"

	"witnessmark/fastener"
	"witnessmark/internal/draw"
)

// TraceSetView is one file of traces in words.
type TraceSetView struct {
	Seq      int64
	Fastener string
	Title    string
	Name     string
	Words    string // how many, from how many rows
	Notes    []string
	Lines    []TraceLine
	File     string // commitment
	Odd      int
}

// TraceLine is one trace.
type TraceLine struct {
	Name, Place                      string
	Position                         int
	Snug, Rate, Yield, Final, Turned string
	State                            WordView
	Why                              string
	Looked                           string // what was found
	Open                             bool   // odd, and nobody has looked
}

func (v *shower) traces() []TraceSetView {
	var out []TraceSetView
	for _, k := range v.s.Traces {
		set := TraceSetView{Seq: k.At.Seq, Fastener: k.Body.Fastener, Title: k.Body.Fastener, Name: k.Body.Name, Notes: sentences(k.Body.Notes), File: k.Body.File,
			Words: count(len(k.Body.Traces), "trace", "traces") + " from " + count(k.Body.Rows, "row", "rows") + ", by " + v.person(k.At.Person) + " " + v.clock(k.At.Received)}
		if v.basis.Sheet != nil {
			if f, ok := v.basis.Sheet.Fastener(k.Body.Fastener); ok {
				set.Title = f.Title
			}
		}
		for _, t := range k.Body.Traces {
			line := v.traceLine(k.At.Seq, t)
			if t.Odd {
				set.Odd++
			}
			set.Lines = append(set.Lines, line)
		}
		out = append(out, set)
	}
	return out
}

func (v *shower) traceLine(seq int64, t TraceOfBolt) TraceLine {
	l := TraceLine{Name: t.Name, Place: sentence(t.place(v.basis.Namer())), Position: t.Position, Snug: given(t.SnugTorque, 1, " N·m"), Rate: given(t.Rate, 3, " N·m/°"), Yield: given(t.YieldAngle, 0, "°"),
		Final: number(t.FinalTorque, 1) + " N·m", Turned: given(t.AngleFromSnug, 0, "°"), State: WordView{"like the set", stateFits}}
	l.Place = l.Place[:len(l.Place)-1]
	if t.Bolt == "" {
		l.Place += ", no bolt of the sheet"
	}
	if !t.Odd {
		return l
	}
	l.State, l.Why, l.Open = WordView{"odd", stateOut}, sentence(t.Why), true
	if k := v.s.looked(seq, t.Name); k != nil {
		l.State, l.Open = WordView{"odd, looked at", stateUnproven}, false
		l.Looked = sentence(k.Body.Finding) + " " + v.person(k.At.Person) + ", " + v.clock(k.At.Received) + "."
	}
	return l
}

func given(x *float64, d int, unit string) string {
	if x == nil {
		return "—"
	}
	return number(*x, d) + unit
}

// chartPoints is how many points of one trace are drawn at most.
const chartPoints = 240

// TraceChart draws the traces of a file over each other, the odd ones named.
func TraceChart(title string, traces []fastener.Trace, kept TraceKept, name PositionNamer) draw.Chart {
	c := draw.Chart{Title: title + ": torque over angle", X: draw.Scale{Name: "angle", Suffix: "°"}, Y: draw.Scale{Name: "torque", Unit: "N·m"}}
	odd := map[string]TraceOfBolt{}
	for _, t := range kept.Traces {
		if t.Odd {
			odd[t.Name] = t
		}
	}
	usual := ""
	if n := len(kept.Traces) - len(odd); n > 0 {
		usual = fmt.Sprintf("the set, %d", n)
	}
	for _, t := range traces {
		s := draw.Series{Ink: draw.InkSoft, Points: thinned(t.Points)}
		key := t.Fastener
		if key == "" {
			key = "all rows"
		}
		if o, ok := odd[key]; ok {
			s.Name, s.Ink = "odd: "+o.place(name), draw.InkOut
			if n := len(s.Points); n > 0 {
				c.Marks = append(c.Marks, draw.ChartMark{X: s.Points[n-1].X, Y: s.Points[n-1].Y, Label: t.Fastener, Ink: draw.InkOut})
			}
		} else {
			s.Name, usual = usual, ""
		}
		c.Series = append(c.Series, s)
	}
	return c
}

func thinned(points []fastener.TracePoint) []draw.XY {
	step := max(1, (len(points)+chartPoints-1)/chartPoints)
	var out []draw.XY
	for i := 0; i < len(points); i += step {
		out = append(out, draw.XY{X: points[i].Angle, Y: points[i].Torque})
	}
	if n := len(points); n > 0 && (n-1)%step != 0 {
		out = append(out, draw.XY{X: points[n-1].Angle, Y: points[n-1].Torque})
	}
	return out
}
