// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"witnessmark/engine"
	"witnessmark/fastener"
)

// TraceKept is a file of torque over angle from a digital wrench. The file
// itself is kept beside the log; what was read in it stands here.
type TraceKept struct {
	Fastener string `json:"fastener"`
	File     string `json:"file"` // commitment
	Name     string `json:"name,omitempty"`
	// Columns are angle, torque and fastener as they were named by hand.
	Columns []string      `json:"columns,omitempty"`
	Rows    int           `json:"rows"`
	Notes   []string      `json:"notes,omitempty"`
	Traces  []TraceOfBolt `json:"traces"`
	Remark  string        `json:"remark,omitempty"`
}

// TraceOfBolt is one trace of the file.
type TraceOfBolt struct {
	Name          string   `json:"name"` // as the file has it
	Position      int      `json:"position,omitempty"`
	Bolt          string   `json:"bolt,omitempty"` // empty: the name is no bolt of the sheet
	SnugTorque    *float64 `json:"snug_torque_Nm,omitempty"`
	Rate          *float64 `json:"rate_Nm_per_deg,omitempty"`
	YieldAngle    *float64 `json:"yield_angle_deg,omitempty"`
	FinalTorque   float64  `json:"final_torque_Nm"`
	AngleFromSnug *float64 `json:"angle_from_snug_deg,omitempty"`
	Odd           bool     `json:"odd"`
	Why           string   `json:"why,omitempty"`
}

// maxTraces is how many traces one entry may hold.
const maxTraces = 400

func (b *TraceKept) check() error {
	if len(b.Traces) == 0 {
		return errors.New("no trace in the file")
	}
	if len(b.Traces) > maxTraces {
		return fmt.Errorf("%d traces in one file: %d at most; split it", len(b.Traces), maxTraces)
	}
	for _, t := range b.Traces {
		if err := firstError(checkLength("name of a trace", t.Name), checkLength("why", t.Why), checkLength("bolt", t.Bolt)); err != nil {
			return err
		}
		if t.Position != 0 {
			if err := checkPosition(t.Position); err != nil {
				return err
			}
		}
	}
	return firstError(checkText("fastener", b.Fastener), checkCommitment("file", b.File), checkLength("name", b.Name), checkLength("remark", b.Remark))
}

func (b *TraceKept) apply(s *State, at At) {
	s.Traces = append(s.Traces, Noted[TraceKept]{At: at, Body: *b})
	s.addBlob(at, b.File)
}

func (b *TraceKept) words(name PositionNamer) string {
	w := "Traces of " + plainWord(b.Fastener) + " read: " + count(len(b.Traces), "fastener", "fastenings") + ", " + count(b.Rows, "row", "rows")
	var odd []string
	for _, t := range b.Traces {
		if t.Odd {
			odd = append(odd, t.place(name)+" "+t.Why)
		}
	}
	if len(odd) == 0 {
		return w + ", none odd."
	}
	return w + ". Odd: " + strings.Join(odd, "; ") + "."
}

func (t TraceOfBolt) place(name PositionNamer) string {
	switch {
	case t.Bolt == "":
		return t.Name
	case t.Position == 0:
		return "bolt " + t.Bolt
	}
	return "position " + name(t.Position) + " bolt " + t.Bolt
}

// TraceLooked says what was found at a bolt whose trace is odd.
type TraceLooked struct {
	Trace   int64  `json:"trace"` // entry of the file
	Name    string `json:"name"`  // as the file has it
	Finding string `json:"finding"`
}

func (b *TraceLooked) check() error {
	if b.Trace <= 0 {
		return errors.New("trace: name the entry of its file")
	}
	return firstError(checkText("name of the trace", b.Name), checkText("what was found", b.Finding))
}

func (b *TraceLooked) apply(s *State, at At) {
	s.TracesLooked = append(s.TracesLooked, Noted[TraceLooked]{At: at, Body: *b})
}

func (b *TraceLooked) words(PositionNamer) string {
	return fmt.Sprintf("Odd trace %s of entry %d looked at: %s", b.Name, b.Trace, sentence(b.Finding))
}

// TracesOf names the bolts of what was read in a file, by the names that it
// has: "4a", "04-A" or "Pos 4 bolt a".
func TracesOf(results []fastener.TraceResult, f engine.Fastener, sheet *engine.Sheet) []TraceOfBolt {
	var out []TraceOfBolt
	for _, r := range results {
		t := TraceOfBolt{Name: r.Fastener, SnugTorque: r.SnugTorque, Rate: r.Rate, YieldAngle: r.YieldAngle, FinalTorque: r.FinalTorque,
			AngleFromSnug: r.AngleFromSnug, Odd: r.Odd, Why: r.Why}
		if t.Name == "" {
			t.Name = "all rows"
		}
		t.Position, t.Bolt = boltNamed(t.Name, f, sheet)
		out = append(out, t)
	}
	return out
}

func boltNamed(name string, f engine.Fastener, sheet *engine.Sheet) (int, string) {
	for _, b := range f.Bolts {
		pattern := `(?i)^\D*0*([1-9][0-9]?)[^0-9]*?` + regexp.QuoteMeta(b) + `\s*$`
		if m := regexp.MustCompile(pattern).FindStringSubmatch(name); m != nil {
			n, _ := strconv.Atoi(m[1])
			if _, ok := sheet.Position(n); ok && f.PerPosition() {
				return n, b
			}
		}
	}
	return 0, ""
}

// traces asks about odd traces of the tightening that is on, until they were
// looked at.
func (a *assessor) traces() {
	latest := map[string]bool{}
	for i := len(a.s.Traces) - 1; i >= 0; i-- {
		kept := a.s.Traces[i]
		f, _ := a.b.Sheet.Fastener(kept.Body.Fastener)
		for _, t := range kept.Body.Traces {
			key := fmt.Sprintf("%s/%d/%s/%s", kept.Body.Fastener, t.Position, t.Bolt, t.Name)
			if t.Bolt != "" {
				key = fmt.Sprintf("%s/%d/%s", kept.Body.Fastener, t.Position, t.Bolt)
			}
			if latest[key] {
				continue
			}
			latest[key] = true
			if !t.Odd || a.s.looked(kept.At.Seq, t.Name) != nil || a.loosenedSince(f.ID, t, kept.At.Seq) {
				continue
			}
			a.add(Obstacle{Code: TraceOdd, Check: CloseUp, Position: t.Position, Of: t.Name, Title: f.Title, Items: []string{t.Bolt, t.Why}, RestsOn: []int64{kept.At.Seq}})
		}
	}
}

// looked finds what was found at an odd trace.
func (s State) looked(seq int64, name string) *Noted[TraceLooked] {
	for i := len(s.TracesLooked) - 1; i >= 0; i-- {
		if l := s.TracesLooked[i]; l.Body.Trace == seq && l.Body.Name == name {
			return &s.TracesLooked[i]
		}
	}
	return nil
}

func (a *assessor) loosenedSince(fastener string, t TraceOfBolt, seq int64) bool {
	b := a.bolt(fastener, t.Position, t.Bolt)
	if b == nil {
		return false
	}
	for _, s := range b.Stages {
		if s.Loosened && s.At.Seq > seq {
			return true
		}
	}
	return false
}
