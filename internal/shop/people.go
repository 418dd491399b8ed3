// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"fmt"
	"regexp"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/record"
)

// Person is somebody of the workshop.
type Person struct {
	ID   string
	Name string
	Role string
	Left bool
}

// names are the people's names by id, as far as they are not erased, and
// whether they will stay what they are until the workshop's log grows. A name
// is kept in memory, for it is on every page, but not while it is being erased,
// maybe by another process.
func (s *Shop) names(ctx context.Context, w staff) (names map[string]string, settled bool) {
	names, settled = map[string]string{}, true
	s.mu.Lock()
	erased := s.erased
	for _, p := range w.People {
		if w.erasing[p.Name] {
			delete(s.words, p.Name)
		}
	}
	s.mu.Unlock()
	for _, p := range w.People {
		name, err := s.Words(ctx, p.Name)
		if err != nil {
			settled = false
			continue
		}
		names[p.ID] = name
		if w.erasing[p.Name] {
			settled = settled && name == ErasedWords
			continue
		}
		s.mu.Lock()
		if s.erased == erased { // else it may have been read before
			s.words[p.Name] = name
		}
		s.mu.Unlock()
	}
	return names, settled
}

// People lists everybody.
func (s *Shop) People(ctx context.Context) ([]Person, error) {
	head, err := s.head(ctx)
	if err != nil {
		return nil, err
	}
	w, err := s.staffAt(ctx, head)
	if err != nil {
		return nil, err
	}
	names, _ := s.names(ctx, w)
	var out []Person
	for _, p := range w.People {
		out = append(out, Person{ID: p.ID, Name: names[p.ID], Role: p.Role, Left: p.Left})
	}
	return out, nil
}

// Person finds somebody by id or by name.
func (s *Shop) Person(ctx context.Context, idOrName string) (Person, error) {
	people, err := s.People(ctx)
	if err != nil {
		return Person{}, err
	}
	for _, p := range people {
		if !p.Left && (p.ID == idOrName || p.Name == idOrName) {
			return p, nil
		}
	}
	return Person{}, fmt.Errorf("shop: person %q: %w", idOrName, ErrNotFound)
}

// NewPerson is somebody to add.
type NewPerson struct {
	ID, Name, Role, PIN string
}

var pinForm = regexp.MustCompile(`^[0-9]{4,12}$`)

// CheckPINForm refuses a PIN that is none.
func CheckPINForm(pin string) error {
	if !pinForm.MatchString(pin) {
		return &Refusal{Cause: fmt.Errorf("the PIN needs 4 to 12 digits and nothing else")}
	}
	return nil
}

// AddPerson adds somebody, or gives somebody known a new role or name.
func (s *Shop) AddPerson(ctx context.Context, by string, p NewPerson) error {
	if err := CheckPINForm(p.PIN); err != nil {
		return err
	}
	if p.Name == "" {
		return &Refusal{Cause: fmt.Errorf("the name is empty: write it as it is to be printed")}
	}
	if err := record.CheckPerson(p.ID); err != nil {
		return &Refusal{Cause: err}
	}
	name, err := s.PutWords(ctx, p.Name)
	if err != nil {
		return err
	}
	body := job.PersonAdded{ID: p.ID, Role: p.Role, Name: name}
	if _, _, err := s.Append(ctx, by, Input{Subject: record.Workshop, Kind: "person_added", Body: body}); err != nil {
		return err
	}
	return s.SetPIN(ctx, p.ID, p.PIN)
}

// ChangePerson gives somebody another name, another role or both; empty stays
// as it is. id makes sending it twice count once.
func (s *Shop) ChangePerson(ctx context.Context, by, id, person, name, role string) error {
	w, err := s.Workshop(ctx)
	if err != nil {
		return err
	}
	p, ok := w.Person(person)
	if !ok || p.Left {
		return fmt.Errorf("shop: person %q: %w", person, ErrNotFound)
	}
	if _, done, err := s.kept(ctx, record.Workshop, id); done || err != nil {
		return err
	}
	if p.Role == job.Manager && role != "" && role != job.Manager {
		if err := s.notLastManager(ctx, person); err != nil {
			return err
		}
	}
	body := job.PersonAdded{ID: p.ID, Role: p.Role, Name: p.Name}
	if role != "" {
		body.Role = role
	}
	if name = strings.TrimSpace(name); name != "" {
		if err := s.nameIsFree(ctx, person, name); err != nil {
			return err
		}
		if body.Name, err = s.PutWords(ctx, name); err != nil {
			return err
		}
	}
	_, _, err = s.Append(ctx, by, Input{ID: id, Subject: record.Workshop, Kind: "person_added", Body: body})
	return err
}

// nameIsFree refuses a name that somebody else here has: people log in with it.
func (s *Shop) nameIsFree(ctx context.Context, person, name string) error {
	people, err := s.People(ctx)
	if err != nil {
		return err
	}
	for _, p := range people {
		if !p.Left && p.ID != person && p.Name == name {
			return &Refusal{Cause: fmt.Errorf("the name %q is %s's already: take one that tells both apart", name, p.ID)}
		}
	}
	return nil
}
