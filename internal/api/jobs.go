// SPDX-License-Identifier: Apache-2.0

package api

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"time"

	"witnessmark/engine"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/internal/store"
)

// JobSummary is one line of the list of jobs.
type JobSummary struct {
	Job        string    `json:"job"`
	Vehicle    string    `json:"vehicle,omitempty"`
	Family     string    `json:"family,omitempty"`
	Opened     time.Time `json:"opened"`
	Last       time.Time `json:"last" doc:"when the last entry was received"`
	Waits      string    `json:"waits"`
	State      string    `json:"state" enum:"fits,out,unproven,todo"`
	HandedOver bool      `json:"handed_over"`
	Invented   bool      `json:"invented,omitempty"`
}

// Jobs is the list of jobs, the one touched last first.
type Jobs struct {
	Jobs []JobSummary `json:"jobs"`
}

type jobsOutput struct {
	Body Jobs
}

func (s *server) jobs(ctx context.Context, _ *nothing) (*jobsOutput, error) {
	jobs, err := s.shop.Jobs(ctx)
	if err != nil {
		return nil, err
	}
	out := &jobsOutput{}
	out.Body.Jobs = []JobSummary{}
	for _, j := range jobs {
		out.Body.Jobs = append(out.Body.Jobs, JobSummary{Job: j.ID, Vehicle: j.Vehicle, Family: j.Family, Opened: j.Opened, Last: j.Last, Waits: j.Waits,
			State: j.State, HandedOver: j.HandedOver, Invented: j.Invented})
	}
	return out, nil
}

// Contact is how the owner is reached.
type Contact struct {
	Name    string `json:"name,omitempty" maxLength:"400"`
	Address string `json:"address,omitempty" maxLength:"400"`
	Phone   string `json:"phone,omitempty" maxLength:"400"`
	Mail    string `json:"mail,omitempty" maxLength:"400"`
}

// Vehicle is what leads to the owner.
type Vehicle struct {
	Plate    string `json:"plate,omitempty" maxLength:"400"`
	Identity string `json:"identity_number,omitempty" maxLength:"400"`
}

// NewJob is what a job is opened with.
type NewJob struct {
	Number   string   `json:"number" maxLength:"64" doc:"letters, digits, points and dashes, such as 0412"`
	Vehicle  string   `json:"vehicle,omitempty"`
	Purpose  string   `json:"purpose,omitempty"`
	Sheet    string   `json:"sheet,omitempty" maxLength:"80" doc:"hash of the engine sheet; left out: adopted later"`
	Owner    *Contact `json:"owner,omitempty" doc:"kept beside the log"`
	Details  *Vehicle `json:"vehicle_details,omitempty" doc:"kept beside the log"`
	Invented bool     `json:"invented,omitempty" doc:"demonstration data: says so wherever it is shown"`
}

type openInput struct {
	Body NewJob
}

// Opened is a job that was opened.
type Opened struct {
	Job     string `json:"job"`
	Entries int64  `json:"entries"`
	Warning string `json:"warning,omitempty"`
}

type openOutput struct {
	Body Opened
}

func (s *server) openJob(ctx context.Context, in *openInput) (*openOutput, error) {
	b := in.Body
	if b.Sheet != "" {
		// Asked before the job is there, which could not be undone.
		if err := s.known(ctx, b.Sheet); err != nil {
			return nil, err
		}
	}
	n := shop.NewJob{Number: b.Number, Vehicle: b.Vehicle, Purpose: b.Purpose, Sheet: b.Sheet, Invented: b.Invented}
	if b.Owner != nil {
		n.Owner = shop.Contact(*b.Owner)
	}
	if b.Details != nil {
		n.Plate, n.Identity = b.Details.Plate, b.Details.Identity
	}
	id, err := s.shop.OpenJob(ctx, who(ctx).ID, n)
	if err != nil {
		return nil, err
	}
	l, err := s.shop.Job(ctx, id)
	if err != nil {
		return nil, err
	}
	out := &openOutput{}
	out.Body.Job, out.Body.Entries, out.Body.Warning = id, l.State.Size, engine.IdentityWarning(n.Identity)
	return out, nil
}

func (s *server) known(ctx context.Context, hash string) error {
	_, err := s.shop.Sheet(ctx, hash)
	if errors.Is(err, store.ErrNotFound) {
		return &shop.Refusal{Cause: fmt.Errorf("engine sheet %q: no such sheet is in the workshop's hands. Look at %s/sheets", hash, Prefix)}
	}
	return err
}

// Job is a job as it stands.
type Job struct {
	Job        string         `json:"job"`
	Subject    string         `json:"subject" doc:"of its log"`
	Size       int64          `json:"size" doc:"the last entry: what a correction, concession, seal or handover says it saw"`
	Assessment job.Assessment `json:"assessment" doc:"what it means, unrounded"`
	Words      Words          `json:"words"`
}

type jobOutput struct {
	Body Job
}

func (s *server) job(ctx context.Context, in *JobPath) (*jobOutput, error) {
	l, err := s.shop.Job(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	return &jobOutput{Body: Job{Job: l.ID, Subject: l.Subject, Size: l.State.Size, Assessment: l.Assessment, Words: wordsOf(l.View())}}, nil
}

// Record is every entry in words.
type Record struct {
	Lines []Line `json:"lines"`
}

type recordOutput struct {
	Body Record
}

func (s *server) record(ctx context.Context, in *JobPath) (*recordOutput, error) {
	l, err := s.shop.Job(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	out := &recordOutput{}
	out.Body.Lines = linesOf(l.Record())
	return out, nil
}

// Details is what is kept of the owner and the vehicle.
type Details struct {
	Owner   Contact `json:"owner"`
	Vehicle Vehicle `json:"vehicle"`
}

type detailsOutput struct {
	Body Details
}

func (s *server) details(ctx context.Context, in *JobPath) (*detailsOutput, error) {
	l, err := s.shop.Job(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	owner, err := s.shop.Owner(ctx, l)
	if err != nil {
		return nil, err
	}
	vehicle, err := s.shop.Vehicle(ctx, l)
	if err != nil {
		return nil, err
	}
	out := &detailsOutput{}
	out.Body.Owner, out.Body.Vehicle = Contact(owner), Vehicle(vehicle)
	return out, nil
}

// NewDetails is details to keep.
type NewDetails struct {
	ID      string   `json:"id" maxLength:"26" doc:"of the entry, a ULID: sent twice it counts once"`
	Owner   *Contact `json:"owner,omitempty" doc:"either these"`
	Vehicle *Vehicle `json:"vehicle,omitempty" doc:"or those"`
}

type putDetailsInput struct {
	JobPath
	Body NewDetails
}

// putDetails keeps the owner's details or the vehicle's beside the log.
func (s *server) putDetails(ctx context.Context, in *putDetailsInput) (*keptOutput, error) {
	if (in.Body.Owner == nil) == (in.Body.Vehicle == nil) {
		return nil, &shop.Refusal{Cause: errors.New("details: send owner or vehicle, one at a time")}
	}
	of, what := "owner", any(in.Body.Owner)
	if in.Body.Vehicle != nil {
		of, what = "vehicle", in.Body.Vehicle
	}
	return s.beside(ctx, in.Job, "details", in.Body.ID, func(c caller, l *shop.Loaded) (int64, error) {
		e, err := s.shop.KeepDetails(ctx, c.ID, l.ID, in.Body.ID, of, what)
		return e.Seq, err
	})
}

// beside keeps an entry with something beside the log, which do appends.
func (s *server) beside(ctx context.Context, id, kind, entryID string, do func(caller, *shop.Loaded) (int64, error)) (*keptOutput, error) {
	c := who(ctx)
	if err := shop.May(c.Role, kind); err != nil {
		return nil, err
	}
	if err := needs(entryID); err != nil {
		return nil, err
	}
	l, err := s.shop.Job(ctx, id)
	if err != nil {
		return nil, err
	}
	seq, err := do(c, l)
	if err != nil {
		return nil, err
	}
	entries, err := s.shop.Log(ctx, l.Subject, seq-1)
	if err != nil {
		return nil, err
	}
	if e := entries[0]; e.ID != entryID || e.Kind != kind || e.Person != c.ID {
		return nil, &Problem{Status: http.StatusConflict, Title: "Sent before with other words", Detail: fmt.Sprintf("The id %s was used before for another entry, which stays.", entryID), Next: "Enter it with a new id."}
	}
	return kept(entries[0], seq <= l.State.Size), nil
}
