// SPDX-License-Identifier: Apache-2.0

package api

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"witnessmark/internal/shop"
	"witnessmark/internal/store"
)

// tokenLife is how long a device's token counts.
const tokenLife = 90 * 24 * time.Hour

// tokenMark begins every token, so that one that got out is recognised.
const tokenMark = "wmd_"

// tokenBytes are the random bytes of a token.
const tokenBytes = 32

// tokenKey is what a token is kept under; only its hash is stored. The zero
// byte can't be in a cookie, so no cookie of the pages names a token, and no
// token one of their sessions.
func tokenKey(token string) string { return "device\x00" + token }

// device is what is kept of a token.
type device struct {
	hash   string
	Device string    `json:"device"`
	Person string    `json:"person"`
	Made   time.Time `json:"made"`
	Expiry time.Time `json:"expiry"`
	// PIN is a fingerprint of the stored hash of the person's PIN: a new PIN
	// ends all tokens made with the old one.
	PIN string `json:"pin"`
}

// newToken makes a token for a person's device.
func (s *server) newToken(ctx context.Context, p shop.Person, name string) (string, device, error) {
	var raw [tokenBytes]byte
	if _, err := rand.Read(raw[:]); err != nil {
		return "", device{}, fmt.Errorf("api: token: %w", err)
	}
	token := tokenMark + base64.RawURLEncoding.EncodeToString(raw[:])
	pin, err := s.pinMark(ctx, p.ID)
	if err != nil {
		return "", device{}, err
	}
	now := s.shop.Now().UTC().Truncate(time.Second)
	d := device{Device: name, Person: p.ID, Made: now, Expiry: now.Add(tokenLife), PIN: pin}
	data, err := json.Marshal(d)
	if err != nil {
		return "", device{}, fmt.Errorf("api: token: %w", err)
	}
	if err := s.shop.Store().SaveSession(ctx, tokenKey(token), data, d.Expiry); err != nil {
		return "", device{}, fmt.Errorf("api: token: %w", err)
	}
	d.hash = hashOf(token)
	return token, d, nil
}

// callerOf is whom the header Authorization names.
func (s *server) callerOf(ctx context.Context, header string) (caller, error) {
	scheme, token, _ := strings.Cut(header, " ")
	if !strings.EqualFold(scheme, "Bearer") || !strings.HasPrefix(token, tokenMark) {
		return caller{}, shop.ErrLogIn
	}
	data, err := s.shop.Store().Session(ctx, tokenKey(token))
	if errors.Is(err, store.ErrNotFound) {
		return caller{}, shop.ErrLogIn
	}
	if err != nil {
		return caller{}, fmt.Errorf("api: token: %w", err)
	}
	d, ok := readDevice(data)
	if !ok {
		return caller{}, shop.ErrLogIn
	}
	d.hash = hashOf(token)
	return s.holder(ctx, d)
}

// holder is the person whose token it is, as long as they are of the workshop
// and have the PIN with which it was made.
func (s *server) holder(ctx context.Context, d device) (caller, error) {
	p, err := s.shop.Person(ctx, d.Person)
	if errors.Is(err, shop.ErrNotFound) || err == nil && p.ID != d.Person {
		return caller{}, shop.ErrLogIn
	}
	if err != nil {
		return caller{}, err
	}
	pin, err := s.pinMark(ctx, p.ID)
	if err != nil {
		return caller{}, err
	}
	if pin != d.PIN {
		return caller{}, shop.ErrLogIn
	}
	return caller{Person: p, token: d}, nil
}

func (s *server) pinMark(ctx context.Context, person string) (string, error) {
	hash, err := s.shop.Store().Credential(ctx, person)
	if err != nil && !errors.Is(err, store.ErrNotFound) {
		return "", fmt.Errorf("api: token: %w", err)
	}
	sum := sha256.Sum256(hash)
	return hex.EncodeToString(sum[:8]), nil
}

// devices are the tokens that count now, of a person or, for "", of all.
func (s *server) devices(ctx context.Context, person string) ([]device, error) {
	list, err := s.shop.Store().SessionList(ctx)
	if err != nil {
		return nil, fmt.Errorf("api: tokens: %w", err)
	}
	var out []device
	for _, info := range list {
		d, ok := readDevice(info.Data)
		if !ok || person != "" && d.Person != person {
			continue
		}
		d.hash = info.Hash
		if _, err := s.holder(ctx, d); errors.Is(err, shop.ErrLogIn) {
			continue
		} else if err != nil {
			return nil, err
		}
		out = append(out, d)
	}
	return out, nil
}

// readDevice tells a token from a session of the pages.
func readDevice(data []byte) (device, bool) {
	var d device
	err := json.Unmarshal(data, &d)
	return d, err == nil && d.Device != "" && d.Person != "" && d.PIN != ""
}

func hashOf(token string) string {
	sum := sha256.Sum256([]byte(tokenKey(token)))
	return hex.EncodeToString(sum[:])
}
