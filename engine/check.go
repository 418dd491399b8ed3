// SPDX-License-Identifier: Apache-2.0

package engine

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark/units"
)

// check holds the parts of a sheet against each other. What could not be read
// is zero here and was reported before, so every check lets zero pass.
func (d *decoder) check(s *Sheet) {
	d.checkHead(s)
	d.checkLayout(s.Layout)
	d.checkBigEnd(s)
	for _, f := range s.Fasteners {
		d.checkFastener(f)
	}
	d.checkRodBolts(s.Fasteners)
	for _, x := range s.Settings {
		d.checkSetting(s, x)
	}
	d.checkLives(s.Lives)
	d.checkOil(s.Oil)
	d.checkDuty(s.Duty)
	d.checkRun(s)
	d.warnBasis()
}

func (d *decoder) checkHead(s *Sheet) {
	if s.Format > FormatVersion {
		d.problemAt("format", fmt.Sprintf("the sheet has format %d, this program reads up to %d", s.Format, FormatVersion),
			"use a newer program")
	} else if s.Format < 1 && d.has("format") {
		d.problemAt("format", fmt.Sprintf("format is %d", s.Format), "write format: 1")
	}
	ids := make([]string, 0, len(s.Sources))
	for id := range s.Sources {
		ids = append(ids, id)
		if strings.ContainsAny(id, " \t\n") || id == "" {
			d.problemAt("sources."+id, fmt.Sprintf("the source id %q has a space in it", id), "write one word")
		}
	}
	slices.Sort(ids)
	for _, c := range d.cited {
		if _, ok := s.Sources[c.id]; !ok {
			d.problem(c.at, fmt.Sprintf("%q is not in sources", c.id),
				"write one of "+strings.Join(ids, ", ")+" or add it to sources")
		}
	}
}

func (d *decoder) warn(at place, what, want string) {
	d.warnings = append(d.warnings, Problem{d.file, at.line, at.column, what, want})
}

func (d *decoder) warnAt(path, what, want string) { d.warn(d.find(path), what, want) }

// has reports whether the sheet has something at a path.
func (d *decoder) has(path string) bool {
	_, ok := d.at[path]
	return ok
}

// broken reports whether something at or below a path could not be read.
func (d *decoder) broken(path string) bool {
	at := map[place]bool{}
	for _, p := range d.problems {
		at[place{p.Line, p.Column}] = true
	}
	for p, here := range d.at {
		if (p == path || strings.HasPrefix(p, path+".")) && at[here] {
			return true
		}
	}
	return false
}

// oneOf holds a word against the words that are known in its place.
func (d *decoder) oneOf(path, word string, words ...string) {
	if d.has(path) && !slices.Contains(words, word) {
		d.problemAt(path, fmt.Sprintf("%s is %q", last(path), word), "write one of "+strings.Join(words, ", "))
	}
}

// positive refuses zero and less where a value is given.
func positive[Q units.Quantity](d *decoder, values ...Value[Q]) {
	for _, v := range values {
		if v.Given() && v.V <= 0 {
			d.problemAt(v.Path, fmt.Sprintf("%s is %s", last(v.Path), v.Text), "write a value above zero")
		}
	}
}

// positiveSize refuses zero and less in a size and its limits.
func positiveSize[Q units.Quantity](d *decoder, sizes ...Nominal[Q]) {
	for _, n := range sizes {
		for _, q := range []*Q{n.Value, n.Min, n.Max} {
			if q != nil && *q <= 0 {
				d.problemAt(n.Path, fmt.Sprintf("%s is %s", last(n.Path), n), "write a value above zero")
				break
			}
		}
	}
}

// notNegative refuses limits of sizes below zero.
func notNegative[Q units.Quantity](d *decoder, limits ...LimitOf[Q]) {
	for _, l := range limits {
		if l.Min != nil && *l.Min < 0 || l.Max != nil && *l.Max < 0 {
			d.problemAt(l.Path, fmt.Sprintf("%s is %s", spoken(l.Path), l), "write limits of zero or more")
		}
	}
}

// twice returns the first word that stands twice in a list.
func twice[T comparable](list []T) (T, bool) {
	for i, x := range list {
		if slices.Contains(list[:i], x) {
			return x, true
		}
	}
	var zero T
	return zero, false
}

// arrangement reports whether a holds exactly the members of b, each once.
func arrangement[T comparable](a, b []T) bool {
	if _, repeated := twice(a); repeated || len(a) != len(b) {
		return false
	}
	return !slices.ContainsFunc(a, func(x T) bool { return !slices.Contains(b, x) })
}
