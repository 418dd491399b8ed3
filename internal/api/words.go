// SPDX-License-Identifier: Apache-2.0

package api

import "witnessmark/internal/job"

// Words is a job in the words of the page, for people to read. Numbers in it
// are rounded; the assessment has them as they are.
type Words struct {
	Vehicle    string          `json:"vehicle,omitempty"`
	Family     string          `json:"family,omitempty"`
	Odometer   string          `json:"odometer,omitempty"`
	Notices    []string        `json:"notices" doc:"what must be said wherever the job is shown"`
	Limits     string          `json:"limits,omitempty"`
	Next       string          `json:"next" doc:"the one thing to do next"`
	Waits      string          `json:"waits" doc:"what the job waits for"`
	Mains      string          `json:"mains"`
	AllFit     string          `json:"all_fit,omitempty"`
	Finding    *Finding        `json:"finding,omitempty" doc:"the position that needs attention most"`
	Positions  []PositionWords `json:"positions"`
	EndFloat   *ValueWords     `json:"end_float,omitempty"`
	FloatFound *ValueWords     `json:"end_float_found,omitempty"`
	Thrust     *ThrustWords    `json:"thrust_washers,omitempty"`
	Sides      []SideWords     `json:"side_clearances" doc:"per throw where rods share one, else per rod"`
	Checks     []CheckWords    `json:"checks"`
}

// SideWords is the side clearance of one throw, or of one rod.
type SideWords struct {
	Name      string      `json:"name"`
	Positions string      `json:"positions,omitempty" doc:"that share it"`
	At        int         `json:"at" doc:"the position at which it is recorded"`
	Value     *ValueWords `json:"value,omitempty"`
}

// ThrustWords is the choice of thrust washers: the nearest to the middle first.
type ThrustWords struct {
	In      string       `json:"in,omitempty" doc:"the washers on record last"`
	Gap     string       `json:"gap,omitempty"`
	Middle  string       `json:"middle_of_limits,omitempty"`
	Choices []ThrustWays `json:"choices"`
	Why     string       `json:"why_none,omitempty"`
	Better  string       `json:"better,omitempty"`
}

// ThrustWays is one way to fit washers.
type ThrustWays struct {
	Washers  string  `json:"washers"`
	EndFloat string  `json:"end_float"`
	Spread   string  `json:"spread"`
	Verdict  Verdict `json:"verdict"`
	Chance   string  `json:"chance,omitempty"`
}

func thrustOf(t *job.ThrustView) *ThrustWords {
	if t == nil {
		return nil
	}
	out := &ThrustWords{In: t.In, Gap: t.Gap, Middle: t.Middle, Choices: []ThrustWays{}, Why: t.Why, Better: t.Better}
	for _, c := range t.Choices {
		out.Choices = append(out.Choices, ThrustWays{Washers: c.Washers, EndFloat: c.Float, Spread: c.Spread, Verdict: Verdict(c.Verdict), Chance: c.Chance})
	}
	return out
}

// Finding is the position that needs attention most.
type Finding struct {
	Position int        `json:"position"`
	Title    string     `json:"title"`
	Value    ValueWords `json:"value"`
}

// PositionWords is one big end.
type PositionWords struct {
	Position int         `json:"position"`
	Cylinder string      `json:"cylinder"`
	Name     string      `json:"name"`
	Found    *ValueWords `json:"found,omitempty"`
	Fitted   *ValueWords `json:"fitted,omitempty"`
	Side     *ValueWords `json:"side_clearance,omitempty"`
	Verdict  Verdict     `json:"verdict" doc:"as fitted"`
	Upper    Verdict     `json:"upper_shell"`
	Lower    Verdict     `json:"lower_shell"`
	Journal  Verdict     `json:"journal"`
}

// Verdict is a word with its state: fits, out, unproven, todo or soft.
type Verdict struct {
	Word  string `json:"word"`
	State string `json:"state"`
}

// ValueWords is a decided value.
type ValueWords struct {
	Value    string   `json:"value" doc:"with its unit"`
	Spread   string   `json:"spread,omitempty"`
	Limit    string   `json:"limit,omitempty"`
	Verdict  Verdict  `json:"verdict"`
	Headline string   `json:"headline"`
	Why      string   `json:"why"`
	Chance   string   `json:"chance,omitempty"`
	Taper    string   `json:"taper,omitempty"`
	Notes    []string `json:"notes,omitempty"`
}

// CheckWords is one of the three checks.
type CheckWords struct {
	Check    job.Check          `json:"check" enum:"close-up,start,handover"`
	Title    string             `json:"title"`
	Ready    bool               `json:"ready"`
	Standing []job.ObstacleView `json:"standing"`
	Conceded []job.ObstacleView `json:"conceded"`
}

func wordsOf(v job.View) Words {
	w := Words{Vehicle: v.Vehicle, Family: v.Family, Odometer: v.Odometer, Notices: append([]string{}, v.Notices...), Limits: v.Limits, Next: v.Next, Waits: v.Waits,
		Mains: v.Mains, AllFit: v.AllFit, EndFloat: valueOf(v.EndFloat), FloatFound: valueOf(v.FloatFound), Thrust: thrustOf(v.Thrust), Sides: []SideWords{}, Positions: []PositionWords{}, Checks: []CheckWords{}}
	if f := v.Finding; f != nil {
		w.Finding = &Finding{Position: f.Position, Title: f.Title, Value: *valueOf(&f.Value)}
	}
	for _, s := range v.Sides {
		w.Sides = append(w.Sides, SideWords{Name: s.Name, Positions: s.Rods, At: s.At, Value: valueOf(s.Value)})
	}
	for _, p := range v.Positions {
		w.Positions = append(w.Positions, PositionWords{Position: p.Position, Cylinder: p.Cylinder, Name: p.Name, Found: valueOf(p.Found), Fitted: valueOf(p.Fitted),
			Side: valueOf(p.Side), Verdict: Verdict(p.Verdict), Upper: Verdict(p.Upper), Lower: Verdict(p.Lower), Journal: Verdict(p.Journal)})
	}
	for _, c := range v.Checks {
		w.Checks = append(w.Checks, CheckWords{Check: c.Check, Title: c.Title, Ready: c.Ready, Standing: append([]job.ObstacleView{}, c.Standing...), Conceded: append([]job.ObstacleView{}, c.Conceded...)})
	}
	return w
}

func valueOf(v *job.ValueView) *ValueWords {
	if v == nil {
		return nil
	}
	return &ValueWords{Value: v.WithUnit, Spread: v.Spread, Limit: v.Limit, Verdict: Verdict(v.Verdict), Headline: v.Headline, Why: v.Why, Chance: v.Chance, Taper: v.Taper, Notes: v.Notes}
}

// Line is one entry in words.
type Line struct {
	Sequence  int64    `json:"sequence"`
	ID        string   `json:"id"`
	Kind      string   `json:"kind"`
	Title     string   `json:"title"`
	Words     string   `json:"words" doc:"as it was written"`
	Now       string   `json:"now,omitempty" doc:"as it stands, corrections counted"`
	Person    string   `json:"person" doc:"name, or id when the name is erased"`
	Time      string   `json:"device_time" doc:"as the workshop's clock shows it"`
	Received  string   `json:"received"`
	ClockOff  string   `json:"clock_off,omitempty"`
	Position  int      `json:"position,omitempty"`
	Replaces  int64    `json:"replaces,omitempty"`
	Corrected []int64  `json:"corrected_by,omitempty"`
	Withdrawn bool     `json:"withdrawn,omitempty"`
	Unknown   bool     `json:"unknown,omitempty" doc:"of a kind that this version does not know"`
	Photos    []string `json:"photos,omitempty"`
}

func linesOf(lines []job.Line) []Line {
	out := []Line{}
	for _, l := range lines {
		x := Line{Sequence: l.Seq, ID: l.ID, Kind: l.Kind, Title: l.Title, Words: l.Words, Now: l.Now, Person: l.Person, Time: l.Time, Received: l.Received,
			ClockOff: l.ClockOff, Position: l.Position, Replaces: l.Replaces, Withdrawn: l.Withdrawn, Unknown: l.Unknown, Photos: l.Photos}
		for _, c := range l.Replaced {
			x.Corrected = append(x.Corrected, c.Seq)
		}
		out = append(out, x)
	}
	return out
}
