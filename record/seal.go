// SPDX-License-Identifier: Apache-2.0

package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"

	"github.com/transparency-dev/formats/log"
	"golang.org/x/mod/sumdb/note"
	"golang.org/x/mod/sumdb/tlog"
)

// KindSeal is the kind of the entry that holds a seal.
const KindSeal = "seal"

// Seal is a signed checkpoint of a log: its first Size entries have Root.
type Seal struct {
	Note      string // the C2SP signed note
	Key       string // verifier key that signed it
	Size      int64
	Root      Hash
	OldSize   int64  // of the seal before, 0 for the first
	Extension []Hash // consistency proof from the seal before
	Seq       int64  // of the entry that holds it, 0 if not yet kept; always Size+1
}

// sealBody is the body of the entry that holds a seal, version 1.
type sealBody struct {
	Note    string   `json:"note"`
	Key     string   `json:"key"`
	Extends *extends `json:"extends,omitempty"`
}

type extends struct {
	Size  int64    `json:"size"`
	Proof []string `json:"proof"`
}

// Checkpoint returns the text that a seal signs: origin, size and root, a line
// each (C2SP tlog-checkpoint).
func Checkpoint(origin string, size int64, root Hash) string {
	return string(log.Checkpoint{Origin: origin, Size: uint64(size), Hash: root[:]}.Marshal())
}

// NewSeal seals a log as it stands. It proves that it extends the seal before,
// if the log holds one. It doesn't verify that seal: see [VerifyLog].
func NewSeal(entries []Entry, k Key) (Seal, error) {
	if len(entries) == 0 {
		return Seal{}, invalid("an empty log can't be sealed")
	}
	name, err := KeyName(k.Verifier)
	if err != nil {
		return Seal{}, err
	}
	signer, err := k.Signer()
	if err != nil {
		return Seal{}, err
	}
	tree := TreeOf(entries)
	s := Seal{Key: k.Verifier, Size: tree.Size(), Root: tree.Root()}
	if old, ok := LastSeal(entries); ok {
		s.OldSize = old.Size
		if s.Extension, err = tree.Consistency(old.Size, s.Size); err != nil {
			return Seal{}, err
		}
	}
	text := Checkpoint(Origin(name, entries[0].Subject), s.Size, s.Root)
	msg, err := note.Sign(&note.Note{Text: text}, signer)
	if err != nil {
		return Seal{}, fmt.Errorf("record: seal: %w", err)
	}
	s.Note = string(msg)
	return s, nil
}

// Body returns the body of the entry that holds the seal.
func (s Seal) Body() json.RawMessage {
	body := sealBody{Note: s.Note, Key: s.Key}
	if s.OldSize > 0 {
		body.Extends = &extends{Size: s.OldSize, Proof: []string{}}
		for _, h := range s.Extension {
			body.Extends.Proof = append(body.Extends.Proof, h.String())
		}
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	_ = e.Encode(body) // strings and numbers: it can't fail
	return bytes.TrimSuffix(b.Bytes(), []byte("\n"))
}

// ParseSeal reads the seal that an entry holds. Nothing is verified.
func ParseSeal(e Entry) (Seal, error) {
	if e.Kind != KindSeal || e.Version != 1 {
		return Seal{}, invalid("entry %d holds no seal of a version known here", e.Seq)
	}
	var body sealBody
	if err := json.Unmarshal(e.Body, &body); err != nil {
		return Seal{}, invalid("entry %d: seal: not understood", e.Seq)
	}
	var cp log.Checkpoint
	if _, err := cp.Unmarshal([]byte(body.Note)); err != nil || len(cp.Hash) != tlog.HashSize || cp.Size > 1<<62 {
		return Seal{}, invalid("entry %d: seal: no checkpoint", e.Seq)
	}
	s := Seal{Note: body.Note, Key: body.Key, Size: int64(cp.Size), Root: Hash(cp.Hash), Seq: e.Seq}
	if body.Extends != nil {
		s.OldSize = body.Extends.Size
		for _, p := range body.Extends.Proof {
			h, err := tlog.ParseHash(p)
			if err != nil {
				return Seal{}, invalid("entry %d: seal: a proof that is none", e.Seq)
			}
			s.Extension = append(s.Extension, h)
		}
	}
	return s, nil
}

// LastSeal returns the newest seal in a log.
func LastSeal(entries []Entry) (Seal, bool) {
	for _, e := range slices.Backward(entries) {
		if e.Kind == KindSeal {
			if s, err := ParseSeal(e); err == nil {
				return s, true
			}
		}
	}
	return Seal{}, false
}

// Verify returns nil if the note is a checkpoint of the log of that origin,
// signed by the seal's key, and says the seal's size and root. Whether the key
// is to be trusted is for the caller: see [Chain.Has].
func (s Seal) Verify(origin string) error {
	text, err := OpenNote(s.Note, s.Key)
	if err != nil {
		return err
	}
	if text != Checkpoint(origin, s.Size, s.Root) {
		return fmt.Errorf("record: %w: it is a seal of something else", ErrSignature)
	}
	return nil
}

// Extends returns nil if s proves that it extends old.
func (s Seal) Extends(old Seal) error {
	if s.OldSize != old.Size {
		return invalid("seal of %d entries names one of %d before it, not of %d", s.Size, s.OldSize, old.Size)
	}
	return CheckConsistency(s.Extension, old.Size, old.Root, s.Size, s.Root)
}

// Fingerprint returns the root as people compare it: the first 16 hexadecimal
// digits in groups of four.
func (s Seal) Fingerprint() string {
	d := shortHash(s.Root)
	return d[:4] + " " + d[4:8] + " " + d[8:12] + " " + d[12:]
}
