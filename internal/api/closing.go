// SPDX-License-Identifier: Apache-2.0

package api

import (
	"bytes"
	"context"
	"encoding/hex"
	"fmt"
	"io"
	"slices"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/internal/report"
	"witnessmark/internal/shop"
	"witnessmark/record"
)

// Handover is what a job's handover rested on.
type Handover struct {
	Sequence    int64          `json:"sequence"`
	Person      string         `json:"person" doc:"id"`
	Program     string         `json:"program" doc:"the version that assessed it"`
	Standing    int            `json:"obstacles_standing"`
	Remark      string         `json:"remark,omitempty"`
	Assessment  job.Assessment `json:"assessment" doc:"as it was handed over"`
	Differences []string       `json:"differences" doc:"what this version says otherwise, with what has been entered since"`
}

type handoverOutput struct {
	Body Handover
}

func (s *server) handover(ctx context.Context, in *JobPath) (*handoverOutput, error) {
	l, err := s.shop.Job(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	h := l.State.Handover
	if h == nil {
		return nil, nothingAt("handover yet", Prefix+"/jobs/"+l.ID)
	}
	snap, err := s.shop.Snapshot(ctx, l)
	if err != nil {
		return nil, err
	}
	return &handoverOutput{Body: Handover{Sequence: h.At.Seq, Person: h.At.Person, Program: h.Body.Program, Standing: h.Body.Standing, Remark: h.Body.Remark,
		Assessment: snap.Assessment, Differences: append([]string{}, job.Differences(snap.Assessment, l.Assessment, l.Basis, l.Voice)...)}}, nil
}

// NewHandover is the end of the work.
type NewHandover struct {
	Remark string `json:"remark,omitempty"`
	Saw    int64  `json:"saw" minimum:"1" doc:"the last entry that was seen"`
}

type handOverInput struct {
	JobPath
	Body NewHandover
}

// handOver enters the handover with what it rests on. Sent twice, the handover
// that follows what was seen is this one.
func (s *server) handOver(ctx context.Context, in *handOverInput) (*keptOutput, error) {
	c := who(ctx)
	if err := shop.May(c.Role, "handover"); err != nil {
		return nil, err
	}
	l, err := s.shop.Job(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	if h := l.State.Handover; h != nil && h.At.Seq == in.Body.Saw+1 && h.At.Person == c.ID {
		return kept(l.Entries[h.At.Seq-1], true), nil
	}
	e, err := s.shop.HandOver(ctx, c.ID, l.ID, in.Body.Remark, in.Body.Saw)
	if err != nil {
		return nil, err
	}
	return kept(e, false), nil
}

// Seal is a signed checkpoint of a job's log.
type Seal struct {
	Covers      int64  `json:"covers_entries"`
	Extends     int64  `json:"extends_seal_to_entry" doc:"0: it is the first"`
	Sequence    int64  `json:"sequence" doc:"of the entry that holds it"`
	Root        string `json:"root_sha256"`
	Fingerprint string `json:"fingerprint"`
	Key         string `json:"key"`
	Note        string `json:"note" doc:"the signed note"`
}

func sealOf(s record.Seal) Seal {
	return Seal{Covers: s.Size, Extends: s.OldSize, Sequence: s.Seq, Root: hex.EncodeToString(s.Root[:]), Fingerprint: s.Fingerprint(), Key: s.Key, Note: s.Note}
}

// NewSeal is a seal to make.
type NewSeal struct {
	ID  string `json:"id" maxLength:"26" doc:"of the entry, a ULID: sent twice it counts once"`
	Saw int64  `json:"saw" minimum:"1" doc:"the last entry that was seen"`
}

type sealInput struct {
	JobPath
	Body NewSeal
}

type sealOutput struct {
	Body Seal
}

func (s *server) seal(ctx context.Context, in *sealInput) (*sealOutput, error) {
	c := who(ctx)
	if err := shop.May(c.Role, record.KindSeal); err != nil {
		return nil, err
	}
	if err := needs(in.Body.ID); err != nil {
		return nil, err
	}
	l, err := s.shop.Job(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	seal, err := s.shop.Seal(ctx, c.ID, l.ID, in.Body.ID, in.Body.Saw)
	if err != nil {
		return nil, err
	}
	return &sealOutput{Body: sealOf(seal)}, nil
}

const (
	zipType  = "application/zip"
	pdfType  = "application/pdf"
	htmlType = "text/html; charset=utf-8"
)

type bundleInput struct {
	JobPath
	Without []string `query:"without" enum:"words,photos" doc:"what to withhold; the record and its seals verify without it"`
}

func (s *server) bundle(ctx context.Context, in *bundleInput) (*fileOutput, error) {
	l, err := s.shop.Job(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	hold := shop.Withhold{Words: slices.Contains(in.Without, "words"), Photos: slices.Contains(in.Without, "photos")}
	d, err := report.GatherWithout(ctx, s.shop, l, hold)
	if err != nil {
		return nil, err
	}
	files, err := d.Files(ctx, report.PaperOf(s.shop, ""))
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := s.shop.Bundle(ctx, in.Job, files, hold, &b); err != nil {
		return nil, err
	}
	return &fileOutput{ContentType: zipType, Disposition: fmt.Sprintf(`attachment; filename="job-%s.zip"`, in.Job), Policy: filePolicy, Body: b.Bytes()}, nil
}

// report is the printable report, which carries its own style.
func (s *server) report(ctx context.Context, in *JobPath) (*fileOutput, error) {
	html, err := s.printed(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	policy := strings.Replace(filePolicy, "sandbox", "img-src data:; font-src data:; style-src "+report.StyleHash()+"; sandbox", 1)
	return &fileOutput{ContentType: htmlType, Disposition: "inline", Policy: policy, Body: html}, nil
}

func (s *server) printed(ctx context.Context, id string) ([]byte, error) {
	d, err := s.gathered(ctx, id)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = d.HTML(ctx, &b)
	return b.Bytes(), err
}

func (s *server) gathered(ctx context.Context, id string) (report.Data, error) {
	l, err := s.shop.Job(ctx, id)
	if err != nil {
		return report.Data{}, err
	}
	return report.Gather(ctx, s.shop, l)
}

type paperInput struct {
	JobPath
	Paper string `query:"paper" enum:"a4,letter" doc:"left out: the workshop’s own"`
}

// pdf is the report for paper.
func (s *server) pdf(ctx context.Context, in *paperInput) (*fileOutput, error) {
	return s.onPaper(ctx, in, "job", report.Data.PDF)
}

// summary is the owner's side alone.
func (s *server) summary(ctx context.Context, in *paperInput) (*fileOutput, error) {
	return s.onPaper(ctx, in, "summary", report.Data.SummaryPDF)
}

func (s *server) onPaper(ctx context.Context, in *paperInput, name string, write func(report.Data, io.Writer, report.Options) error) (*fileOutput, error) {
	d, err := s.gathered(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := write(d, &b, report.PaperOf(s.shop, in.Paper)); err != nil {
		return nil, err
	}
	return &fileOutput{ContentType: pdfType, Disposition: fmt.Sprintf(`inline; filename="%s-%s.pdf"`, name, in.Job), Policy: filePolicy, Body: b.Bytes()}, nil
}

// Verification says what of a log holds.
type Verification struct {
	OK       bool        `json:"ok"`
	Summary  string      `json:"summary"`
	Origin   string      `json:"origin"`
	Entries  int64       `json:"entries"`
	Sealed   int64       `json:"sealed_to_entry" doc:"0: not sealed"`
	FirstBad int64       `json:"first_bad_entry" doc:"0: none"`
	Problems []BadPart   `json:"problems"`
	Seals    []SealHolds `json:"seals"`
}

// BadPart is one thing that is wrong.
type BadPart struct {
	Where string `json:"where"`
	Entry int64  `json:"entry,omitempty"`
	What  string `json:"what"`
}

// SealHolds is a seal with what came out of checking it.
type SealHolds struct {
	Seal
	OK bool `json:"ok"`
}

type verifyOutput struct {
	Body Verification
}

// verify holds the log on disk against its seals.
func (s *server) verify(ctx context.Context, in *JobPath) (*verifyOutput, error) {
	v, err := s.shop.Verify(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	out := &verifyOutput{Body: Verification{OK: v.OK, Summary: v.String(), Origin: v.Origin, Entries: v.Entries, Sealed: v.Sealed, FirstBad: v.FirstBad, Problems: []BadPart{}, Seals: []SealHolds{}}}
	for _, p := range v.Problems {
		out.Body.Problems = append(out.Body.Problems, BadPart{Where: p.Where, Entry: p.Seq, What: p.What})
	}
	for _, c := range v.Seals {
		out.Body.Seals = append(out.Body.Seals, SealHolds{Seal: sealOf(c.Seal), OK: c.OK})
	}
	return out, nil
}
