// SPDX-License-Identifier: Apache-2.0

package record

import (
	"bytes"
	"strconv"
	"time"

	"golang.org/x/mod/sumdb/tlog"
)

// Entry is one fact, written once: a proposal with what the server added.
type Entry struct {
	Proposal
	Person   string
	Seq      int64     // from 1, without gaps, in each log
	Received time.Time // the server's clock, UTC, to the millisecond
	Raw      []byte    // the line this came from: the truth; never changed
}

// NewEntry makes the entry that keeps p as number seq. The body is kept
// without the blanks outside its strings. Received is cut to milliseconds.
func NewEntry(p Proposal, person string, seq int64, received time.Time) (Entry, error) {
	if err := p.Validate(); err != nil {
		return Entry{}, err
	}
	if err := CheckPerson(person); err != nil {
		return Entry{}, err
	}
	received = received.UTC().Truncate(time.Millisecond)
	if y := received.Year(); seq < 1 || y < 1970 || y > 9999 {
		return Entry{}, invalid("sequence %d or received time %v is out of range", seq, received)
	}
	line, err := appendLine(nil, p, person, seq, received)
	if err != nil {
		return Entry{}, err
	}
	return parseLine(line, false)
}

// Line returns the one line of JSON, without a newline, that is stored, hashed
// and exported byte for byte. It is nil for an Entry that wasn't made by
// [NewEntry] or [ParseLine]. The caller must not change it.
func (e Entry) Line() []byte { return e.Raw }

// Leaf returns the RFC 6962 leaf hash of the line: SHA-256(0x00 || line).
func (e Entry) Leaf() tlog.Hash { return tlog.RecordHash(e.Raw) }

// ClientPart returns the part of the line that the client sent.
func (e Entry) ClientPart() []byte {
	i := bytes.Index(e.Raw, []byte(`"id":"`))
	if i < 0 {
		return nil
	}
	return e.Raw[i:]
}

// Keeps says whether e is what p proposes: same id, same client part.
func (e Entry) Keeps(p Proposal) bool {
	part, err := p.clientPart(nil)
	return err == nil && bytes.Equal(part, e.ClientPart())
}

func appendLine(b []byte, p Proposal, person string, seq int64, received time.Time) ([]byte, error) {
	b = append(b, `{"v":1,"seq":`...)
	b = strconv.AppendInt(b, seq, 10)
	b = append(b, `,"person":"`...)
	b = append(b, person...)
	b = append(b, `","received":"`...)
	b = received.AppendFormat(b, time.RFC3339Nano)
	b = append(b, `",`...)
	return p.clientPart(b)
}

// clientPart appends the client part: from "id" to the closing brace.
// None of the plain values holds a character that JSON would escape.
func (p Proposal) clientPart(b []byte) ([]byte, error) {
	b = append(b, `"id":"`...)
	b = append(b, p.ID...)
	b = append(b, `","subject":"`...)
	b = append(b, p.Subject...)
	b = append(b, `","device_time":"`...)
	b = p.DeviceTime.AppendFormat(b, time.RFC3339Nano)
	b = append(b, `","kind":"`...)
	b = append(b, p.Kind...)
	b = append(b, `","version":`...)
	b = strconv.AppendInt(b, int64(p.Version), 10)
	if p.Saw != 0 {
		b = append(b, `,"saw":`...)
		b = strconv.AppendInt(b, p.Saw, 10)
	}
	b = append(b, `,"body":`...)
	b, err := appendCompact(b, p.Body)
	if err != nil {
		return nil, err
	}
	return append(b, '}'), nil
}
