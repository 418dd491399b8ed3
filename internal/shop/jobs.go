// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/internal/photo"
	"witnessmark/internal/store"
	"witnessmark/record"
)

// NewJob is what a job is opened with. Owner and vehicle details are kept
// beside the log.
type NewJob struct {
	Number   string
	Vehicle  string
	Purpose  string
	Sheet    string // content hash; empty: adopted later
	Owner    Contact
	Plate    string
	Identity string // the vehicle's identity number
	Invented bool
}

// Contact is how the owner is reached.
type Contact struct {
	Name    string `json:"name,omitempty"`
	Address string `json:"address,omitempty"`
	Phone   string `json:"phone,omitempty"`
	Mail    string `json:"mail,omitempty"`
}

// VehicleDetails are personal: they lead to the owner.
type VehicleDetails struct {
	Plate    string `json:"plate,omitempty"`
	Identity string `json:"identity_number,omitempty"`
}

// OpenJob opens a job with its first entries and returns its id.
func (s *Shop) OpenJob(ctx context.Context, person string, n NewJob) (string, error) {
	id := strings.TrimSpace(n.Number)
	if err := record.CheckSubject(Subject(id)); err != nil {
		return "", &Refusal{Cause: fmt.Errorf("job number %q: use letters, digits, points and dashes, such as 0412", n.Number)}
	}
	if have, err := s.entries(ctx, Subject(id)); err != nil {
		return "", err
	} else if len(have) > 0 {
		return "", &Refusal{Cause: fmt.Errorf("job %s was opened before: choose another number, or open that job", id)}
	}
	if _, _, err := s.Append(ctx, person, Input{Subject: Subject(id), Kind: "job_opened",
		Body: job.Opened{Number: id, Vehicle: n.Vehicle, Purpose: n.Purpose, Invented: n.Invented}}); err != nil {
		return "", err
	}
	if n.Sheet != "" {
		if err := s.AdoptSheet(ctx, person, id, n.Sheet, ""); err != nil {
			return id, err
		}
	}
	return id, s.openDetails(ctx, person, id, n)
}

func (s *Shop) openDetails(ctx context.Context, person, id string, n NewJob) error {
	if n.Owner != (Contact{}) {
		if err := s.PutDetails(ctx, person, id, "owner", n.Owner); err != nil {
			return err
		}
	}
	if v := (VehicleDetails{Plate: n.Plate, Identity: n.Identity}); v != (VehicleDetails{}) {
		return s.PutDetails(ctx, person, id, "vehicle", v)
	}
	return nil
}

// PutDetails keeps details of the owner or the vehicle beside the log.
func (s *Shop) PutDetails(ctx context.Context, person, id, of string, details any) error {
	data, err := json.Marshal(details)
	if err != nil {
		return fmt.Errorf("shop: details: %w", err)
	}
	c, err := s.PutWords(ctx, string(data))
	if err != nil {
		return err
	}
	_, _, err = s.Append(ctx, person, Input{Subject: Subject(id), Kind: "details", Body: job.Details{Of: of, Commitment: c}})
	return err
}

// Owner is the owner's details, empty when there are none or they are erased.
func (s *Shop) Owner(ctx context.Context, l *Loaded) (c Contact, err error) {
	return c, s.details(ctx, l, "owner", &c)
}

// Vehicle is the vehicle's details.
func (s *Shop) Vehicle(ctx context.Context, l *Loaded) (v VehicleDetails, err error) {
	return v, s.details(ctx, l, "vehicle", &v)
}

func (s *Shop) details(ctx context.Context, l *Loaded, of string, into any) error {
	d, ok := l.State.Details[of]
	if !ok {
		return nil
	}
	words, err := s.Words(ctx, d.Body.Commitment)
	if err != nil || words == ErasedWords {
		return err
	}
	return json.Unmarshal([]byte(words), into)
}

// AdoptSheet pins an engine sheet for a job.
func (s *Shop) AdoptSheet(ctx context.Context, person, id, hash, reason string) error {
	sheet, err := s.Sheet(ctx, hash)
	if err != nil {
		return err
	}
	_, _, err = s.Append(ctx, person, Input{Subject: Subject(id), Kind: "sheet_adopted",
		Body: job.SheetAdopted{Sheet: hash, Family: sheet.Family, Reason: reason}})
	return err
}

// AddNote keeps a note beside the log and enters it. id makes sending it twice
// count once; empty, a new one is made.
func (s *Shop) AddNote(ctx context.Context, person, jobID, id string, n job.Note, words string, photos ...photo.Photo) (record.Entry, error) {
	if strings.TrimSpace(words) == "" {
		return record.Entry{}, &Refusal{Cause: fmt.Errorf("the note is empty: write it down")}
	}
	if len(words) > MaxNote {
		return record.Entry{}, &Refusal{Cause: fmt.Errorf("the note has %d bytes, more than %d: write several notes", len(words), MaxNote)}
	}
	if e, ok, err := s.kept(ctx, Subject(jobID), id); ok || err != nil {
		return e, err
	}
	c, err := s.PutWords(ctx, words)
	if err != nil {
		return record.Entry{}, err
	}
	n.Commitment = c
	e, _, err := s.Append(ctx, person, Input{ID: id, Subject: Subject(jobID), Kind: "note", Body: n, Photos: photos})
	return e, err
}

// MaxNote is the longest note in bytes.
const MaxNote = 1 << 19

// kept finds the entry that an id was used for before. Words beside the log
// are salted anew each time, so a note that is sent twice would not be the
// same proposal.
func (s *Shop) kept(ctx context.Context, subject, entryID string) (record.Entry, bool, error) {
	if entryID == "" {
		return record.Entry{}, false, nil
	}
	entries, err := s.entries(ctx, subject)
	if err != nil {
		return record.Entry{}, false, err
	}
	for _, e := range entries {
		if e.ID == entryID {
			return e, true, nil
		}
	}
	return record.Entry{}, false, nil
}

// Concession is one obstacle to let stand.
type Concession struct {
	ID        string // of the entry; empty: a new one is made
	Job       string
	Obstacle  string // its key
	Reason    string
	Signature string // the owner's, where the workshop has one person
	Saw       int64  // 0: the log as it is
}

// Concede lets an obstacle stand. In a workshop with one person it needs the
// owner's signature, and says that no second person looked.
func (s *Shop) Concede(ctx context.Context, person string, c Concession) (record.Entry, error) {
	if e, ok, err := s.kept(ctx, Subject(c.Job), c.ID); ok || err != nil {
		return e, err
	}
	l, err := s.Job(ctx, c.Job)
	if err != nil {
		return record.Entry{}, err
	}
	i := slices.IndexFunc(l.Assessment.Obstacles, func(o job.Obstacle) bool { return o.Key == c.Obstacle })
	if i < 0 {
		return record.Entry{}, &Refusal{Cause: fmt.Errorf("obstacle %q: nothing of that name stands in the way of job %s", c.Obstacle, c.Job)}
	}
	body := job.Conceded{Obstacle: c.Obstacle, RestsOn: l.Assessment.Obstacles[i].RestsOn, Reason: c.Reason, NoSecond: l.Basis.Workshop.One()}
	if c.Signature != "" {
		if body.Signature, err = s.PutWords(ctx, c.Signature); err != nil {
			return record.Entry{}, err
		}
	}
	if c.Saw == 0 {
		c.Saw = l.State.Size
	}
	e, _, err := s.Append(ctx, person, Input{ID: c.ID, Subject: l.Subject, Kind: "concession", Body: body, Saw: c.Saw})
	return e, err
}

// HandOver stores the assessment with what it rested on, and enters the
// handover. It is recorded with obstacles standing too; they are counted.
func (s *Shop) HandOver(ctx context.Context, person, id, remark string, saw int64) (record.Entry, error) {
	l, err := s.Job(ctx, id)
	if err != nil {
		return record.Entry{}, err
	}
	snap, err := job.NewSnapshot(l.Assessment, l.State, l.Basis, s.program).Encode()
	if err != nil {
		return record.Entry{}, err
	}
	h, err := s.store.PutSheet(ctx, snap)
	if err != nil {
		return record.Entry{}, fmt.Errorf("shop: keep what the handover rests on: %w", err)
	}
	if saw == 0 {
		saw = l.State.Size
	}
	body := job.HandedOver{Snapshot: string(h), Program: s.program, MainsInspected: l.Assessment.MainsInspected,
		Standing: len(l.Assessment.Standing(job.Handover)), Remark: remark}
	e, _, err := s.Append(ctx, person, Input{Subject: l.Subject, Kind: "handover", Body: body, Saw: saw})
	return e, err
}

// Snapshot is what a job's handover rested on.
func (s *Shop) Snapshot(ctx context.Context, l *Loaded) (job.Snapshot, error) {
	if l.State.Handover == nil {
		return job.Snapshot{}, fmt.Errorf("shop: job %s is not handed over: %w", l.ID, ErrNotFound)
	}
	data, err := s.store.Sheet(ctx, record.ContentHash(l.State.Handover.Body.Snapshot))
	if err != nil {
		return job.Snapshot{}, fmt.Errorf("shop: what the handover rested on: %w", err)
	}
	return job.DecodeSnapshot(data)
}

// Seal signs the job's log as it stands. id makes sending it twice count once;
// saw is the last entry the person saw, 0 to seal whatever is there.
func (s *Shop) Seal(ctx context.Context, person, job, id string, saw int64) (record.Seal, error) {
	if id == "" {
		var err error
		if id, err = record.NewID(s.now(), s.rand); err != nil {
			return record.Seal{}, err
		}
	}
	return s.folder.Seal(ctx, store.SealRequest{ID: id, Subject: Subject(job), Person: person, DeviceTime: s.now(), Saw: saw})
}

// Bundle writes a job's bundle: entries, seals, sheets, what is beside the log
// unless it is withheld, and the files given, such as the report.
func (s *Shop) Bundle(ctx context.Context, id string, files map[string][]byte, hold Withhold, w io.Writer) error {
	entries, err := s.entries(ctx, Subject(id))
	if err != nil {
		return err
	}
	if len(entries) == 0 {
		return fmt.Errorf("shop: job %q: %w", id, ErrNotFound)
	}
	b := record.Bundle{Entries: entries, Files: files, Sheets: map[record.ContentHash][]byte{}, Blobs: map[record.Commitment]record.Blob{}}
	if b.Leaves, err = s.store.Leaves(ctx, Subject(id)); err != nil {
		return fmt.Errorf("shop: bundle: %w", err)
	}
	if err := s.gather(ctx, &b, hold); err != nil {
		return err
	}
	if b.Chain, err = s.folder.Chain(); err != nil {
		return fmt.Errorf("shop: bundle: %w", err)
	}
	key, err := s.folder.Key()
	if err != nil {
		return fmt.Errorf("shop: bundle: %w", err)
	}
	return record.WriteBundle(w, b, key)
}

// VerifierKey is the workshop's newest public key.
func (s *Shop) VerifierKey() (string, error) {
	c, err := s.folder.Chain()
	if err != nil {
		return "", err
	}
	return c.Newest(), nil
}
