// SPDX-License-Identifier: Apache-2.0

package record

import (
	"crypto/ed25519"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"io"
	"strconv"
	"strings"

	"golang.org/x/mod/sumdb/note"
)

// Key is a workshop's Ed25519 key. Secret is the signed-note encoding
// ("PRIVATE+KEY+<workshop id>+<hash>+<data>"), Verifier the public one
// ("<workshop id>+<hash>+<data>"). Whoever has the first can seal.
type Key struct {
	Secret   string
	Verifier string
}

// GenerateKey makes a key for the workshop with randomness from r
// (crypto/rand.Reader).
func GenerateKey(r io.Reader, workshopID string) (Key, error) {
	if err := CheckWorkshopID(workshopID); err != nil {
		return Key{}, err
	}
	s, v, err := note.GenerateKey(r, workshopID)
	if err != nil {
		return Key{}, fmt.Errorf("record: new key: %w", err)
	}
	return Key{Secret: s, Verifier: v}, nil
}

// ParseKey reads the secret encoding and finds the public key that belongs to
// it. Its errors never repeat the secret.
func ParseKey(secret string) (Key, error) {
	secret = strings.TrimSuffix(secret, "\n")
	s, err := note.NewSigner(secret)
	if err != nil {
		return Key{}, invalid("not a workshop's private key")
	}
	data, err := base64.StdEncoding.DecodeString(secret[strings.LastIndexByte(secret, '+')+1:])
	for i := strings.LastIndexByte(secret, '+'); err != nil || len(data) != 1+ed25519.SeedSize; {
		// base64 has '+' among its own digits: go on to the sign before.
		if i = strings.LastIndexByte(secret[:i], '+'); i < 0 {
			return Key{}, invalid("not a workshop's private key")
		}
		data, err = base64.StdEncoding.DecodeString(secret[i+1:])
	}
	public := ed25519.NewKeyFromSeed(data[1:]).Public().(ed25519.PublicKey)
	v, err := note.NewEd25519VerifierKey(s.Name(), public)
	if err != nil {
		return Key{}, invalid("not a workshop's private key")
	}
	return Key{Secret: secret, Verifier: v}, nil
}

// Signer returns what signs with k.
func (k Key) Signer() (note.Signer, error) {
	s, err := note.NewSigner(k.Secret)
	if err != nil {
		return nil, invalid("not a workshop's private key")
	}
	return s, nil
}

// String gives the public key, so that a secret isn't printed by mistake.
func (k Key) String() string { return k.Verifier }

// KeyName returns the workshop id in a public key, or an error if vkey is none.
func KeyName(vkey string) (string, error) {
	v, err := note.NewVerifier(vkey)
	if err != nil {
		return "", invalid("not a public key: %q", vkey)
	}
	return v.Name(), CheckWorkshopID(v.Name())
}

// Fingerprint returns the 8 hexadecimal digits by which a public key is told
// from the workshop's others: the key id of the signed note.
func Fingerprint(vkey string) string {
	v, err := note.NewVerifier(vkey)
	if err != nil {
		return ""
	}
	id := strconv.FormatUint(uint64(v.KeyHash()), 16)
	return strings.Repeat("0", 8-len(id)) + id
}

func shortHash(h Hash) string { return hex.EncodeToString(h[:8]) }
