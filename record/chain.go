// SPDX-License-Identifier: Apache-2.0

package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"golang.org/x/mod/sumdb/note"
)

// Chain is a workshop's public keys, oldest first, with the rotation between
// each and the next. Its wire form is one line of JSON.
type Chain struct {
	Format    int      `json:"format"`    // 1
	Keys      []string `json:"keys"`      // verifier keys
	Rotations []string `json:"rotations"` // Rotations[i] leads from Keys[i] to Keys[i+1]
}

const rotationHeader = "witnessmark key rotation 1"

// NewChain returns the chain of a workshop with one key.
func NewChain(k Key) Chain {
	return Chain{Format: 1, Keys: []string{k.Verifier}, Rotations: []string{}}
}

// Rotate returns the chain led on from old, its newest key, to next. The
// rotation is a note signed by both, so neither alone can make one.
func (c Chain) Rotate(old, next Key, at time.Time) (Chain, error) {
	if err := c.Check(); err != nil {
		return Chain{}, err
	}
	if c.Newest() != old.Verifier {
		return Chain{}, invalid("the key to rotate from is not the newest of the chain")
	}
	text := rotationText(old.Verifier, next.Verifier, at.UTC().Format(time.RFC3339))
	so, err := old.Signer()
	if err != nil {
		return Chain{}, err
	}
	sn, err := next.Signer()
	if err != nil {
		return Chain{}, err
	}
	msg, err := note.Sign(&note.Note{Text: text}, so, sn)
	if err != nil {
		return Chain{}, fmt.Errorf("record: rotation: %w", err)
	}
	led := Chain{
		Format:    1,
		Keys:      append(slices.Clone(c.Keys), next.Verifier),
		Rotations: append(slices.Clone(c.Rotations), string(msg)),
	}
	return led, led.Check()
}

// Newest returns the key in use.
func (c Chain) Newest() string {
	if len(c.Keys) == 0 {
		return ""
	}
	return c.Keys[len(c.Keys)-1]
}

// Has says whether vkey is one of the chain's.
func (c Chain) Has(vkey string) bool { return slices.Contains(c.Keys, vkey) }

// Check returns nil if every key is led to by a rotation that the key before
// it and the key itself have signed, all for one workshop, none twice.
func (c Chain) Check() error {
	if c.Format != 1 || len(c.Keys) == 0 || len(c.Rotations) != len(c.Keys)-1 {
		return invalid("key chain: %d keys, %d rotations, format %d", len(c.Keys), len(c.Rotations), c.Format)
	}
	name, err := KeyName(c.Keys[0])
	if err != nil {
		return err
	}
	for i, k := range c.Keys {
		if n, err := KeyName(k); err != nil || n != name || slices.Contains(c.Keys[:i], k) {
			return invalid("key chain: key %d does not belong to %s or stands twice", i+1, name)
		}
	}
	for i, msg := range c.Rotations {
		if err := checkRotation(msg, c.Keys[i], c.Keys[i+1]); err != nil {
			return fmt.Errorf("record: key chain: rotation %d: %w", i+1, err)
		}
	}
	return nil
}

func checkRotation(msg, old, next string) error {
	text, err := OpenNote(msg, old, next)
	if err != nil {
		return err
	}
	lines := strings.Split(text, "\n")
	if len(lines) != 5 || text != rotationText(old, next, lines[3]) {
		return invalid("it is about other keys")
	}
	if _, err := time.Parse(time.RFC3339, lines[3]); err != nil {
		return invalid("its date is none")
	}
	return nil
}

func rotationText(old, next, at string) string {
	return strings.Join([]string{rotationHeader, old, next, at, ""}, "\n")
}

// Marshal returns the wire form.
func (c Chain) Marshal() []byte {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	_ = e.Encode(c) // strings and one number: it can't fail
	return b.Bytes()
}

// ParseChain reads the wire form strictly and checks the chain.
func ParseChain(data []byte) (Chain, error) {
	var c Chain
	if err := json.Unmarshal(data, &c); err != nil {
		return Chain{}, invalid("key chain: not JSON")
	}
	if err := c.Check(); err != nil {
		return Chain{}, err
	}
	if !bytes.Equal(c.Marshal(), data) {
		return Chain{}, invalid("key chain: not spelt as this program spells it")
	}
	return c, nil
}
