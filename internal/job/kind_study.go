// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"fmt"

	"witnessmark/metrology"
	"witnessmark/units"
)

// studyKinds are the kinds of the log of a gauge study while it is read. What
// comes out goes into the log of the gauge.
func studyKinds() []Kind {
	kinds := []Kind{
		kind[StudyOpened]("study_opened", 1, "Gauge study begun"),
		kind[StudyRead]("study_read", 1, "Part read"),
		kind[StudyAgain]("study_again", 1, "Part to be read again"),
	}
	for i := range kinds {
		kinds[i].Job, kinds[i].Log = false, LogStudy
	}
	return kinds
}

// Most of a study: beyond them nobody reads it to its end.
const (
	maxStudyParts   = 30
	maxStudyPersons = 3
	maxStudyRounds  = 10
)

// StudyOpened begins a gauge study: who reads which parts how often. The seed
// makes the random order, so that anybody can make it again.
type StudyOpened struct {
	ID      string   `json:"id"`
	Gauge   string   `json:"gauge"`
	Parts   []string `json:"parts"`
	Persons []string `json:"persons"` // ids in the workshop
	Rounds  int      `json:"rounds"`
	Seed    int64    `json:"seed"`
	// Low and High are what the parts can measure at all: outside, a reading is
	// questioned.
	Low    *units.Read `json:"low,omitempty"`
	High   *units.Read `json:"high,omitempty"`
	Remark string      `json:"remark,omitempty"`
}

func (b *StudyOpened) check() error {
	if err := firstError(checkText("study", b.ID), checkText("gauge", b.Gauge), checkLength("remark", b.Remark),
		checkKind("low", b.Low, units.KindLength), checkKind("high", b.High, units.KindLength)); err != nil {
		return err
	}
	switch {
	case len(b.Parts) > maxStudyParts || len(b.Persons) > maxStudyPersons || b.Rounds > maxStudyRounds:
		return fmt.Errorf("a study has at most %d parts, %d people and %d rounds", maxStudyParts, maxStudyPersons, maxStudyRounds)
	case b.Seed < 0 || b.Seed > 1<<53:
		return errors.New("seed: a whole number of at least 0")
	case b.Low != nil && b.High != nil && b.Low.Value >= b.High.Value:
		return fmt.Errorf("parts from %s to %s: write the smaller first", b.Low.Text, b.High.Text)
	}
	for _, p := range append(append([]string{}, b.Parts...), b.Persons...) {
		if err := checkText("part or person", p); err != nil {
			return err
		}
	}
	_, err := b.plan()
	return err
}

func (b *StudyOpened) plan() ([]metrology.StudyStep, error) {
	return metrology.StudyPlan(b.Parts, b.Persons, b.Rounds, uint64(b.Seed))
}

func (b *StudyOpened) apply(*State, At) {}

func (b *StudyOpened) words(PositionNamer) string {
	return fmt.Sprintf("Gauge study of %s begun: %s, %s, %s, order %d.", b.Gauge, count(len(b.Parts), "part", "parts"),
		count(len(b.Persons), "person", "people"), count(b.Rounds, "round", "rounds"), b.Seed)
}

// StudyRead is one reading of a study: the step of its order, read blind.
type StudyRead struct {
	Step  int        `json:"step"` // from 1
	Value units.Read `json:"value"`
	// Questioned says what seemed impossible, Reason why it was kept.
	Questioned string `json:"questioned,omitempty"`
	Reason     string `json:"reason,omitempty"`
}

func (b *StudyRead) check() error {
	return firstError(checkStudyStep(b.Step), checkKind("reading", &b.Value, units.KindLength), checkLength("questioned", b.Questioned), checkLength("reason", b.Reason))
}

func (b *StudyRead) apply(*State, At) {}

// words leave the figure out: whoever reads on must not see it.
func (b *StudyRead) words(PositionNamer) string {
	w := fmt.Sprintf("Step %d read", b.Step)
	if b.Questioned != "" {
		w += "; questioned, and kept because " + b.Reason
	}
	return w + "."
}

// StudyAgain takes back the last reading of a person because it was mistyped,
// so that its step is read again. It is the last one only and before the result
// is known: whoever could read again what they doubt would read what they expect.
type StudyAgain struct {
	Step   int    `json:"step"` // from 1
	Reason string `json:"reason"`
}

func (b *StudyAgain) check() error {
	return firstError(checkStudyStep(b.Step), checkText("reason", b.Reason))
}

func (b *StudyAgain) apply(*State, At) {}

func (b *StudyAgain) words(PositionNamer) string {
	return fmt.Sprintf("Step %d is to be read again: %s.", b.Step, b.Reason)
}

func checkStudyStep(step int) error {
	if step < 1 || step > maxStudyParts*maxStudyPersons*maxStudyRounds {
		return fmt.Errorf("step %d: a study's steps count from 1", step)
	}
	return nil
}
