// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"slices"
)

// cell is all readings of one part by one person.
type cell struct{ part, person int }

// studyTable is the readings by part and person, in order of appearance.
type studyTable struct {
	parts, persons []string
	cells          map[cell][]float64
	mean           float64
}

func newStudyTable(readings []StudyReading) (studyTable, error) {
	t := studyTable{cells: map[cell][]float64{}}
	var all []float64
	for i, r := range readings {
		if r.Part == "" || r.Person == "" {
			return t, fmt.Errorf("%w: reading %d has no part or no person", ErrInput, i+1)
		}
		c := cell{place(&t.parts, r.Part), place(&t.persons, r.Person)}
		t.cells[c] = append(t.cells[c], r.Reading)
		all = append(all, r.Reading)
	}
	s, err := Summarise(all)
	t.mean = s.Mean
	return t, err
}

// place returns where name stands in names, putting it there if new.
func place(names *[]string, name string) int {
	if i := slices.Index(*names, name); i >= 0 {
		return i
	}
	*names = append(*names, name)
	return len(*names) - 1
}

// balanced says whether every person read every part equally often.
func (t studyTable) balanced() bool {
	n := t.repeats()
	for i := range t.parts {
		for j := range t.persons {
			if len(t.cells[cell{i, j}]) != n {
				return false
			}
		}
	}
	return true
}

func (t studyTable) repeats() int { return len(t.cells[cell{0, 0}]) }

// missing names the cells that nobody read.
func (t studyTable) missing() []string {
	var out []string
	for i, part := range t.parts {
		for j, person := range t.persons {
			if len(t.cells[cell{i, j}]) == 0 {
				out = append(out, fmt.Sprintf("part %s by %s", part, person))
			}
		}
	}
	return out
}

// mean of the readings that keep says, as an offset from the grand mean.
func (t studyTable) offset(keep func(cell) bool) float64 {
	var sum compensated
	n := 0.0
	for i := range t.parts {
		for j := range t.persons {
			if c := (cell{i, j}); keep(c) {
				for _, x := range t.cells[c] {
					sum.add(x - t.mean)
					n++
				}
			}
		}
	}
	return ratio(sum.sum(), n)
}

// within is the scatter inside the cells, of any numbers of readings.
func (t studyTable) within() MeanSquare {
	var sum compensated
	ν := 0.0
	for c, xs := range t.inOrder() {
		m := t.offset(func(d cell) bool { return d == c })
		for _, x := range xs {
			sum.add(square(x - t.mean - m))
		}
		ν += float64(len(xs) - 1)
	}
	return meanSquare(sum.sum(), ν)
}

// inOrder goes through the cells that were read, always in the same order.
func (t studyTable) inOrder() func(func(cell, []float64) bool) {
	return func(yield func(cell, []float64) bool) {
		for i := range t.parts {
			for j := range t.persons {
				if xs := t.cells[cell{i, j}]; len(xs) > 0 && !yield(cell{i, j}, xs) {
					return
				}
			}
		}
	}
}

// table is the crossed analysis of variance of a balanced study.
func (t studyTable) table() (part, person, interaction, residual MeanSquare) {
	a, b, n := float64(len(t.parts)), float64(len(t.persons)), float64(t.repeats())
	partMean, personMean := make([]float64, len(t.parts)), make([]float64, len(t.persons))
	var parts, persons, cells compensated
	for i := range t.parts {
		partMean[i] = t.offset(func(c cell) bool { return c.part == i })
		parts.add(b * n * square(partMean[i]))
	}
	for j := range t.persons {
		personMean[j] = t.offset(func(c cell) bool { return c.person == j })
		persons.add(a * n * square(personMean[j]))
	}
	for c := range t.inOrder() {
		m := t.offset(func(d cell) bool { return d == c })
		cells.add(n * square(m-partMean[c.part]-personMean[c.person]))
	}
	return meanSquare(parts.sum(), a-1), meanSquare(persons.sum(), b-1),
		meanSquare(cells.sum(), (a-1)*(b-1)), t.within()
}
