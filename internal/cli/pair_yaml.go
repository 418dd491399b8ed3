// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"errors"
	"fmt"

	"witnessmark/bearing"
)

// pairYAML is the file that `pair` reads.
type pairYAML struct {
	Target    *lengthText `yaml:"target"`
	Limits    *limitsYAML `yaml:"limits"`
	Positions []struct {
		Position    int         `yaml:"position"`
		HousingBore *lengthText `yaml:"housing_bore"`
		Journal     *lengthText `yaml:"journal"`
		Growth      lengthText  `yaml:"growth"`
	} `yaml:"positions"`
	Uppers    []shellYAML  `yaml:"uppers"`
	Lowers    []shellYAML  `yaml:"lowers"`
	Pairs     [][]yamlText `yaml:"pairs"`
	Committed []struct {
		Position int      `yaml:"position"`
		Upper    yamlText `yaml:"upper"`
		Lower    yamlText `yaml:"lower"`
	} `yaml:"committed"`
	Grades []struct {
		ID    yamlText    `yaml:"id"`
		Wall  *lengthText `yaml:"wall"`
		Count int         `yaml:"count"`
		Half  yamlText    `yaml:"half"`
	} `yaml:"grades"`
	JournalLimits *limitsYAML  `yaml:"journal_limits"`
	Undersizes    []lengthText `yaml:"undersizes"`
}

type shellYAML struct {
	ID   yamlText    `yaml:"id"`
	Wall *lengthText `yaml:"wall"`
}

// maxPairing bounds what one file may ask for.
const maxPairing = 1000

// parsePair reads the file; every length is in mm after it.
func parsePair(text []byte) (in bearing.PairingInput, err error) {
	var y pairYAML
	if err := strictYAML(text, &y); err != nil {
		return in, err
	}
	if len(y.Positions) > 64 || len(y.Uppers)+len(y.Lowers)+len(y.Grades) > maxPairing {
		return in, fmt.Errorf("at most 64 positions and %d shells and grades", maxPairing)
	}
	var problems []error
	need := func(l *lengthText, what string) float64 {
		if l == nil {
			problems = append(problems, fmt.Errorf("%s is missing", what))
			return 0
		}
		return l.mm
	}
	limits := func(l *limitsYAML, what string) *bearing.Limits {
		got, err := l.optional(what)
		if err != nil {
			problems = append(problems, err)
		}
		return got
	}
	in.Target = need(y.Target, "target")
	in.Limits, in.JournalLimits = limits(y.Limits, "limits"), limits(y.JournalLimits, "journal_limits")
	for _, p := range y.Positions {
		in.Bores = append(in.Bores, bearing.Bore{
			Position:    p.Position,
			HousingBore: need(p.HousingBore, fmt.Sprintf("position %d: housing_bore", p.Position)),
			Journal:     need(p.Journal, fmt.Sprintf("position %d: journal", p.Position)),
			Growth:      p.Growth.mm,
		})
	}
	shells := func(list []shellYAML) (out []bearing.Shell) {
		for _, s := range list {
			out = append(out, bearing.Shell{ID: string(s.ID), Wall: need(s.Wall, "shell "+string(s.ID)+": wall")})
		}
		return out
	}
	in.Uppers, in.Lowers = shells(y.Uppers), shells(y.Lowers)
	for _, g := range y.Grades {
		in.Grades = append(in.Grades, bearing.Grade{ID: string(g.ID), Wall: need(g.Wall, "grade "+string(g.ID)+": wall"), Count: g.Count, Half: bearing.Half(g.Half)})
	}
	for _, p := range y.Pairs {
		if len(p) != 2 {
			problems = append(problems, errors.New("pairs: each is [upper, lower]"))
			continue
		}
		in.Pairs = append(in.Pairs, [2]string{string(p[0]), string(p[1])})
	}
	for _, c := range y.Committed {
		in.Committed = append(in.Committed, bearing.Fitting{Position: c.Position, Upper: string(c.Upper), Lower: string(c.Lower)})
	}
	for _, u := range y.Undersizes {
		in.Undersizes = append(in.Undersizes, u.mm)
	}
	return in, errors.Join(problems...)
}
