// SPDX-License-Identifier: Apache-2.0

package job

import (
	"encoding/json"
	"time"

	"witnessmark/record"
)

// clockTolerance is how far a device's clock may be off before it is shown.
const clockTolerance = 5 * time.Minute

// Record puts every entry into words, corrections beside what they replace.
func Record(entries []record.Entry, b Basis, voice Voice) []Line {
	v := &shower{basis: b, voice: voice}
	var s State
	correct(&s, entries)
	lines := make([]Line, 0, len(entries))
	bySeq := map[int64]Line{}
	for _, e := range entries {
		l := v.line(e)
		bySeq[e.Seq] = l
		lines = append(lines, l)
	}
	for i := range lines {
		for _, c := range s.Corrected[lines[i].Seq] {
			l := bySeq[c.At.Seq]
			lines[i].Replaced = append(lines[i].Replaced, l)
			lines[i].Withdrawn = c.Body.Withdraws()
			if !c.Body.Withdraws() {
				lines[i].Now = v.corrected(c.Body, lines[i].Words)
			}
		}
	}
	return lines
}

func (v *shower) line(e record.Entry) Line {
	l := Line{Seq: e.Seq, ID: e.ID, Kind: e.Kind, Title: Title(e.Kind), Person: v.person(e.Person), Raw: string(e.Line()),
		Time: v.clock(e.DeviceTime), Received: v.clock(e.Received)}
	if off := e.Received.Sub(e.DeviceTime); off > clockTolerance || off < -clockTolerance {
		l.ClockOff = "The device’s clock said " + l.Time + "."
	}
	body, err := decodeEntry(e)
	if err != nil {
		l.Unknown, l.Words = true, (*unknown)(nil).words(nil)
		return l
	}
	l.Words = say(body, v.basis)
	l.Now = l.Words
	switch b := body.(type) {
	case *Correction:
		l.Replaces = b.Replaces
	case *Note:
		l.Commitment = b.Commitment
	case *Details:
		l.Commitment = b.Commitment
	}
	var at struct {
		Position int      `json:"position"`
		Photos   []string `json:"photos"`
	}
	if json.Unmarshal(e.Body, &at) == nil {
		l.Position, l.Photos = at.Position, at.Photos
	}
	return l
}

func (v *shower) clock(t time.Time) string {
	zone := v.voice.Zone
	if zone == nil {
		zone = time.UTC
	}
	return t.In(zone).Format("2006-01-02 15:04")
}

// corrected is what a corrected entry says now.
func (v *shower) corrected(c Correction, old string) string {
	body, err := Decode(c.Kind, c.Version, []byte(c.Body))
	if err != nil {
		return old
	}
	return say(body, v.basis)
}
