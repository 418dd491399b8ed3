// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"fmt"
	"strings"
)

// Erased says that personal words or photos beside the log were erased, whose
// and why. The entries that named them stay, and so do the seals.
type Erased struct {
	What   []ErasedThing `json:"what"`
	Reason string        `json:"reason"`
}

// ErasedThing is one thing that was erased.
type ErasedThing struct {
	Entry int64  `json:"entry"` // that named it; 0 for a name in the workshop's log
	What  string `json:"what"`  // owner, vehicle, note, photo, signature, name
	Name  string `json:"name"`  // commitment
}

// ErasableWords are the things that can be erased, as they are called.
var ErasableWords = map[string]string{"owner": "owner’s details", "vehicle": "vehicle’s details", "note": "note", "photo": "photo",
	"signature": "signature", "name": "name of a person", "words": "words"}

func (b *Erased) check() error {
	if len(b.What) == 0 {
		return errors.New("nothing to erase: choose at least one thing")
	}
	for _, x := range b.What {
		if _, ok := ErasableWords[x.What]; !ok {
			return fmt.Errorf("%q can't be erased: only what is kept beside the record can", x.What)
		}
		if err := checkCommitment(x.What, x.Name); err != nil {
			return err
		}
	}
	return checkText("reason", b.Reason)
}

func (b *Erased) apply(s *State, at At) {
	s.Erased = append(s.Erased, Noted[Erased]{At: at, Body: *b})
}

func (b *Erased) words(PositionNamer) string {
	things := make([]string, len(b.What))
	for i, x := range b.What {
		things[i] = ErasableWords[x.What]
		if x.Entry != 0 {
			things[i] += fmt.Sprintf(" of entry %d", x.Entry)
		}
	}
	return "Erased: " + list(things) + ". Reason: " + strings.TrimSuffix(b.Reason, ".") + "."
}

// KeyRenewed says that the workshop seals with another key from now on. The
// chain of keys leads from one to the other.
type KeyRenewed struct {
	Key string `json:"key"` // the new public key
	Was string `json:"was"`
}

func (b *KeyRenewed) check() error {
	return firstError(checkText("key", b.Key), checkText("was", b.Was))
}

func (b *KeyRenewed) apply(*State, At) {}

func (b *KeyRenewed) words(PositionNamer) string {
	return "A new key seals from now on: " + b.Key + ". Before it: " + b.Was + "."
}
