// SPDX-License-Identifier: Apache-2.0

package job

import "fmt"

// Note is free text; the words are a salted blob beside the log, because free
// words name people. An open note stands in the way of handover until it is
// resolved.
type Note struct {
	Commitment string   `json:"commitment"`
	Open       bool     `json:"open,omitempty"`
	Position   int      `json:"position,omitempty"`
	Photos     []string `json:"photos,omitempty"`
}

func (b *Note) check() error {
	if b.Position != 0 {
		if err := checkPosition(b.Position); err != nil {
			return err
		}
	}
	return firstError(checkCommitment("text", b.Commitment), checkCommitments("photo", b.Photos))
}

func (b *Note) apply(s *State, at At) {
	s.Notes = append(s.Notes, NoteState{Noted: Noted[Note]{At: at, Body: *b}})
	s.addBlob(at, b.Commitment)
	s.addPhotos(at, b.Photos)
}

func (b *Note) words(name PositionNamer) string {
	w := "Note"
	if b.Position != 0 {
		w += " on position " + name(b.Position)
	}
	if b.Open {
		w += ", to be resolved before handover"
	}
	return w + "."
}

// NoteResolved closes an open note.
type NoteResolved struct {
	Note int64  `json:"note"` // its sequence
	How  string `json:"how"`
}

func (b *NoteResolved) check() error {
	if b.Note < 1 {
		return fmt.Errorf("note %d: name the entry of the note", b.Note)
	}
	return checkText("how", b.How)
}

func (b *NoteResolved) apply(s *State, at At) {
	for i := range s.Notes {
		if s.Notes[i].At.Seq == b.Note {
			s.Notes[i].Resolved = &Noted[NoteResolved]{At: at, Body: *b}
		}
	}
}

func (b *NoteResolved) words(PositionNamer) string {
	return fmt.Sprintf("Note of entry %d resolved: %s", b.Note, b.How)
}
