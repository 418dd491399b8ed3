// SPDX-License-Identifier: Apache-2.0

package api

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/record"
)

type JobPath struct {
	Job string `path:"job" maxLength:"64" doc:"its number"`
}

type LinesInput struct {
	After int64 `query:"after" minimum:"0" doc:"the last entry that is known: what follows it is sent"`
	Limit int   `query:"limit" minimum:"1" maximum:"10000" default:"1000" doc:"at most so many entries"`
}

type jobLinesInput struct {
	JobPath
	LinesInput
}

// linesOutput is entries as they are stored and hashed, byte for byte.
type linesOutput struct {
	ContentType string `header:"Content-Type"`
	Last        string `header:"Witnessmark-Last" doc:"the last entry of the log"`
	Body        []byte
}

const lineType = "application/jsonl"

func (s *server) jobLines(ctx context.Context, in *jobLinesInput) (*linesOutput, error) {
	return s.lines(ctx, shop.Subject(in.Job), in.LinesInput)
}

func (s *server) workshopLines(ctx context.Context, in *LinesInput) (*linesOutput, error) {
	return s.lines(ctx, record.Workshop, *in)
}

func (s *server) lines(ctx context.Context, subject string, in LinesInput) (*linesOutput, error) {
	entries, err := s.shop.Log(ctx, subject, in.After)
	if err != nil {
		return nil, err
	}
	last := in.After
	if n := len(entries); n > 0 {
		last = entries[n-1].Seq
	}
	var b bytes.Buffer
	for _, e := range entries[:min(len(entries), in.Limit)] {
		b.Write(e.Line())
		b.WriteByte('\n')
	}
	return &linesOutput{ContentType: lineType, Last: strconv.FormatInt(last, 10), Body: b.Bytes()}, nil
}

// Proposal is one fact to keep: the client part of an entry.
type Proposal struct {
	ID         string          `json:"id" maxLength:"26" doc:"a ULID in capitals, made by the client: sent twice with the same words it counts once"`
	Kind       string          `json:"kind" maxLength:"64" doc:"such as reading"`
	Version    int             `json:"version" minimum:"1" doc:"of the kind"`
	DeviceTime time.Time       `json:"device_time" doc:"the device's clock: shown, never used for order"`
	Saw        int64           `json:"saw,omitempty" minimum:"0" doc:"the last entry that was seen; corrections need it"`
	Body       json.RawMessage `json:"body" doc:"what the kind says: a schema is below, by the kind"`
}

type proposeInput struct {
	JobPath
	Body Proposal
}

// Kept says where in the log an entry is.
type Kept struct {
	Sequence int64           `json:"sequence"`
	Existed  bool            `json:"existed" doc:"it was there before"`
	Line     json.RawMessage `json:"line" doc:"the entry as it is stored"`
}

type keptOutput struct {
	Status int
	Body   Kept
}

func kept(e record.Entry, existed bool) *keptOutput {
	out := &keptOutput{Status: http.StatusCreated, Body: Kept{Sequence: e.Seq, Existed: existed, Line: json.RawMessage(e.Line())}}
	if existed {
		out.Status = http.StatusOK
	}
	return out
}

// elsewhere are the kinds that are not proposed as they are: what belongs
// beside the log or is computed goes with them.
var ownWay = map[string]string{
	"job_opened": "/jobs", "note": "/jobs/{job}/notes", "details": "/jobs/{job}/details", "concession": "/jobs/{job}/concessions",
	"handover": "/jobs/{job}/handover", record.KindSeal: "/jobs/{job}/seals", "person_added": "/people", "person_left": "/people/{person}/leave",
	"settings_changed": "/settings", "trace_kept": "/jobs/{job}/traces", "erased": "/jobs/{job}/erasures", "key_renewed": "", "calendar_set": "/calendar",
}

func (s *server) propose(ctx context.Context, in *proposeInput) (*keptOutput, error) {
	if err := rightLog(in.Body.Kind, true); err != nil {
		return nil, err
	}
	return s.proposed(ctx, shop.Subject(in.Job), in.Body)
}

// rightLog refuses kinds that belong to another log or have a way of their
// own.
func rightLog(kind string, ofJob bool) error {
	if way, ok := ownWay[kind]; ok && way == "" {
		return &shop.Refusal{Cause: fmt.Errorf("kind %q: it is written on the server alone, by \"witnessmark key rotate\"", kind)}
	} else if ok {
		return &shop.Refusal{Cause: fmt.Errorf("kind %q: it is sent to %s", kind, Prefix+way)}
	}
	for _, k := range job.Kinds() {
		if k.Name != kind {
			continue
		}
		switch {
		case k.Log != "":
			return &shop.Refusal{Cause: fmt.Errorf("kind %q: it belongs to a log of its own, under %s", kind, Prefix+"/"+k.Log)}
		case k.Job == ofJob:
			return nil
		case ofJob:
			return &shop.Refusal{Cause: fmt.Errorf("kind %q: it belongs to the log of a tool, not of a job", kind)}
		default:
			return &shop.Refusal{Cause: fmt.Errorf("kind %q: it belongs to the log of a job, not of a tool", kind)}
		}
	}
	return &shop.Refusal{Cause: fmt.Errorf("kind %q: there is no such kind of entry", kind)}
}

func (s *server) proposed(ctx context.Context, subject string, p Proposal) (*keptOutput, error) {
	if err := s.shop.CheckReferences(ctx, subject, p.Kind, p.Body); err != nil {
		return nil, err
	}
	return s.keep(ctx, shop.Input{ID: p.ID, Subject: subject, DeviceTime: p.DeviceTime, Kind: p.Kind, Version: p.Version, Body: p.Body, Saw: p.Saw})
}

// keep appends as the caller, as far as their role may.
func (s *server) keep(ctx context.Context, in shop.Input) (*keptOutput, error) {
	c := who(ctx)
	if err := shop.May(c.Role, in.Kind); err != nil {
		return nil, err
	}
	if err := needs(in.ID); err != nil {
		return nil, err
	}
	if err := record.CheckSubject(in.Subject); err != nil {
		return nil, fmt.Errorf("api: %s: %w", in.Subject, shop.ErrNotFound)
	}
	e, existed, err := s.shop.Append(ctx, c.ID, in)
	if err != nil {
		return nil, err
	}
	return kept(e, existed), nil
}

// needs refuses an entry without an id: it could not be sent again.
func needs(id string) error {
	if strings.TrimSpace(id) == "" {
		return &shop.Refusal{Cause: fmt.Errorf("id is empty: make a ULID for each entry, so that it can be sent again and counts once")}
	}
	return nil
}
