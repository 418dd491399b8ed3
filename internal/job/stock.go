// SPDX-License-Identifier: Apache-2.0

package job

import (
	"cmp"
	"slices"
	"time"

	"witnessmark/metrology"
	"witnessmark/record"
	"witnessmark/units"
)

// Batch is one batch of shells: the fold of its log.
type Batch struct {
	BatchAdded
	Subject string
	Added   At
	Shells  []StockShell
	Grades  []StockGrade
	Pairs   [][2]string // upper, lower: these stay together
}

// StockShell is one half shell that was measured.
type StockShell struct {
	Batch, ID, Half, Grade string
	Measured               []Noted[ShellMeasured]
	Returned               *Noted[ShellReturned]
	Discarded              *Noted[ShellDiscarded]
	Use                    *ShellUse // the job that has it; nil: it is on the shelf
}

// StockGrade is a number of like shells known by their grade alone.
type StockGrade struct {
	Batch string
	Noted[GradeCounted]
	Left int // after what jobs took since it was counted
}

// ShellUse is a shell that a job fitted, or chose and not fitted yet.
type ShellUse struct {
	Job      string
	Position int
	Half     string
	Shell    Shell
	At       At
	Chosen   bool // adopted, not fitted
	In       bool // it is in the engine now
}

// FoldBatch turns the log of a batch into the batch. What jobs took is not in
// it: see [Batch.Take].
func FoldBatch(entries []record.Entry) Batch {
	var b Batch
	var s State
	for i, body := range correct(&s, entries) {
		e := entries[i]
		b.Subject = e.Subject
		switch x := body.(type) {
		case *BatchAdded:
			b.BatchAdded, b.Added = *x, at(e)
		case *ShellMeasured:
			sh := b.shell(x.ID, x.Half)
			sh.Measured = append(sh.Measured, Noted[ShellMeasured]{At: at(e), Body: *x})
			sh.Grade = cmp.Or(x.Grade, sh.Grade)
		case *ShellsBound:
			b.bind(*x)
		case *GradeCounted:
			b.counted(Noted[GradeCounted]{At: at(e), Body: *x})
		case *ShellReturned:
			if sh := b.Find(x.ID); sh != nil {
				sh.Returned, sh.Discarded = &Noted[ShellReturned]{At: at(e), Body: *x}, nil
			}
		case *ShellDiscarded:
			if sh := b.Find(x.ID); sh != nil {
				sh.Discarded = &Noted[ShellDiscarded]{At: at(e), Body: *x}
			}
		}
	}
	for i := range b.Shells {
		b.Shells[i].Batch = b.ID
	}
	for i := range b.Grades {
		b.Grades[i].Batch, b.Grades[i].Left = b.ID, b.Grades[i].Body.Count
	}
	return b
}

// undersize is the undersize of the journals that the batch is for, mm; 0 for
// standard, or where the words are no length.
func (b *Batch) undersize() float64 {
	r, err := units.Parse(units.KindLength, b.Undersize, units.UnitMillimetre)
	if err != nil {
		return 0
	}
	return r.Value
}

// Find is the shell with that mark, nil when there is none.
func (b *Batch) Find(id string) *StockShell {
	i := slices.IndexFunc(b.Shells, func(s StockShell) bool { return s.ID == id })
	if i < 0 {
		return nil
	}
	return &b.Shells[i]
}

func (b *Batch) shell(id, half string) *StockShell {
	if s := b.Find(id); s != nil {
		return s
	}
	b.Shells = append(b.Shells, StockShell{ID: id, Half: half})
	return &b.Shells[len(b.Shells)-1]
}

func (b *Batch) bind(x ShellsBound) {
	b.Pairs = slices.DeleteFunc(b.Pairs, func(p [2]string) bool { return p[0] == x.Upper || p[1] == x.Lower })
	if !x.Parted {
		b.Pairs = append(b.Pairs, [2]string{x.Upper, x.Lower})
	}
}

func (b *Batch) counted(x Noted[GradeCounted]) {
	for i, g := range b.Grades {
		if g.Body.Grade == x.Body.Grade && g.Body.Half == x.Body.Half {
			b.Grades[i].Noted = x
			return
		}
	}
	b.Grades = append(b.Grades, StockGrade{Noted: x})
}

// Take takes out what jobs have. A shell leaves the stock when it is fitted and
// comes back when somebody says so; one that is only chosen is kept for its job.
func (b *Batch) Take(uses []ShellUse) {
	for _, u := range uses {
		if u.Shell.Batch != b.ID {
			continue
		}
		if s := b.Find(u.Shell.ID); s != nil {
			if s.backSince(u.At.Received) {
				continue
			}
			if s.Use == nil || s.Use.Chosen || !u.Chosen {
				s.Use = &u
			}
			continue
		}
		for i := range b.Grades {
			g := &b.Grades[i]
			if g.Body.Grade == u.Shell.ID && g.Body.Half == u.Half && g.Left > 0 && (u.At.Received.After(g.At.Received) || u.Chosen) {
				g.Left--
			}
		}
	}
}

func (s *StockShell) backSince(t time.Time) bool {
	return s.Returned != nil && s.Returned.At.Received.After(t)
}

// OnShelf reports whether a shell is there for a job: in stock, or with that
// job already.
func (s StockShell) OnShelf(jobID string) bool {
	return s.Discarded == nil && (s.Use == nil || s.Use.Job == jobID)
}

// Wall is a shell's wall from all that was measured of it since it came back
// last, in mm with its spread.
func (s StockShell) Wall(tools Register) (metrology.Measurement, bool) {
	var ms []metrology.Measurement
	for _, m := range s.Measured {
		ms = append(ms, direct(m.Body.reading(), tools[m.Body.Gauge]))
		if i := len(ms) - 1; i > 0 && s.backSince(s.Measured[i-1].At.Received) && !s.backSince(m.At.Received) {
			ms = ms[i:] // measured anew after it came back
		}
	}
	if len(ms) == 0 {
		return metrology.Measurement{}, false
	}
	c, err := metrology.Combine(ms)
	return c.Measurement, err == nil
}

// Uses are the shells that a job has or had, and those that it chose and has
// not fitted yet.
func Uses(jobID string, s State) []ShellUse {
	var out []ShellUse
	now := map[Shell]bool{}
	for _, p := range s.Positions {
		if p.Shells != nil {
			now[p.Shells.Body.Upper], now[p.Shells.Body.Lower] = true, true
		}
	}
	fitted := map[Shell]bool{}
	for _, f := range s.Fittings {
		for half, sh := range map[string]Shell{Upper: f.Body.Upper, Lower: f.Body.Lower} {
			fitted[sh] = true
			out = append(out, ShellUse{Job: jobID, Position: f.Body.Position, Half: half, Shell: sh, At: f.At, In: now[sh]})
		}
	}
	if s.Pairing != nil {
		for _, f := range s.Pairing.Body.Fits {
			for half, sh := range map[string]Shell{Upper: f.Upper, Lower: f.Lower} {
				if !fitted[sh] {
					out = append(out, ShellUse{Job: jobID, Position: f.Position, Half: half, Shell: sh, At: s.Pairing.At, Chosen: true})
				}
			}
		}
	}
	slices.SortStableFunc(out, func(a, b ShellUse) int {
		return cmp.Or(a.At.Received.Compare(b.At.Received), cmp.Compare(a.Position, b.Position), cmp.Compare(b.Half, a.Half))
	})
	return out
}
