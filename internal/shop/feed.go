// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"bytes"
	"cmp"
	"context"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"witnessmark/internal/job"
	"witnessmark/internal/store"
	"witnessmark/scope"
)

// A person's calendar is read by programs that can't log in, so that its
// address holds a secret. Only its hash is kept; a new one ends the old.
const feedSetting = "calendar-feed/"

// NewFeed makes the secret of a person's calendar and ends the one before.
func (s *Shop) NewFeed(ctx context.Context, person string) (token string, err error) {
	secret := make([]byte, 24)
	if _, err := io.ReadFull(s.rand, secret); err != nil {
		return "", fmt.Errorf("shop: calendar: %w", err)
	}
	token = base64.RawURLEncoding.EncodeToString(secret)
	return token, s.store.SetSetting(ctx, feedSetting+person, hashOf(token))
}

// EndFeed ends a person's calendar address.
func (s *Shop) EndFeed(ctx context.Context, person string) error {
	return s.store.SetSetting(ctx, feedSetting+person, "")
}

// HasFeed reports whether a person's calendar has an address.
func (s *Shop) HasFeed(ctx context.Context, person string) (bool, error) {
	v, err := s.store.Setting(ctx, feedSetting+person)
	if errors.Is(err, store.ErrNotFound) {
		return false, nil
	}
	return v != "", err
}

// FeedPerson is whose calendar a secret opens. The error is ErrNotFound for
// one that opens none, also when the person has left.
func (s *Shop) FeedPerson(ctx context.Context, token string) (Person, error) {
	all, err := s.store.Settings(ctx, feedSetting)
	if err != nil {
		return Person{}, fmt.Errorf("shop: calendar: %w", err)
	}
	hash, found := hashOf(token), ""
	for key, have := range all {
		if subtle.ConstantTimeCompare([]byte(have), []byte(hash)) == 1 {
			found = strings.TrimPrefix(key, feedSetting)
		}
	}
	if found == "" {
		return Person{}, fmt.Errorf("shop: calendar: %w", ErrNotFound)
	}
	p, err := s.Person(ctx, found)
	if err == nil && p.Left {
		err = fmt.Errorf("shop: calendar: %w", ErrNotFound)
	}
	return p, err
}

func hashOf(token string) string {
	sum := sha256.Sum256([]byte(token))
	return hex.EncodeToString(sum[:])
}

// Feed is the workshop's calendar as iCalendar: when each open job is on a
// lift, what is promised, which tools are reserved. It names jobs and vehicles,
// no owner.
func (s *Shop) Feed(ctx context.Context) ([]byte, error) {
	f, err := s.Floor(ctx)
	if err != nil {
		return nil, err
	}
	feed := scope.Feed{Product: "-//Witnessmark//" + s.conf.WorkshopID + "//EN", Name: s.conf.Name}
	for i, p := range f.Jobs {
		slot := f.Plan.Slots[i]
		v := p.View()
		status := "TENTATIVE"
		if slot.Planned || p.Begun() {
			status = "CONFIRMED"
		}
		feed.Events = append(feed.Events, scope.Event{UID: s.uid("lift", p.ID, ""), Start: slot.Start, End: slot.End, Status: status,
			Summary:     strings.TrimSpace("Job " + v.Number + " on the lift: " + v.Vehicle),
			Description: fmt.Sprintf("%.1f h of work are left.", p.Left()),
			Sequence:    int(p.State.Size), Stamp: p.stamp()})
		feed.Events = append(feed.Events, s.deliveries(p)...)
	}
	all, err := s.everyJob(ctx)
	if err != nil {
		return nil, err
	}
	for _, r := range reservations(all) {
		i := slices.IndexFunc(all, func(l *Loaded) bool { return l.ID == r.Job })
		feed.Events = append(feed.Events, scope.Event{UID: s.uid("tool", r.Job, r.Tool), Start: r.From.Time, End: r.To.Add(1).Time, AllDay: true,
			Summary: r.Tool + " for job " + r.Job, Sequence: int(all[i].State.Size), Stamp: all[i].stamp()})
	}
	var b bytes.Buffer
	err = scope.WriteCalendar(&b, feed)
	return b.Bytes(), err
}

// deliveries are the days for which parts are promised.
func (s *Shop) deliveries(p *Planned) []scope.Event {
	var out []scope.Event
	for _, x := range p.Parts {
		var on scope.Date
		if x.InHand || x.State == job.PartSentBack || on.UnmarshalText([]byte(x.Promised)) != nil {
			continue
		}
		out = append(out, scope.Event{UID: s.uid("part", p.ID, x.Part), Start: on.Time, End: on.Add(1).Time, AllDay: true,
			Summary: cmp.Or(x.Title, x.Part) + " promised, job " + p.ID, Sequence: int(p.State.Size), Stamp: p.stamp()})
	}
	return out
}

func (l *Loaded) stamp() time.Time { return l.Entries[len(l.Entries)-1].Received }

// uid is the same for the same thing for ever.
func (s *Shop) uid(kind, id, of string) string {
	u := kind + "-" + id
	if of != "" {
		u += "-" + hashOf(of)[:12]
	}
	return u + "@" + s.conf.WorkshopID
}
