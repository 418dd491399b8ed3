// SPDX-License-Identifier: Apache-2.0

package client

import (
	"context"
	"fmt"
	"net/http"
	"net/url"

	"witnessmark/internal/api"
)

// OpenJob opens a job.
func (c *Client) OpenJob(ctx context.Context, n api.NewJob) (api.Opened, error) {
	return send[api.Opened](ctx, c, http.MethodPost, "/jobs", n)
}

// Jobs lists the jobs.
func (c *Client) Jobs(ctx context.Context) ([]api.JobSummary, error) {
	l, err := send[api.Jobs](ctx, c, http.MethodGet, "/jobs", nil)
	return l.Jobs, err
}

// Job is a job as it stands.
func (c *Client) Job(ctx context.Context, job string) (api.Job, error) {
	return send[api.Job](ctx, c, http.MethodGet, jobPath(job), nil)
}

// Film is the oil film of a job, waiting up to so many seconds for the whole.
func (c *Client) Film(ctx context.Context, job string, wait int) (api.JobFilm, error) {
	return send[api.JobFilm](ctx, c, http.MethodGet, fmt.Sprintf("%s/film?wait=%d", jobPath(job), wait), nil)
}

// Append keeps one entry of a job.
func (c *Client) Append(ctx context.Context, job, kind string, body any, saw int64) (api.Kept, error) {
	return c.append(ctx, jobPath(job)+"/entries", kind, body, saw)
}

// AppendAgain keeps an entry that [Propose] made, however often it is sent.
func (c *Client) AppendAgain(ctx context.Context, job string, p api.Proposal) (api.Kept, error) {
	return send[api.Kept](ctx, c, http.MethodPost, jobPath(job)+"/entries", p)
}

// AddNote keeps a note; without an id a new one is made.
func (c *Client) AddNote(ctx context.Context, job string, n api.NewNote) (api.Kept, error) {
	var err error
	if n.ID == "" {
		if n.ID, err = NewID(); err != nil {
			return api.Kept{}, err
		}
	}
	return send[api.Kept](ctx, c, http.MethodPost, jobPath(job)+"/notes", n)
}

// AddPhoto keeps a photo for an entry to name.
func (c *Client) AddPhoto(ctx context.Context, job string, file []byte) (api.Photo, error) {
	return send[api.Photo](ctx, c, http.MethodPost, jobPath(job)+"/photos", file)
}

// Photo is a photo that an entry names.
func (c *Client) Photo(ctx context.Context, job, photo string) ([]byte, error) {
	return send[[]byte](ctx, c, http.MethodGet, jobPath(job)+"/photos/"+url.PathEscape(photo), nil)
}

// Concede lets an obstacle stand; without an id a new one is made.
func (c *Client) Concede(ctx context.Context, job string, n api.NewConcession) (api.Kept, error) {
	var err error
	if n.ID == "" {
		if n.ID, err = NewID(); err != nil {
			return api.Kept{}, err
		}
	}
	return send[api.Kept](ctx, c, http.MethodPost, jobPath(job)+"/concessions", n)
}

// HandOver enters the handover.
func (c *Client) HandOver(ctx context.Context, job, remark string, saw int64) (api.Kept, error) {
	return send[api.Kept](ctx, c, http.MethodPost, jobPath(job)+"/handover", api.NewHandover{Remark: remark, Saw: saw})
}

// Seal signs the record as it was seen.
func (c *Client) Seal(ctx context.Context, job string, saw int64) (api.Seal, error) {
	id, err := NewID()
	if err != nil {
		return api.Seal{}, err
	}
	return send[api.Seal](ctx, c, http.MethodPost, jobPath(job)+"/seals", api.NewSeal{ID: id, Saw: saw})
}

// Verify holds the record on the server's disk against its seals.
func (c *Client) Verify(ctx context.Context, job string) (api.Verification, error) {
	return send[api.Verification](ctx, c, http.MethodGet, jobPath(job)+"/verification", nil)
}

// Bundle is the job with everything in it.
func (c *Client) Bundle(ctx context.Context, job string) ([]byte, error) {
	return send[[]byte](ctx, c, http.MethodGet, jobPath(job)+"/bundle.zip", nil)
}
