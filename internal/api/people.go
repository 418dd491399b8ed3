// SPDX-License-Identifier: Apache-2.0

package api

import (
	"context"
	"strings"

	"witnessmark/internal/shop"
)

// People is everybody of the workshop.
type People struct {
	People []Person `json:"people"`
}

type peopleOutput struct {
	Body People
}

func (s *server) people(ctx context.Context, _ *nothing) (*peopleOutput, error) {
	people, err := s.shop.People(ctx)
	if err != nil {
		return nil, err
	}
	out := &peopleOutput{}
	out.Body.People = []Person{}
	for _, p := range people {
		row := personOf(p)
		if row.Locked, err = s.shop.Locked(ctx, p.ID); err != nil {
			return nil, err
		}
		out.Body.People = append(out.Body.People, row)
	}
	return out, nil
}

// NewPerson is somebody to add.
type NewPerson struct {
	Name string `json:"name" maxLength:"200" doc:"as it is to be printed; kept beside the log"`
	Role string `json:"role" enum:"technician,inspector,office,manager"`
	PIN  string `json:"pin" maxLength:"12" doc:"4 to 12 digits"`
}

type addPersonInput struct {
	Body NewPerson
}

type personOutput struct {
	Body Person
}

func (s *server) addPerson(ctx context.Context, in *addPersonInput) (*personOutput, error) {
	id, err := s.shop.FreePerson(ctx)
	if err != nil {
		return nil, err
	}
	p := shop.NewPerson{ID: id, Name: strings.TrimSpace(in.Body.Name), Role: in.Body.Role, PIN: in.Body.PIN}
	if err := s.shop.AddPerson(ctx, who(ctx).ID, p); err != nil {
		return nil, err
	}
	return &personOutput{Body: Person{ID: id, Name: p.Name, Role: p.Role}}, nil
}

type PersonPath struct {
	Person string `path:"person" maxLength:"64" doc:"id"`
}

// somebody is the person of the path.
func (s *server) somebody(ctx context.Context, id string) (shop.Person, error) {
	p, err := s.shop.Person(ctx, id)
	if err != nil || p.ID != id {
		return p, nothingAt("such person", Prefix+"/people")
	}
	return p, nil
}

// NewPIN is a PIN to set.
type NewPIN struct {
	PIN string `json:"pin" maxLength:"12" doc:"4 to 12 digits"`
}

type pinInput struct {
	PersonPath
	Body NewPIN
}

func (s *server) newPIN(ctx context.Context, in *pinInput) (*nothing, error) {
	p, err := s.somebody(ctx, in.Person)
	if err != nil {
		return nil, err
	}
	return &nothing{}, s.shop.SetPIN(ctx, p.ID, in.Body.PIN)
}

func (s *server) unlock(ctx context.Context, in *PersonPath) (*nothing, error) {
	p, err := s.somebody(ctx, in.Person)
	if err != nil {
		return nil, err
	}
	return &nothing{}, s.shop.Unlock(ctx, p.ID)
}

// Leaving ends a person's access.
type Leaving struct {
	ID string `json:"id,omitempty" maxLength:"26" doc:"of the entry, a ULID: sent twice it counts once"`
}

type leaveInput struct {
	PersonPath
	Body Leaving
}

func (s *server) leave(ctx context.Context, in *leaveInput) (*nothing, error) {
	p, err := s.somebody(ctx, in.Person)
	if err != nil {
		return nil, err
	}
	return &nothing{}, s.shop.Leaves(ctx, who(ctx).ID, in.Body.ID, p.ID)
}
