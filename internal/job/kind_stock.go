// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"fmt"

	"witnessmark/units"
)

// Logs that are neither a job's nor a tool's.
const (
	LogStock = "stock"
	LogStudy = "study"
)

// stockKinds are the kinds of the logs of shells in stock, a log a batch.
func stockKinds() []Kind {
	kinds := []Kind{
		kind[BatchAdded]("batch_added", 1, "Batch of shells added"),
		kind[ShellMeasured]("shell_measured", 1, "Shell measured"),
		kind[ShellsBound]("shells_bound", 1, "Shells kept together"),
		kind[GradeCounted]("grade_counted", 1, "Shells of a grade counted"),
		kind[ShellReturned]("shell_returned", 1, "Shell back in stock"),
		kind[ShellDiscarded]("shell_discarded", 1, "Shell taken out of stock"),
	}
	for i := range kinds {
		kinds[i].Job, kinds[i].Log = false, LogStock
	}
	return kinds
}

// BatchAdded begins the log of one batch of shells. Jobs name a shell by batch
// and mark.
type BatchAdded struct {
	ID     string `json:"id"` // the batch as the maker marks it
	Part   string `json:"part,omitempty"`
	Family string `json:"family,omitempty"` // of engines that it is for
	// Undersize of the journal that the shells are for, none for standard.
	Undersize string `json:"undersize,omitempty"`
	Remark    string `json:"remark,omitempty"`
}

func (b *BatchAdded) check() error {
	return firstError(checkText("batch", b.ID), checkLength("part", b.Part), checkLength("family", b.Family),
		checkLength("undersize", b.Undersize), checkLength("remark", b.Remark))
}

func (b *BatchAdded) apply(*State, At) {}

func (b *BatchAdded) words(PositionNamer) string {
	w := "Batch " + b.ID
	if b.Part != "" {
		w += " of " + b.Part
	}
	w += " added"
	if b.Undersize != "" {
		w += ", for journals " + b.Undersize + " under size"
	}
	return w + "."
}

// ShellMeasured puts one half shell into the stock with its wall at the crown,
// or measures it again.
type ShellMeasured struct {
	ID              string      `json:"id"` // the workshop's mark on it, such as U07
	Half            string      `json:"half"`
	Wall            units.Read  `json:"wall"`
	Gauge           string      `json:"gauge,omitempty"`
	U               *units.Read `json:"u,omitempty"`
	PartTemperature *units.Read `json:"part_temperature,omitempty"`
	Grade           string      `json:"grade,omitempty"` // as it is marked
	// Questioned says what seemed impossible, Reason why it was kept.
	Questioned string `json:"questioned,omitempty"`
	Reason     string `json:"reason,omitempty"`
}

func (b *ShellMeasured) check() error {
	if err := firstError(checkText("shell", b.ID), checkOneOf("half", b.Half, Upper, Lower), checkKind("wall", &b.Wall, units.KindLength),
		checkKind("u", b.U, units.KindLength), checkKind("part temperature", b.PartTemperature, units.KindTemperature),
		checkLength("gauge", b.Gauge), checkLength("grade", b.Grade), checkLength("questioned", b.Questioned), checkLength("reason", b.Reason)); err != nil {
		return err
	}
	if b.Wall.Value <= 0 {
		return fmt.Errorf("shell %s: a wall of %s is no wall: measure it again", b.ID, b.Wall.Text)
	}
	return nil
}

func (b *ShellMeasured) apply(*State, At) {}

func (b *ShellMeasured) words(PositionNamer) string {
	w := fmt.Sprintf("%s, %s: wall %s", b.ID, b.Half, readText(b.Wall))
	if b.Gauge != "" {
		w += " with " + b.Gauge
	}
	if b.Questioned != "" {
		w += "; questioned: " + b.Questioned + "; kept because " + b.Reason
	}
	return w + "."
}

// reading is the wall as a reading, so that its spread is found as any other's.
func (b *ShellMeasured) reading() Reading {
	of := OfUpperWall
	if b.Half == Lower {
		of = OfLowerWall
	}
	return Reading{Of: of, Phase: AsFitted, Position: 1, Gauge: b.Gauge, Value: &b.Wall, U: b.U, PartTemperature: b.PartTemperature}
}

// ShellsBound says that two shells must stay together, or no longer.
type ShellsBound struct {
	Upper  string `json:"upper"`
	Lower  string `json:"lower"`
	Parted bool   `json:"parted,omitempty"`
	Reason string `json:"reason,omitempty"`
}

func (b *ShellsBound) check() error {
	return firstError(checkText("upper", b.Upper), checkText("lower", b.Lower), checkLength("reason", b.Reason))
}

func (b *ShellsBound) apply(*State, At) {}

func (b *ShellsBound) words(PositionNamer) string {
	if b.Parted {
		return b.Upper + " and " + b.Lower + " no longer need to stay together."
	}
	return b.Upper + " and " + b.Lower + " stay together."
}

// GradeCounted says how many unmeasured shells of a grade lie on the shelf. None
// is a grade that could be ordered.
type GradeCounted struct {
	Grade string     `json:"grade"`
	Half  string     `json:"half"`
	Wall  units.Read `json:"wall"` // the middle of the grade's limits
	Count int        `json:"count"`
}

func (b *GradeCounted) check() error {
	if err := firstError(checkText("grade", b.Grade), checkOneOf("half", b.Half, Upper, Lower), checkKind("wall", &b.Wall, units.KindLength)); err != nil {
		return err
	}
	switch {
	case b.Wall.Value <= 0:
		return fmt.Errorf("grade %s: a wall of %s is no wall", b.Grade, b.Wall.Text)
	case b.Count < 0 || b.Count > 10_000:
		return errors.New("count the shells of the grade on the shelf: 0 or more")
	}
	return nil
}

func (b *GradeCounted) apply(*State, At) {}

func (b *GradeCounted) words(PositionNamer) string {
	return fmt.Sprintf("Grade %s, %s, wall %s: %s on the shelf.", b.Grade, b.Half, readText(b.Wall), count(b.Count, "shell", "shells"))
}

// ShellReturned puts a shell back that a job had.
type ShellReturned struct {
	ID     string `json:"id"`
	Job    string `json:"job,omitempty"`
	Reason string `json:"reason"` // why it is fit to be used
}

func (b *ShellReturned) check() error {
	return firstError(checkText("shell", b.ID), checkLength("job", b.Job), checkText("reason", b.Reason))
}

func (b *ShellReturned) apply(*State, At) {}

func (b *ShellReturned) words(PositionNamer) string {
	w := b.ID + " is back in stock"
	if b.Job != "" {
		w += " from job " + b.Job
	}
	return w + ": " + b.Reason
}

// ShellDiscarded takes a shell out of the stock other than by fitting it.
type ShellDiscarded struct {
	ID     string `json:"id"`
	Reason string `json:"reason"`
}

func (b *ShellDiscarded) check() error {
	return firstError(checkText("shell", b.ID), checkText("reason", b.Reason))
}

func (b *ShellDiscarded) apply(*State, At) {}

func (b *ShellDiscarded) words(PositionNamer) string {
	return b.ID + " taken out of stock: " + b.Reason
}
