// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"strings"

	"witnessmark/units"
)

// TimeSpent is working time on a job: of an operation or of work of its plan,
// or of anything in words.
type TimeSpent struct {
	On     string      `json:"on"` // id in the plan, or words
	Title  string      `json:"title,omitempty"`
	Hours  *units.Read `json:"hours"`
	Remark string      `json:"remark,omitempty"`
}

const mostHours = 24 * 31 // of one entry: more is a slip of the pen

func (b *TimeSpent) check() error {
	if b.Hours == nil {
		return errors.New("no time is given: write hours, such as 1.5, or 40 min")
	}
	if err := firstError(checkText("on", b.On), checkLength("title", b.Title), checkLength("remark", b.Remark), checkKind("time", b.Hours, units.KindHours)); err != nil {
		return err
	}
	if h := b.Hours.Value; !(h > 0) || h > mostHours {
		return errors.New("time " + readText(*b.Hours) + ": write what was worked, more than nothing and at most a month")
	}
	return nil
}

func (b *TimeSpent) apply(s *State, at At) {
	s.Time = append(s.Time, Noted[TimeSpent]{At: at, Body: *b})
}

func (b *TimeSpent) words(PositionNamer) string {
	w := "Time: " + readText(*b.Hours) + " on " + strings.TrimSuffix(partTitle(b.Title, plainWord(b.On)), ".") + "."
	if b.Remark != "" {
		w += " " + b.Remark
	}
	return w
}
