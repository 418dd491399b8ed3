// SPDX-License-Identifier: Apache-2.0

package api

import (
	"context"
	"errors"
	"fmt"

	"witnessmark/internal/job"
	"witnessmark/internal/photo"
	"witnessmark/internal/shop"
)

// Note is a note with its words.
type Note struct {
	Sequence int64    `json:"sequence"`
	Words    string   `json:"words"`
	Open     bool     `json:"open" doc:"stands in the way of handover until it is resolved"`
	Position int      `json:"position,omitempty"`
	Person   string   `json:"person" doc:"id"`
	Photos   []string `json:"photos,omitempty"`
}

// Notes is the notes of a job.
type Notes struct {
	Notes []Note `json:"notes"`
}

type notesOutput struct {
	Body Notes
}

func (s *server) notes(ctx context.Context, in *JobPath) (*notesOutput, error) {
	l, err := s.shop.Job(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	out := &notesOutput{}
	out.Body.Notes = []Note{}
	for _, n := range l.State.Notes {
		words, err := s.shop.Words(ctx, n.Body.Commitment)
		if err != nil {
			return nil, err
		}
		out.Body.Notes = append(out.Body.Notes, Note{Sequence: n.At.Seq, Words: words, Open: n.Body.Open && n.Resolved == nil, Position: n.Body.Position, Person: n.At.Person, Photos: n.Body.Photos})
	}
	return out, nil
}

// NewNote is a note to keep.
type NewNote struct {
	ID       string   `json:"id" maxLength:"26" doc:"of the entry, a ULID: sent twice it counts once"`
	Words    string   `json:"words" doc:"kept beside the log"`
	Open     bool     `json:"open,omitempty" doc:"to be resolved before handover"`
	Position int      `json:"position,omitempty"`
	Photos   []string `json:"photos,omitempty" maxItems:"12" doc:"commitments of photos that were sent before"`
}

type noteInput struct {
	JobPath
	Body NewNote
}

func (s *server) addNote(ctx context.Context, in *noteInput) (*keptOutput, error) {
	b := in.Body
	return s.beside(ctx, in.Job, "note", b.ID, func(c caller, l *shop.Loaded) (int64, error) {
		if err := s.arePhotos(ctx, l, b.Photos); err != nil {
			return 0, err
		}
		e, err := s.shop.AddNote(ctx, c.ID, l.ID, b.ID, job.Note{Open: b.Open, Position: b.Position, Photos: b.Photos}, b.Words)
		return e.Seq, err
	})
}

// NewConcession is an obstacle to let stand.
type NewConcession struct {
	ID        string `json:"id" maxLength:"26" doc:"of the entry, a ULID: sent twice it counts once"`
	Obstacle  string `json:"obstacle" maxLength:"400" doc:"its key"`
	Reason    string `json:"reason"`
	Signature string `json:"signature,omitempty" maxLength:"400" doc:"the owner's, where the workshop has one person; kept beside the log"`
	Saw       int64  `json:"saw" minimum:"1" doc:"the last entry that was seen"`
}

type concedeInput struct {
	JobPath
	Body NewConcession
}

// concede lets an obstacle stand. Whether the concession counts is for the
// assessment.
func (s *server) concede(ctx context.Context, in *concedeInput) (*keptOutput, error) {
	b := in.Body
	return s.beside(ctx, in.Job, "concession", b.ID, func(c caller, l *shop.Loaded) (int64, error) {
		e, err := s.shop.Concede(ctx, c.ID, shop.Concession{ID: b.ID, Job: l.ID, Obstacle: b.Obstacle, Reason: b.Reason, Signature: b.Signature, Saw: b.Saw})
		return e.Seq, err
	})
}

type photoInput struct {
	JobPath
	RawBody []byte `contentType:"image/jpeg"`
}

// Photo is a photo that is kept.
type Photo struct {
	Photo  string `json:"photo" doc:"its commitment, for the entry that names it"`
	Width  int    `json:"width"`
	Height int    `json:"height"`
	Bytes  int    `json:"bytes"`
}

type photoOutput struct {
	Status int
	Body   Photo
}

// addPhoto keeps a photo beside the log, safely on disk before it answers. An
// entry then names it; until one does, nobody is shown it.
func (s *server) addPhoto(ctx context.Context, in *photoInput) (*photoOutput, error) {
	if _, err := s.shop.Job(ctx, in.Job); err != nil {
		return nil, err
	}
	p, commitment, err := s.shop.KeepPhoto(ctx, in.RawBody)
	if err != nil {
		return nil, err
	}
	return &photoOutput{Status: 201, Body: Photo{Photo: commitment, Width: p.Width, Height: p.Height, Bytes: len(p.JPEG)}}, nil
}

// arePhotos refuses names of photos that are not kept here.
func (s *server) arePhotos(ctx context.Context, l *shop.Loaded, photos []string) error {
	for _, c := range photos {
		body := fmt.Appendf(nil, `{"photo":%q}`, c)
		if err := s.shop.CheckReferences(ctx, l.Subject, "note", body); err != nil {
			return err
		}
	}
	return nil
}

// JobPhoto is a photo with the entry that shows it.
type JobPhoto struct {
	Photo    string     `json:"photo"`
	Sequence int64      `json:"sequence" doc:"of the entry"`
	Words    string     `json:"words"`
	Position int        `json:"position,omitempty"`
	Marks    []job.Mark `json:"marks,omitempty" doc:"what was drawn on it, a layer of its own"`
}

// Photos is the photos of a job.
type Photos struct {
	Photos []JobPhoto `json:"photos"`
}

type photosOutput struct {
	Body Photos
}

func (s *server) photos(ctx context.Context, in *JobPath) (*photosOutput, error) {
	l, err := s.shop.Job(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	out := &photosOutput{}
	out.Body.Photos = []JobPhoto{}
	for _, line := range l.Record() {
		for _, c := range line.Photos {
			if !line.Withdrawn {
				out.Body.Photos = append(out.Body.Photos, JobPhoto{Photo: c, Sequence: line.Seq, Words: line.Now, Position: line.Position, Marks: l.State.Marked[c].Body.Marks})
			}
		}
	}
	return out, nil
}

type photoFileInput struct {
	JobPath
	Photo string `path:"photo" maxLength:"80" doc:"its commitment"`
	Size  string `query:"size" enum:"whole,small" default:"whole"`
}

func (s *server) photoFile(ctx context.Context, in *photoFileInput) (*fileOutput, error) {
	l, err := s.shop.Job(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	get := s.shop.Photo
	if in.Size == "small" {
		get = s.shop.Thumbnail
	}
	data, err := get(ctx, l, in.Photo)
	if errors.Is(err, shop.ErrNotFound) {
		return nil, nothingAt("such photo", Prefix+"/jobs/"+l.ID+"/photos")
	}
	if err != nil {
		return nil, err
	}
	return &fileOutput{ContentType: jpegType, Disposition: "inline", Policy: filePolicy, Body: data}, nil
}

const jpegType = "image/jpeg"

// maxPhoto is the most that one photo may have.
const maxPhoto = photo.MaxBytes
