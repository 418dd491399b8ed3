// SPDX-License-Identifier: Apache-2.0

package record

import "fmt"

// Log is a log as it stands when something is appended to it. Its
// entries are only read when a guard asks for them.
type Log interface {
	Len() int64                       // number of entries, which is the last sequence number
	After(seq int64) ([]Entry, error) // the entries with a sequence number above seq, in order
}

// Guard decides as part of the append whether p may follow log: it returns nil,
// or the error with which the append is refused. The entry is kept only if the
// log is still the one it was asked about; if it went on, it is asked again. For
// an entry that is already there its answer doesn't count.
type Guard func(log Log, p Proposal) error

// ConflictError says that the log went on after what the client saw.
type ConflictError struct {
	Subject string
	Saw     int64   // what the client saw
	Seq     int64   // what the log has now
	Changed []int64 // the entries that made the difference, where a guard knows them
}

func (e *ConflictError) Error() string {
	if len(e.Changed) > 0 {
		return fmt.Sprintf("record: %s: rests on what was seen at entry %d, but changed since by entries %v", e.Subject, e.Saw, e.Changed)
	}
	return fmt.Sprintf("record: %s: entry %d was the last one seen, the log is at %d now", e.Subject, e.Saw, e.Seq)
}

// UnchangedSinceSeen is the guard used when none is given: a proposal that
// names what it saw is refused if the log went on since.
func UnchangedSinceSeen(log Log, p Proposal) error {
	if p.Saw > 0 && p.Saw != log.Len() {
		return conflict(log, p)
	}
	return nil
}

// CheckSeen holds what p says it saw against the log: kinds in need (such as
// corrections, concessions, seals, handover) must name it, nobody can have
// seen what isn't there. Stores call it before the guard.
func CheckSeen(log Log, p Proposal, need map[string]bool) error {
	if p.Saw == 0 && need[p.Kind] {
		return invalid("%s: a %s must name the last entry seen", p.Subject, p.Kind)
	}
	if p.Saw > log.Len() {
		return conflict(log, p)
	}
	return nil
}

func conflict(log Log, p Proposal) *ConflictError {
	return &ConflictError{Subject: p.Subject, Saw: p.Saw, Seq: log.Len()}
}

// Slice is a Log held in memory, for tests and for guards tried in advance.
type Slice []Entry

// Len returns the number of entries.
func (s Slice) Len() int64 { return int64(len(s)) }

// After returns the entries above seq.
func (s Slice) After(seq int64) ([]Entry, error) {
	return s[min(max(seq, 0), int64(len(s))):], nil
}
