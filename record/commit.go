// SPDX-License-Identifier: Apache-2.0

package record

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"
)

// SaltSize is the number of random bytes before a blob's data.
const SaltSize = 32

// Commitment stands in a log for personal data or a photo kept beside it:
// "blob:" and the hexadecimal SHA-256 of salt and data. Without the salt it
// tells nothing about the data, not even to somebody who guesses it.
type Commitment string

// Blob is data kept beside a log, with its salt.
type Blob struct {
	Salt []byte // SaltSize random bytes
	Data []byte
}

// ContentHash names a public document (an engine sheet, a plan) by its bytes:
// "sheet:" and the hexadecimal SHA-256.
type ContentHash string

const (
	blobPrefix  = "blob:"
	sheetPrefix = "sheet:"
)

// Commit returns the commitment to data under salt, which must be SaltSize
// random bytes: SHA-256(salt || data). Anyone can check it with
// `cat NAME.salt NAME | sha256sum`.
func Commit(salt, data []byte) (Commitment, error) {
	if len(salt) != SaltSize {
		return "", fmt.Errorf("record: a salt of %d bytes, %d are needed", len(salt), SaltSize)
	}
	h := sha256.New()
	h.Write(salt)
	h.Write(data)
	return Commitment(blobPrefix + hex.EncodeToString(h.Sum(nil))), nil
}

// HashContent returns the content hash of data.
func HashContent(data []byte) ContentHash {
	sum := sha256.Sum256(data)
	return ContentHash(sheetPrefix + hex.EncodeToString(sum[:]))
}

// Hex returns the 64 hexadecimal digits, or an error if c is no commitment.
func (c Commitment) Hex() (string, error) { return hexOf(string(c), blobPrefix) }

// Hex returns the 64 hexadecimal digits, or an error if h is no content hash.
func (h ContentHash) Hex() (string, error) { return hexOf(string(h), sheetPrefix) }

func hexOf(s, prefix string) (string, error) {
	digits, ok := strings.CutPrefix(s, prefix)
	if !ok || !isHex(digits) {
		return "", invalid("%q is not %s and 64 hexadecimal digits", s, prefix)
	}
	return digits, nil
}

func isHex(s string) bool {
	return len(s) == 64 && allOf(s, func(c byte) bool { return isDigit(c) || 'a' <= c && c <= 'f' })
}
