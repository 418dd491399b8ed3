// SPDX-License-Identifier: Apache-2.0

package web

import (
	"crypto/rand"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"net/http"
	"slices"
	"time"

	"witnessmark/internal/shop"
	"witnessmark/internal/store"
)

// A log-in lasts a working day on the tablet, through sleep.
const workingDay = 14 * time.Hour

const cookieName = "witnessmark"

// session is what is known of one tablet: who has given their PIN on it today
// and who is at it now. Changing between them takes no PIN, so that it takes
// two taps. The cookie holds a random token; the database only its hash.
type session struct {
	token   string
	Now     string      `json:"now"` // person id
	Known   []knownHere `json:"known"`
	Address string      `json:"address"` // where it was opened from
	Expiry  time.Time   `json:"expiry"`
}

// knownHere is somebody who gave their PIN on this tablet.
type knownHere struct {
	ID    string    `json:"id"`
	Name  string    `json:"-"`
	Until time.Time `json:"until"`
}

// open reads the session that the cookie names and who is at the tablet.
func (q *request) open() error {
	q.session = &session{}
	c, err := q.Cookie(cookieName)
	if err != nil {
		return nil
	}
	data, err := q.server.shop.Store().Session(q.Context(), c.Value)
	if errors.Is(err, store.ErrNotFound) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("web: session: %w", err)
	}
	s := session{}
	if err := json.Unmarshal(data, &s); err != nil {
		return nil
	}
	s.token = c.Value
	if s.Address != address(q.Request) {
		// A cookie that turns up at another address was taken or the network
		// changed: either way the PIN is asked for again.
		return q.server.shop.Store().DeleteSession(q.Context(), s.token)
	}
	return q.adopt(&s)
}

// adopt takes the session's people, as far as they are still of the workshop.
func (q *request) adopt(s *session) error {
	now := q.server.shop.Now()
	var known []knownHere
	for _, k := range s.Known {
		p, err := q.server.shop.Person(q.Context(), k.ID)
		if errors.Is(err, shop.ErrNotFound) || now.After(k.Until) {
			continue
		}
		if err != nil {
			return err
		}
		known = append(known, knownHere{ID: k.ID, Name: p.Name, Until: k.Until})
		if k.ID == s.Now {
			q.person = p
		}
	}
	s.Known = known
	q.session = s
	return q.speakAs(known)
}

// speakAs gives an entry to whoever made it: one that waited for the network
// may arrive when somebody else is at the tablet. If its maker has not given
// the PIN here, or not today, nobody speaks until they do.
func (q *request) speakAs(known []knownHere) error {
	if q.Method != http.MethodPost {
		return nil
	}
	as := q.FormValue("as")
	if as == "" || as == q.person.ID {
		return nil
	}
	q.person = shop.Person{}
	if !slices.ContainsFunc(known, func(k knownHere) bool { return k.ID == as }) {
		return nil
	}
	p, err := q.server.shop.Person(q.Context(), as)
	if err == nil {
		q.person = p
	}
	return err
}

// people are those who gave their PIN on this tablet.
func (s *session) people() []knownHere {
	if s == nil {
		return nil
	}
	return s.Known
}

// enter makes a person the one at the tablet. The token changes with every
// PIN given, so that one seen before is worth nothing.
func (q *request) enter(p shop.Person) error {
	now := q.server.shop.Now()
	s := session{Now: p.ID, Address: address(q.Request), Expiry: now.Add(workingDay)}
	for _, k := range q.session.people() {
		if k.ID != p.ID {
			s.Known = append(s.Known, k)
		}
	}
	s.Known = append(s.Known, knownHere{ID: p.ID, Name: p.Name, Until: now.Add(workingDay)})
	if q.session.token != "" {
		if err := q.server.shop.Store().DeleteSession(q.Context(), q.session.token); err != nil {
			return fmt.Errorf("web: session: %w", err)
		}
	}
	var raw [32]byte
	if _, err := rand.Read(raw[:]); err != nil {
		return fmt.Errorf("web: session: %w", err)
	}
	s.token = base64.RawURLEncoding.EncodeToString(raw[:])
	return q.save(&s)
}

func (q *request) save(s *session) error {
	data, err := json.Marshal(s)
	if err != nil {
		return fmt.Errorf("web: session: %w", err)
	}
	if err := q.server.shop.Store().SaveSession(q.Context(), s.token, data, s.Expiry); err != nil {
		return fmt.Errorf("web: session: %w", err)
	}
	// A span and not a time: the tablet's clock may be another one.
	span := int(s.Expiry.Sub(q.server.shop.Now()).Seconds())
	http.SetCookie(q.w, &http.Cookie{Name: cookieName, Value: s.token, Path: "/", MaxAge: max(span, 1),
		HttpOnly: true, Secure: q.server.opt.Secure, SameSite: http.SameSiteStrictMode})
	q.session = s
	return nil
}

// leave forgets the tablet.
func (q *request) leave() error {
	if q.session.token != "" {
		if err := q.server.shop.Store().DeleteSession(q.Context(), q.session.token); err != nil {
			return fmt.Errorf("web: session: %w", err)
		}
	}
	http.SetCookie(q.w, &http.Cookie{Name: cookieName, Path: "/", MaxAge: -1, HttpOnly: true, Secure: q.server.opt.Secure, SameSite: http.SameSiteStrictMode})
	return nil
}

func address(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	return host
}
