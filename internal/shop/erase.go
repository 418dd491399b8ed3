// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"witnessmark/internal/job"
	"witnessmark/internal/store"
	"witnessmark/record"
)

// ErasureStays says what erasing does not reach. It stands wherever something
// can be erased.
const ErasureStays = "The entries stay, with the digest that was sealed, and every seal still verifies. Backups, bundles and printed reports that were made before are not reached: delete them where they are. Nothing brings back what was erased."

// Erasable is one thing beside a job's log that can be erased.
type Erasable struct {
	Entry  int64  // that names it
	What   string // as job.ErasableWords has it
	Name   string // its commitment
	Words  string // what it is, for whoever decides
	Erased bool
}

// Title is what it is called: "photo of entry 12".
func (e Erasable) Title() string {
	return fmt.Sprintf("%s of entry %d", job.ErasableWords[e.What], e.Entry)
}

// Erasable lists what is kept beside a job's log, in the order of the record.
func (s *Shop) Erasable(ctx context.Context, l *Loaded) ([]Erasable, error) {
	lines := map[int64]job.Line{}
	for _, line := range l.Record() {
		lines[line.Seq] = line
	}
	photos := map[string]bool{}
	for _, p := range l.State.Photos {
		photos[p.Commitment] = true
	}
	var out []Erasable
	for _, b := range l.State.Blobs {
		if slices.ContainsFunc(out, func(x Erasable) bool { return x.Name == b.Commitment }) {
			continue
		}
		x := Erasable{Entry: b.At.Seq, What: whatOf(l.Entries[b.At.Seq-1], photos[b.Commitment]), Name: b.Commitment, Words: lines[b.At.Seq].Now}
		_, err := s.store.Blob(ctx, record.Commitment(b.Commitment))
		if x.Erased = errors.Is(err, store.ErrErased); err == nil && x.What == "note" {
			if x.Words, err = s.Words(ctx, b.Commitment); err != nil {
				return nil, err
			}
		}
		out = append(out, x)
	}
	slices.SortStableFunc(out, func(a, b Erasable) int { return int(a.Entry - b.Entry) })
	return out, nil
}

func whatOf(e record.Entry, photo bool) string {
	if photo {
		return "photo"
	}
	body, err := job.Decode(e.Kind, e.Version, e.Body)
	if err != nil {
		return "words"
	}
	switch b := body.(type) {
	case *job.Details:
		return b.Of
	case *job.Note:
		return "note"
	case *job.Conceded, *job.AuthorityGiven, *job.ChangeAnswered:
		return "signature"
	}
	return "words"
}

// EraseFrom erases things beside a job's log. Who did it and why is entered
// first, so that nothing goes without a trace; asked again after a failure
// under the same id, it erases the rest. Error: *Refusal for what isn't there.
func (s *Shop) EraseFrom(ctx context.Context, person, id, jobID string, names []string, reason string) (record.Entry, error) {
	l, err := s.Job(ctx, jobID)
	if err != nil {
		return record.Entry{}, err
	}
	all, err := s.Erasable(ctx, l)
	if err != nil {
		return record.Entry{}, err
	}
	body := job.Erased{Reason: reason}
	for _, name := range names {
		i := slices.IndexFunc(all, func(x Erasable) bool { return x.Name == name })
		if i < 0 {
			return record.Entry{}, &Refusal{Cause: fmt.Errorf("%s: job %s has nothing of this name beside its record", name, jobID)}
		}
		body.What = append(body.What, job.ErasedThing{Entry: all[i].Entry, What: all[i].What, Name: name})
	}
	return s.eraseEntered(ctx, person, id, l.Subject, body)
}

func (s *Shop) eraseEntered(ctx context.Context, person, id, subject string, body job.Erased) (record.Entry, error) {
	e, _, err := s.Append(ctx, person, Input{ID: id, Subject: subject, Kind: "erased", Body: body})
	if err != nil {
		return e, err
	}
	names := make([]string, len(body.What))
	for i, x := range body.What {
		names[i] = x.Name
	}
	if err := s.Erase(ctx, subject, names...); err != nil {
		return e, fmt.Errorf("shop: erase: %w", err)
	}
	return e, nil
}

// ErasePerson erases the name of somebody who has left. Their entries stay
// under their id.
func (s *Shop) ErasePerson(ctx context.Context, by, id, person, reason string) error {
	w, err := s.Workshop(ctx)
	if err != nil {
		return err
	}
	p, ok := w.Person(person)
	if !ok {
		return fmt.Errorf("shop: person %q: %w", person, ErrNotFound)
	}
	if !p.Left {
		return &Refusal{Cause: fmt.Errorf("%s still works here: a name is erased once its person has left", person)}
	}
	body := job.Erased{Reason: reason, What: []job.ErasedThing{{What: "name", Name: p.Name}}}
	_, err = s.eraseEntered(ctx, by, id, record.Workshop, body)
	return err
}
