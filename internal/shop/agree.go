// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"regexp"
	"strings"

	"witnessmark/internal/job"
)

// Signed is who agreed, kept beside the log so that it can be erased.
type Signed struct {
	Name    string `json:"name"`
	Strokes string `json:"strokes,omitempty"` // drawn, as an SVG path in a field of 600 by 160
	Ticked  bool   `json:"ticked,omitempty"`  // the name was typed and the box ticked instead
}

// The field that a signature is drawn in.
const (
	SignWidth  = 600
	SignHeight = 160
)

// maxStrokes is the longest drawing that is kept, in bytes.
const maxStrokes = 64 << 10

// strokes are moves and lines between points with one decimal at most.
var strokes = regexp.MustCompile(`^(?:M-?\d{1,4}(?:\.\d)? -?\d{1,4}(?:\.\d)?(?:L-?\d{1,4}(?:\.\d)? -?\d{1,4}(?:\.\d)?)+)+$`)

func (s Signed) check() error {
	switch {
	case strings.TrimSpace(s.Name) == "":
		return errors.New("the name is empty: write who agrees")
	case len(s.Name) > 200:
		return errors.New("the name is longer than 200 bytes: write it shorter")
	case len(s.Strokes) > maxStrokes:
		return errors.New("the drawn signature is too long: clear it and draw it again")
	case s.Strokes != "" && !strokes.MatchString(s.Strokes):
		return errors.New("the drawn signature can't be read: clear it and draw it again")
	}
	return nil
}

// KeepSigned keeps who agreed beside the log and returns the commitment for
// an entry.
func (s *Shop) KeepSigned(ctx context.Context, who Signed) (string, error) {
	if err := who.check(); err != nil {
		return "", &Refusal{Cause: err}
	}
	data, err := json.Marshal(who)
	if err != nil {
		return "", fmt.Errorf("shop: signature: %w", err)
	}
	return s.PutWords(ctx, string(data))
}

// SignedBy is who agreed. Without a commitment it is empty; where it was
// erased, the name says so.
func (s *Shop) SignedBy(ctx context.Context, commitment string) (who Signed, err error) {
	if commitment == "" {
		return who, nil
	}
	words, err := s.Words(ctx, commitment)
	switch {
	case err != nil:
		return who, err
	case words == ErasedWords:
		return Signed{Name: ErasedWords}, nil
	}
	if err := json.Unmarshal([]byte(words), &who); err != nil {
		return who, fmt.Errorf("shop: signature: %w", err)
	}
	return who, who.check()
}

// Consent is a consent with who gave it. id is that of the entry that it goes
// into: sent twice, the second time finds the entry and keeps nothing.
type Consent struct {
	ID   string
	Job  string
	Kind string
	Who  Signed
	Body func(signature string) any // of package job
}

// Agree keeps who agreed and enters what was agreed.
func (s *Shop) Agree(ctx context.Context, person string, c Consent, in Input) (seq int64, err error) {
	if e, ok, err := s.kept(ctx, Subject(c.Job), c.ID); ok || err != nil {
		return e.Seq, err
	}
	if _, err := job.Propose(Subject(c.Job), c.Kind, c.Body(placeholder)); err != nil {
		return 0, &Refusal{Cause: err}
	}
	signature, err := s.KeepSigned(ctx, c.Who)
	if err != nil {
		return 0, err
	}
	in.ID, in.Subject, in.Kind, in.Body = c.ID, Subject(c.Job), c.Kind, c.Body(signature)
	e, _, err := s.Append(ctx, person, in)
	return e.Seq, err
}
