// SPDX-License-Identifier: Apache-2.0

package api

import (
	"bytes"
	"context"
	"errors"
	"fmt"

	"witnessmark/internal/photo"
	"witnessmark/internal/report"
	"witnessmark/internal/shop"
)

// labelsInput is the grid of a sheet, in millimetres, and what goes on it.
type labelsInput struct {
	JobPath
	Paper      string   `query:"paper" enum:"a4,letter" doc:"left out: the workshop’s own"`
	Columns    int      `query:"columns" default:"3"`
	Rows       int      `query:"rows" default:"8"`
	MarginTop  float64  `query:"margin_top" default:"8" doc:"mm"`
	MarginSide float64  `query:"margin_side" default:"6" doc:"mm"`
	GapAcross  float64  `query:"gap_across" doc:"mm between columns"`
	GapDown    float64  `query:"gap_down" doc:"mm between rows"`
	Skip       int      `query:"skip" doc:"labels of the first sheet that are used already"`
	Frame      bool     `query:"frame" doc:"draw the edges, to cut plain paper"`
	Bag        []string `query:"bag" doc:"operations whose bags are marked"`
	Bin        []string `query:"bin" doc:"parts whose bins are marked"`
	Other      string   `query:"other" doc:"other names, parted by semicolons"`
}

// labels is a sheet of labels with codes.
func (s *server) labels(ctx context.Context, in *labelsInput) (*fileOutput, error) {
	p, err := s.planned(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	grid := report.Grid{Options: report.PaperOf(s.shop, in.Paper), Columns: in.Columns, Rows: in.Rows, MarginTop: in.MarginTop, MarginSide: in.MarginSide,
		GapAcross: in.GapAcross, GapDown: in.GapDown, Skip: in.Skip, Frame: in.Frame}
	if err := grid.Check(); err != nil {
		return nil, &shop.Refusal{Cause: err}
	}
	list, err := report.Stickers(p, in.Bag, in.Bin, in.Other)
	if err != nil {
		return nil, &shop.Refusal{Cause: err}
	}
	var b bytes.Buffer
	if err := report.Labels(&b, grid, list, "Labels of job "+p.ID, s.shop.Program()); err != nil {
		return nil, err
	}
	return &fileOutput{ContentType: pdfType, Disposition: fmt.Sprintf(`inline; filename="labels-%s.pdf"`, p.ID), Policy: filePolicy, Body: b.Bytes()}, nil
}

// Scanned is what a code leads to.
type Scanned struct {
	Code  string        `json:"code" doc:"as it was typed, or read off the photo"`
	Job   string        `json:"job,omitempty"`
	Kind  string        `json:"kind,omitempty" enum:"bag,bin,place" doc:"of a label of this workshop"`
	Item  string        `json:"item,omitempty" doc:"operation, part or name on the label"`
	Parts []ScannedPart `json:"parts" doc:"of open jobs, that have such a number"`
}

// ScannedPart is a part of an open job.
type ScannedPart struct {
	Job   string `json:"job"`
	Part  string `json:"part"`
	Title string `json:"title"`
}

type codeInput struct {
	Code string `query:"code" required:"true" minLength:"1" maxLength:"500" doc:"as it was typed or scanned"`
}

type scannedOutput struct {
	Body Scanned
}

func (s *server) scan(ctx context.Context, in *codeInput) (*scannedOutput, error) {
	found, err := s.shop.Find(ctx, in.Code)
	if err != nil {
		return nil, err
	}
	out := &scannedOutput{Body: Scanned{Code: in.Code, Job: found.Job, Parts: []ScannedPart{}}}
	if found.Label != nil {
		out.Body.Kind, out.Body.Item = found.Label.Kind, found.Label.Item
	}
	for _, p := range found.Parts {
		out.Body.Parts = append(out.Body.Parts, ScannedPart(p))
	}
	return out, nil
}

type labelPhotoInput struct {
	RawBody []byte `contentType:"image/jpeg"`
}

// scanPhoto reads the code on the photo of a label. The photo is not kept.
func (s *server) scanPhoto(ctx context.Context, in *labelPhotoInput) (*scannedOutput, error) {
	p, err := photo.Take(bytes.NewReader(in.RawBody))
	if err != nil {
		return nil, err
	}
	code, ok, err := photo.Code(p)
	if err != nil {
		return nil, err
	}
	if !ok {
		return nil, &shop.Refusal{Cause: errors.New("no code was found on the photo: go closer, so that the code fills half of it, and keep it flat and sharp")}
	}
	return s.scan(ctx, &codeInput{Code: code})
}

const calendarType = "text/calendar; charset=utf-8"

// calendarFile is the workshop's calendar as iCalendar.
func (s *server) calendarFile(ctx context.Context, _ *nothing) (*fileOutput, error) {
	data, err := s.shop.Feed(ctx)
	if err != nil {
		return nil, err
	}
	return &fileOutput{ContentType: calendarType, Disposition: `inline; filename="workshop.ics"`, Policy: filePolicy, Body: data}, nil
}

// FeedAddress is where a calendar program that can't log in finds the calendar.
type FeedAddress struct {
	Path string `json:"path" doc:"on this server; it holds a secret and is said this once"`
}

type feedOutput struct {
	Body FeedAddress
}

// newFeed makes the address of the caller's calendar and ends the one before.
func (s *server) newFeed(ctx context.Context, _ *nothing) (*feedOutput, error) {
	token, err := s.shop.NewFeed(ctx, who(ctx).ID)
	return &feedOutput{Body: FeedAddress{Path: "/calendar/" + token + "/workshop.ics"}}, err
}

// endFeed ends the address of the caller's calendar.
func (s *server) endFeed(ctx context.Context, _ *nothing) (*nothing, error) {
	return nil, s.shop.EndFeed(ctx, who(ctx).ID)
}
