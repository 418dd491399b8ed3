// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode/utf8"
)

// Event is one entry of a calendar.
type Event struct {
	UID         string // the same for the same thing, for ever
	Start, End  time.Time
	AllDay      bool // Start and End are days; End is the day after the last
	Summary     string
	Description string
	Location    string
	Status      string    // TENTATIVE, CONFIRMED, CANCELLED or ""
	Sequence    int       // grows with each change
	Stamp       time.Time // when this was written down
}

// Feed is a calendar.
type Feed struct {
	Product string // for PRODID, such as "-//Workshop//Witnessmark//EN"
	Name    string
	Events  []Event
}

// WriteCalendar writes a feed as iCalendar: UTF-8, lines ended by CRLF and
// folded at 75 octets, texts escaped, moments in UTC, days as dates.
//
// It returns an error for an event without UID, stamp or a length above zero,
// an unknown status, and text with control characters.
//
// Source: RFC 5545, sections 3.1 (lines), 3.3.4, 3.3.5, 3.3.11 (values), 3.6.1
// (events), 3.7 (properties); RFC 7986, 5.1 (NAME). From memory.
func WriteCalendar(w io.Writer, f Feed) error {
	b := &strings.Builder{}
	if f.Product == "" {
		return errors.New("scope: a calendar needs the name of its product")
	}
	writeLine(b, "BEGIN", "VCALENDAR")
	writeLine(b, "VERSION", "2.0")
	writeLine(b, "PRODID", escapeText(f.Product))
	writeLine(b, "CALSCALE", "GREGORIAN")
	if f.Name != "" {
		writeLine(b, "NAME", escapeText(f.Name))
		writeLine(b, "X-WR-CALNAME", escapeText(f.Name))
	}
	seen := map[string]bool{}
	for _, e := range f.Events {
		if seen[e.UID] {
			return fmt.Errorf("scope: two events have the UID %q", e.UID)
		}
		seen[e.UID] = true
		if err := e.check(); err != nil {
			return err
		}
		e.write(b)
	}
	writeLine(b, "END", "VCALENDAR")
	_, err := io.WriteString(w, b.String())
	return err
}

func (e Event) check() error {
	switch {
	case e.UID == "":
		return errors.New("scope: an event has no UID")
	case e.Stamp.IsZero():
		return fmt.Errorf("scope: event %s has no stamp", e.UID)
	case !e.End.After(e.Start):
		return fmt.Errorf("scope: event %s ends at %s, not after its start at %s", e.UID, e.End, e.Start)
	case e.Status != "" && e.Status != "TENTATIVE" && e.Status != "CONFIRMED" && e.Status != "CANCELLED":
		return fmt.Errorf("scope: event %s has the status %q", e.UID, e.Status)
	}
	for _, text := range []string{e.UID, e.Summary, e.Description, e.Location} {
		if !utf8.ValidString(text) || strings.ContainsFunc(text, func(r rune) bool { return r < ' ' && r != '\n' && r != '\t' || r == 0x7f }) {
			return fmt.Errorf("scope: event %s has a control character in %q", e.UID, text)
		}
	}
	return nil
}

func (e Event) write(b *strings.Builder) {
	writeLine(b, "BEGIN", "VEVENT")
	writeLine(b, "UID", escapeText(e.UID))
	writeLine(b, "DTSTAMP", utc(e.Stamp))
	if e.AllDay {
		writeLine(b, "DTSTART;VALUE=DATE", e.Start.Format("20060102"))
		writeLine(b, "DTEND;VALUE=DATE", e.End.Format("20060102"))
	} else {
		writeLine(b, "DTSTART", utc(e.Start))
		writeLine(b, "DTEND", utc(e.End))
	}
	for _, p := range [][2]string{{"SUMMARY", e.Summary}, {"DESCRIPTION", e.Description}, {"LOCATION", e.Location}, {"STATUS", e.Status}} {
		if p[1] != "" {
			writeLine(b, p[0], escapeText(p[1]))
		}
	}
	writeLine(b, "SEQUENCE", fmt.Sprint(max(e.Sequence, 0)))
	writeLine(b, "END", "VEVENT")
}

// utc is form 2 of a moment (3.3.5).
func utc(t time.Time) string { return t.UTC().Format("20060102T150405Z") }

var textEscapes = strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\n", `\n`)

// escapeText is a value of type TEXT (3.3.11).
func escapeText(s string) string { return textEscapes.Replace(s) }

// writeLine writes one content line, folded so that no line has more than 75
// octets and no letter is cut (3.1).
func writeLine(b *strings.Builder, name, value string) {
	line := name + ":" + value
	room := 75
	for len(line) > room {
		cut := room
		for !utf8.RuneStart(line[cut]) {
			cut--
		}
		b.WriteString(line[:cut] + "\r\n ")
		line = line[cut:]
		room = 74 // a continued line starts with a space
	}
	b.WriteString(line + "\r\n")
}
