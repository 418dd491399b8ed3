// SPDX-License-Identifier: Apache-2.0

package record

import (
	"encoding/base64"
	"errors"
	"fmt"
	"strings"

	"golang.org/x/mod/sumdb/note"
)

// ErrSignature is wrapped when a note isn't signed as it must be.
var ErrSignature = errors.New("signature does not hold")

// OpenNote returns the text of a C2SP signed note: see [Seal] and [Chain] for
// what this package signs. Every one of vkeys must have signed it, nobody else
// may have, and no byte of it may differ from how it is written.
func OpenNote(msg string, vkeys ...string) (string, error) {
	var verifiers []note.Verifier
	for _, k := range vkeys {
		v, err := note.NewVerifier(k)
		if err != nil {
			return "", invalid("not a public key: %q", k)
		}
		verifiers = append(verifiers, v)
	}
	return openNote(msg, verifiers...)
}

// openNote returns the text of a signed note. Every one of its signatures must
// be by a different one of the verifiers, each of them must have signed, and
// the note must be spelt the one way [note.Sign] spells it: no byte of it can
// be changed, not even one that carries nothing.
func openNote(msg string, verifiers ...note.Verifier) (string, error) {
	n, err := note.Open([]byte(msg), note.VerifierList(verifiers...))
	if err != nil {
		return "", fmt.Errorf("record: %w: %v", ErrSignature, err)
	}
	if len(n.Sigs) != len(verifiers) {
		return "", fmt.Errorf("record: %w: %d of %d signatures", ErrSignature, len(n.Sigs), len(verifiers))
	}
	var again strings.Builder
	again.WriteString(n.Text + "\n")
	for _, s := range n.Sigs {
		if _, err := base64.StdEncoding.Strict().DecodeString(s.Base64); err != nil {
			return "", fmt.Errorf("record: %w: not spelt as written", ErrSignature)
		}
		again.WriteString("— " + s.Name + " " + s.Base64 + "\n")
	}
	if again.String() != msg {
		return "", fmt.Errorf("record: %w: more in the note than its signatures cover", ErrSignature)
	}
	return n.Text, nil
}
