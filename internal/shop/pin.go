// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"errors"
	"fmt"
	"strings"
	"time"

	"golang.org/x/crypto/argon2"

	"witnessmark/internal/store"
)

// Cost of a PIN hash: about 20 ms. A PIN is short, so the pepper, which is
// kept with the keys and not with the hashes, and the lock-out carry the rest.
const (
	argonTime   = 2
	argonMemory = 19 * 1024 // KiB
	argonBytes  = 32
	saltBytes   = 16
)

// MaxFailures is how often a wrong PIN may be given before a manager must
// unlock the person.
const MaxFailures = 8

var (
	// ErrWrongPIN says that person and PIN do not belong together; it does not
	// say which of the two is wrong.
	ErrWrongPIN = errors.New("name and PIN do not belong together")
	// ErrLockedOut says that a manager has to unlock the person.
	ErrLockedOut = errors.New("locked after too many wrong PINs")
	// ErrTooSoon says that the next try has to wait.
	ErrTooSoon = errors.New("wait before the next try")
)

// SetPIN gives a person a new PIN and lets them in again.
func (s *Shop) SetPIN(ctx context.Context, person, pin string) error {
	if err := CheckPINForm(pin); err != nil {
		return err
	}
	salt := make([]byte, saltBytes)
	if _, err := rand.Read(salt); err != nil {
		return fmt.Errorf("shop: salt: %w", err)
	}
	enc := base64.RawStdEncoding
	hash := "1$" + enc.EncodeToString(salt) + "$" + enc.EncodeToString(s.pinHash(pin, salt))
	if err := s.store.SetCredential(ctx, person, []byte(hash)); err != nil {
		return fmt.Errorf("shop: keep PIN of %s: %w", person, err)
	}
	return s.store.ClearFailures(ctx, failureKey(person))
}

func (s *Shop) pinHash(pin string, salt []byte) []byte {
	secret := append([]byte(pin), s.pepper...)
	return argon2.IDKey(secret, salt, argonTime, argonMemory, 1, argonBytes)
}

func failureKey(person string) string { return "pin/" + person }

// CheckPIN lets a person in. After each wrong PIN the next try waits longer;
// after [MaxFailures] a manager has to unlock the person.
func (s *Shop) CheckPIN(ctx context.Context, person, pin string) (Person, error) {
	key := failureKey(person)
	f, err := s.store.FailuresOf(ctx, key)
	if err != nil {
		return Person{}, fmt.Errorf("shop: log-in: %w", err)
	}
	if f.Count >= MaxFailures {
		return Person{}, ErrLockedOut
	}
	// A clock that was put back must not make it wait until it is that late again.
	if since := s.now().Sub(f.Last); f.Count > 2 && since >= 0 && since < backOff(f.Count) {
		return Person{}, ErrTooSoon
	}
	p, err := s.Person(ctx, person)
	if err == nil && s.pinMatches(ctx, p.ID, pin) {
		return p, s.store.ClearFailures(ctx, failureKey(p.ID))
	}
	if err != nil && !errors.Is(err, ErrNotFound) {
		return Person{}, err
	}
	if f, err = s.store.AddFailure(ctx, key); err != nil {
		return Person{}, fmt.Errorf("shop: log-in: %w", err)
	}
	if f.Count >= MaxFailures {
		return Person{}, ErrLockedOut
	}
	return Person{}, ErrWrongPIN
}

// backOff is how long the next try has to wait after that many wrong PINs.
func backOff(failures int) time.Duration { return time.Duration(failures-2) * 2 * time.Second }

func (s *Shop) pinMatches(ctx context.Context, person, pin string) bool {
	stored, err := s.store.Credential(ctx, person)
	if err != nil && !errors.Is(err, store.ErrNotFound) {
		return false
	}
	parts := strings.Split(string(stored), "$")
	if len(parts) != 3 || parts[0] != "1" {
		return false
	}
	salt, errSalt := base64.RawStdEncoding.DecodeString(parts[1])
	want, errHash := base64.RawStdEncoding.DecodeString(parts[2])
	if errSalt != nil || errHash != nil {
		return false
	}
	return subtle.ConstantTimeCompare(want, s.pinHash(pin, salt)) == 1
}

// Unlock lets a person try again.
func (s *Shop) Unlock(ctx context.Context, person string) error {
	return s.store.ClearFailures(ctx, failureKey(person))
}
