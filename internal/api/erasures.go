// SPDX-License-Identifier: Apache-2.0

package api

import (
	"context"

	"witnessmark/internal/shop"
)

// Erasable is one thing beside a job's record that can be erased.
type Erasable struct {
	Name     string `json:"name" doc:"its commitment"`
	Sequence int64  `json:"sequence" doc:"of the entry that names it"`
	What     string `json:"what" doc:"owner, vehicle, note, photo or signature"`
	Words    string `json:"words"`
	Erased   bool   `json:"erased" doc:"it was erased"`
}

// Erasables is everything beside a job's record.
type Erasables struct {
	Things []Erasable `json:"things"`
	Stays  string     `json:"stays" doc:"what erasing does not reach"`
}

type erasablesOutput struct {
	Body Erasables
}

func (s *server) erasables(ctx context.Context, in *JobPath) (*erasablesOutput, error) {
	l, err := s.shop.Job(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	all, err := s.shop.Erasable(ctx, l)
	if err != nil {
		return nil, err
	}
	out := &erasablesOutput{Body: Erasables{Things: []Erasable{}, Stays: shop.ErasureStays}}
	for _, x := range all {
		out.Body.Things = append(out.Body.Things, Erasable{Name: x.Name, Sequence: x.Entry, What: x.What, Words: x.Words, Erased: x.Erased})
	}
	return out, nil
}

// NewErasure is what is to go, for good.
type NewErasure struct {
	ID     string   `json:"id" maxLength:"26" doc:"of the entry that says so, a ULID: sent twice it counts once"`
	Names  []string `json:"names" minItems:"1" doc:"commitments of what is erased"`
	Reason string   `json:"reason" doc:"who asked for it, or why it has to go"`
}

type eraseInput struct {
	JobPath
	Body NewErasure
}

func (s *server) erase(ctx context.Context, in *eraseInput) (*keptOutput, error) {
	c := who(ctx)
	if err := shop.May(c.Role, "erased"); err != nil {
		return nil, err
	}
	if err := needs(in.Body.ID); err != nil {
		return nil, err
	}
	e, err := s.shop.EraseFrom(ctx, c.ID, in.Body.ID, in.Job, in.Body.Names, in.Body.Reason)
	if err != nil {
		return nil, err
	}
	return kept(e, false), nil
}

// PersonErasure is why a name is to go.
type PersonErasure struct {
	ID     string `json:"id,omitempty" maxLength:"26" doc:"of the entry, a ULID: sent twice it counts once"`
	Reason string `json:"reason"`
}

type erasePersonInput struct {
	PersonPath
	Body PersonErasure
}

func (s *server) erasePerson(ctx context.Context, in *erasePersonInput) (*nothing, error) {
	return &nothing{}, s.shop.ErasePerson(ctx, who(ctx).ID, in.Body.ID, in.Person, in.Body.Reason)
}

// PersonChange is another name or role.
type PersonChange struct {
	ID   string `json:"id,omitempty" maxLength:"26" doc:"of the entry, a ULID: sent twice it counts once"`
	Name string `json:"name,omitempty" maxLength:"200" doc:"left out: as before"`
	Role string `json:"role,omitempty" enum:"technician,inspector,office,manager" doc:"left out: as before"`
}

type changePersonInput struct {
	PersonPath
	Body PersonChange
}

func (s *server) changePerson(ctx context.Context, in *changePersonInput) (*personOutput, error) {
	p, err := s.somebody(ctx, in.Person)
	if err != nil {
		return nil, err
	}
	if err := s.shop.ChangePerson(ctx, who(ctx).ID, in.Body.ID, p.ID, in.Body.Name, in.Body.Role); err != nil {
		return nil, err
	}
	if p, err = s.somebody(ctx, in.Person); err != nil {
		return nil, err
	}
	return &personOutput{Body: personOf(p)}, nil
}
