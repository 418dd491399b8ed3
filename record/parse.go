// SPDX-License-Identifier: Apache-2.0

package record

import (
	"bytes"
	"strconv"
	"strings"
	"time"
)

// ParseLine reads a line (without its newline) strictly: what it accepts is
// exactly what [NewEntry] can have written, so there is one line to an entry
// and one entry to a line.
func ParseLine(line []byte) (Entry, error) { return parseLine(line, true) }

// ParseStored reads a line that this package wrote and a store kept: as
// [ParseLine], but it leaves out the check of the body, which was done when
// the entry was made. Verify what comes from elsewhere with ParseLine.
func ParseStored(line []byte) (Entry, error) { return parseLine(line, false) }

func parseLine(line []byte, body bool) (Entry, error) {
	s := scanner{rest: string(line)}
	var e Entry
	s.expect(`{"v":1,"seq":`)
	e.Seq = s.integer()
	s.expect(`,"person":"`)
	e.Person = s.plain()
	s.expect(`,"received":"`)
	e.Received = s.time()
	s.expect(`,"id":"`)
	e.ID = s.plain()
	s.expect(`,"subject":"`)
	e.Subject = s.plain()
	s.expect(`,"device_time":"`)
	e.DeviceTime = s.time()
	s.expect(`,"kind":"`)
	e.Kind = s.plain()
	s.expect(`,"version":`)
	e.Version = int(s.integer())
	if strings.HasPrefix(s.rest, `,"saw":`) {
		s.expect(`,"saw":`)
		e.Saw = s.integer()
	}
	s.expect(`,"body":`)
	if s.bad != "" {
		return Entry{}, invalid("line: %s", s.bad)
	}
	end := len(line) - 1
	if len(s.rest) < 3 || line[end] != '}' {
		return Entry{}, invalid("line: it breaks off")
	}
	e.Raw = bytes.Clone(line)
	e.Body = e.Raw[len(line)-len(s.rest) : end : end]
	return e, e.checkParsed(body)
}

func (e Entry) checkParsed(body bool) error {
	if err := e.validateHead(); err != nil {
		return err
	}
	if err := CheckPerson(e.Person); err != nil {
		return err
	}
	if y := e.Received.Year(); e.Seq < 1 || y < 1970 || y > 9999 {
		return invalid("sequence %d or received time %v is out of range", e.Seq, e.Received)
	}
	if !body {
		return nil
	}
	if err := checkBody(e.Body); err != nil {
		return err
	}
	again, err := appendLine(nil, e.Proposal, e.Person, e.Seq, e.Received)
	if err != nil || !bytes.Equal(again, e.Raw) || !e.Received.Equal(e.Received.Truncate(time.Millisecond)) || e.Received.Location() != time.UTC {
		return invalid("line %d is not spelt as this program spells it", e.Seq)
	}
	return nil
}

// scanner walks over the head of a line; the first thing wrong stays in bad.
type scanner struct {
	rest string
	bad  string
}

func (s *scanner) expect(lit string) {
	if s.bad != "" {
		return
	}
	rest, ok := strings.CutPrefix(s.rest, lit)
	if !ok {
		s.bad = "no " + lit + " where it belongs"
		return
	}
	s.rest = rest
}

// plain reads up to the closing quote. Escapes need no care: no plain value
// may hold a backslash, and the checks of each value refuse it.
func (s *scanner) plain() string {
	v, rest, ok := strings.Cut(s.rest, `"`)
	if !ok && s.bad == "" {
		s.bad = "an open string"
	}
	s.rest = rest
	return v
}

func (s *scanner) integer() int64 {
	n := 0
	for n < len(s.rest) && isDigit(s.rest[n]) {
		n++
	}
	v, err := strconv.ParseInt(s.rest[:n], 10, 64)
	if (err != nil || s.rest[0] == '0') && s.bad == "" {
		s.bad = "a number that is none"
	}
	s.rest = s.rest[n:]
	return v
}

func (s *scanner) time() time.Time {
	v := s.plain()
	t, err := time.Parse(time.RFC3339Nano, v)
	if err != nil && s.bad == "" {
		s.bad = "a time that is none"
	}
	return t
}
