// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"witnessmark/internal/job"
	"witnessmark/internal/photo"
	"witnessmark/internal/store"
	"witnessmark/record"
)

// MaxPhotos is how many photos one entry may have.
const MaxPhotos = 12

// keepPhotos keeps photos beside the log, safely on disk, and names them in
// the proposal. A kind of entry that has no photos refuses them.
func (s *Shop) keepPhotos(ctx context.Context, p *record.Proposal, photos []photo.Photo) error {
	if len(photos) == 0 {
		return nil
	}
	if len(photos) > MaxPhotos {
		return &Refusal{Cause: fmt.Errorf("%d photos at once, more than %d: send several entries", len(photos), MaxPhotos)}
	}
	names := make([]string, len(photos))
	for i := range names {
		names[i] = placeholder
	}
	// The kind is asked before anything is kept, so that nothing lies about.
	if _, err := withPhotos(*p, names); err != nil {
		return err
	}
	for i, ph := range photos {
		c, err := s.store.PutBlob(ctx, record.Blob{Data: ph.JPEG})
		if err != nil {
			return fmt.Errorf("shop: keep photo: %w", err)
		}
		names[i] = string(c)
	}
	body, err := withPhotos(*p, names)
	if err != nil {
		return err
	}
	p.Body = body
	return nil
}

// placeholder is a commitment of the right form that stands for none.
const placeholder = "blob:0000000000000000000000000000000000000000000000000000000000000000"

func withPhotos(p record.Proposal, names []string) (json.RawMessage, error) {
	var body map[string]json.RawMessage
	if err := json.Unmarshal(p.Body, &body); err != nil {
		return nil, fmt.Errorf("shop: photos: %w", err)
	}
	list, err := json.Marshal(names)
	if err != nil {
		return nil, fmt.Errorf("shop: photos: %w", err)
	}
	body["photos"] = list
	raw, err := json.Marshal(body)
	if err != nil {
		return nil, fmt.Errorf("shop: photos: %w", err)
	}
	if _, err := job.Decode(p.Kind, p.Version, raw); err != nil {
		return nil, &Refusal{Cause: fmt.Errorf("%s takes no photo: write a note with the photo", job.Title(p.Kind))}
	}
	return raw, nil
}

// ErrErased says that a photo or words were there and were erased.
var ErrErased = store.ErrErased

// Photo returns a photo that the job's log names.
func (s *Shop) Photo(ctx context.Context, l *Loaded, commitment string) ([]byte, error) {
	for _, p := range l.State.Photos {
		if p.Commitment != commitment {
			continue
		}
		b, err := s.store.Blob(ctx, record.Commitment(commitment))
		if err != nil {
			return nil, fmt.Errorf("shop: photo: %w", err)
		}
		return b.Data, nil
	}
	return nil, fmt.Errorf("shop: photo %s: %w", commitment, ErrNotFound)
}

// Thumbnail returns a small copy of a photo, made when it is first asked for.
// It is kept as a report of the job, so that it goes when anything is erased.
func (s *Shop) Thumbnail(ctx context.Context, l *Loaded, commitment string) ([]byte, error) {
	digits, err := record.Commitment(commitment).Hex()
	if err != nil {
		return nil, fmt.Errorf("shop: photo: %w", ErrNotFound)
	}
	name := thumbName(digits)
	if small, err := s.store.Report(ctx, l.Subject, name); err == nil {
		return small, nil
	} else if !errors.Is(err, store.ErrNotFound) {
		return nil, fmt.Errorf("shop: thumbnail: %w", err)
	}
	whole, err := s.Photo(ctx, l, commitment)
	if err != nil {
		return nil, err
	}
	small, err := photo.Thumbnail(whole)
	if err != nil {
		return nil, err
	}
	err = s.store.PutReport(ctx, l.Subject, name, small)
	if err != nil && !errors.Is(err, store.ErrFull) && !errors.Is(err, store.ErrReadOnly) { // it can be seen all the same
		return nil, fmt.Errorf("shop: thumbnail: %w", err)
	}
	return small, nil
}

func thumbName(digits string) string { return "thumb-" + digits[:48] + ".jpg" } // as long as a report's name may be

// keepSmall keeps the thumbnails of photos that an entry has just named. They
// are at hand then for pages and reports; what can't be kept is made later.
func (s *Shop) keepSmall(ctx context.Context, e record.Entry, photos []photo.Photo) {
	var body struct {
		Photos []record.Commitment `json:"photos"`
	}
	if json.Unmarshal(e.Body, &body) != nil || len(body.Photos) != len(photos) {
		return
	}
	for i, p := range photos {
		if digits, err := body.Photos[i].Hex(); err == nil && p.Small != nil {
			_ = s.store.PutReport(ctx, e.Subject, thumbName(digits), p.Small)
		}
	}
}

// KeepPhoto takes in one photo and keeps it beside the logs, safely on disk.
// It is shown once an entry names its commitment.
func (s *Shop) KeepPhoto(ctx context.Context, data []byte) (photo.Photo, string, error) {
	p, err := photo.Take(bytes.NewReader(data))
	if err != nil {
		return photo.Photo{}, "", err
	}
	c, err := s.store.PutBlob(ctx, record.Blob{Data: p.JPEG})
	if err != nil {
		return photo.Photo{}, "", fmt.Errorf("shop: keep photo: %w", err)
	}
	return p, string(c), nil
}
