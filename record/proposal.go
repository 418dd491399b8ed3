// SPDX-License-Identifier: Apache-2.0

package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"time"

	"github.com/oklog/ulid/v2"
)

// MaxBody is the longest body in bytes; longer things are blobs.
const MaxBody = 1 << 20

// Proposal is what a client asks a log to keep: the client part of an entry.
type Proposal struct {
	ID         string          // a ULID in capitals, made by the client; see NewID
	Subject    string          // "job/<id>", "tool/<id>", "stock/<id>" or "workshop"
	DeviceTime time.Time       // the client's clock: shown, never used for order
	Kind       string          // lower case, such as "reading"
	Version    int             // of the kind, from 1
	Body       json.RawMessage // a JSON object
	Saw        int64           // the last sequence number the client saw; 0 = none named
}

// ErrInvalid is wrapped by every refusal of a proposal, line or reference that
// can't be understood.
var ErrInvalid = errors.New("not understood")

// ErrIDReused says that an id was used before for something else. The same id
// with the same client part is no error: it is the same entry.
var ErrIDReused = errors.New("id was used before for another entry")

// NewID returns a ULID for time t with randomness from r (crypto/rand.Reader).
func NewID(t time.Time, r io.Reader) (string, error) {
	id, err := ulid.New(ulid.Timestamp(t), r)
	if err != nil {
		return "", fmt.Errorf("record: new id: %w", err)
	}
	return id.String(), nil
}

// Validate says why p can't be understood, or nil. It doesn't judge the body
// beyond its being a JSON object with no name given twice.
func (p Proposal) Validate() error {
	if err := p.validateHead(); err != nil {
		return err
	}
	return checkBody(p.Body)
}

func (p Proposal) validateHead() error {
	if !isULID(p.ID) {
		return invalid("id %q is not a ULID in capitals", p.ID)
	}
	if err := CheckSubject(p.Subject); err != nil {
		return err
	}
	if y := p.DeviceTime.Year(); y < 1900 || y > 9999 {
		return invalid("device time %v is out of range", p.DeviceTime)
	}
	if !isKind(p.Kind) {
		return invalid("kind %q: lower-case letters, digits and _ . - only, at most 64", p.Kind)
	}
	if p.Version < 1 || p.Version > 1_000_000 {
		return invalid("kind %q: version %d is out of range", p.Kind, p.Version)
	}
	if p.Saw < 0 {
		return invalid("saw %d is negative", p.Saw)
	}
	return nil
}

// isULID says whether s is a ULID as package ulid writes one: 26 of Crockford's
// digits in capitals, no more than 128 bits. Every line of a log that is read
// asks.
func isULID(s string) bool {
	return len(s) == ulid.EncodedSize && s[0] <= '7' && allOf(s, isCrockford)
}

func isCrockford(c byte) bool {
	return isDigit(c) || 'A' <= c && c <= 'Z' && c != 'I' && c != 'L' && c != 'O' && c != 'U'
}

// Same says whether p and q have the same client part, byte for byte once the
// blanks outside strings are taken out of their bodies.
func (p Proposal) Same(q Proposal) bool {
	a, errA := p.clientPart(nil)
	b, errB := q.clientPart(nil)
	return errA == nil && errB == nil && bytes.Equal(a, b)
}

func invalid(format string, args ...any) error {
	return fmt.Errorf("record: %w: %s", ErrInvalid, fmt.Sprintf(format, args...))
}
