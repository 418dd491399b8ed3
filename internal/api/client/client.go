// SPDX-License-Identifier: Apache-2.0

// Package client speaks the REST interface of a workshop's server.
//
// Start with [New] and [Client.LogIn]. A refusal comes back as an
// *api.Problem. Every entry carries an id that is made before it is sent, so
// that sending it again after a lost answer counts once.
package client

import (
	"bytes"
	"context"
	"crypto/rand"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"witnessmark/internal/api"
	"witnessmark/record"
)

// Client is one device. It is safe for concurrent use once logged in.
type Client struct {
	URL   string // of the server, without the path
	Token string // as LogIn got it
	HTTP  *http.Client
}

// New makes a client of the server at an address such as
// http://127.0.0.1:8417.
func New(server string) *Client {
	return &Client{URL: strings.TrimSuffix(server, "/"), HTTP: http.DefaultClient}
}

// NewID makes the id of an entry.
func NewID() (string, error) { return record.NewID(time.Now(), rand.Reader) }

// Send asks for anything: in is sent as JSON unless it is nil or []byte, and
// out, unless it is nil, is filled from the answer, whole into a *[]byte.
func (c *Client) Send(ctx context.Context, method, path string, in, out any) error {
	body, kind, err := bodyOf(in)
	if err != nil {
		return err
	}
	r, err := http.NewRequestWithContext(ctx, method, c.URL+api.Prefix+path, body)
	if err != nil {
		return fmt.Errorf("client: %w", err)
	}
	if kind != "" {
		r.Header.Set("Content-Type", kind)
	}
	if c.Token != "" {
		r.Header.Set("Authorization", "Bearer "+c.Token)
	}
	res, err := c.HTTP.Do(r)
	if err != nil {
		return fmt.Errorf("client: %w", err)
	}
	defer res.Body.Close()
	data, err := io.ReadAll(res.Body)
	if err != nil {
		return fmt.Errorf("client: %s %s: %w", method, path, err)
	}
	if res.StatusCode >= http.StatusBadRequest {
		return refusal(res, data)
	}
	return fill(out, data)
}

func bodyOf(in any) (io.Reader, string, error) {
	switch in := in.(type) {
	case nil:
		return http.NoBody, "", nil
	case []byte:
		return bytes.NewReader(in), http.DetectContentType(in), nil
	}
	data, err := json.Marshal(in)
	if err != nil {
		return nil, "", fmt.Errorf("client: %w", err)
	}
	return bytes.NewReader(data), "application/json", nil
}

// refusal is what the server said, or that something else answered.
func refusal(res *http.Response, data []byte) error {
	p := &api.Problem{}
	if err := json.Unmarshal(data, p); err != nil || p.Status == 0 {
		return fmt.Errorf("client: %s: no answer of a workshop's server", res.Status)
	}
	return p
}

func fill(out any, data []byte) error {
	switch out := out.(type) {
	case nil:
		return nil
	case *[]byte:
		*out = data
		return nil
	}
	if err := json.Unmarshal(data, out); err != nil {
		return fmt.Errorf("client: answer: %w", err)
	}
	return nil
}

func send[T any](ctx context.Context, c *Client, method, path string, in any) (T, error) {
	var out T
	err := c.Send(ctx, method, path, in, &out)
	return out, err
}

// LogIn gets a token with a name and PIN, and uses it from then on.
func (c *Client) LogIn(ctx context.Context, person, pin, device string) (api.LogIn, error) {
	l, err := send[api.LogIn](ctx, c, http.MethodPost, "/tokens", api.Credentials{Person: person, PIN: pin, Device: device})
	if err == nil {
		c.Token = l.Token
	}
	return l, err
}

// LogOut ends the token.
func (c *Client) LogOut(ctx context.Context) error {
	return c.Send(ctx, http.MethodDelete, "/tokens/current", nil, nil)
}

// Workshop is the workshop with its public key.
func (c *Client) Workshop(ctx context.Context) (api.Workshop, error) {
	return send[api.Workshop](ctx, c, http.MethodGet, "/workshop", nil)
}

// Changes waits up to some seconds for what is kept after a change.
func (c *Client) Changes(ctx context.Context, after int64, wait int) (api.Changes, error) {
	return send[api.Changes](ctx, c, http.MethodGet, fmt.Sprintf("/changes?after=%d&wait=%d", after, wait), nil)
}

// Sheets lists the engine sheets.
func (c *Client) Sheets(ctx context.Context) ([]api.Sheet, error) {
	l, err := send[api.Sheets](ctx, c, http.MethodGet, "/sheets", nil)
	return l.Sheets, err
}

// AddTool puts a tool into the register, or enters what was done with one.
func (c *Client) AddTool(ctx context.Context, tool, kind string, body any) (api.Kept, error) {
	return c.append(ctx, "/tools/"+url.PathEscape(tool)+"/entries", kind, body, 0)
}

func (c *Client) append(ctx context.Context, path, kind string, body any, saw int64) (api.Kept, error) {
	p, err := Propose(kind, body, saw)
	if err != nil {
		return api.Kept{}, err
	}
	return send[api.Kept](ctx, c, http.MethodPost, path, p)
}

// Propose makes an entry to send, and to send again if the answer is lost.
func Propose(kind string, body any, saw int64) (api.Proposal, error) {
	raw, err := json.Marshal(body)
	if err != nil {
		return api.Proposal{}, fmt.Errorf("client: %s: %w", kind, err)
	}
	id, err := NewID()
	return api.Proposal{ID: id, Kind: kind, Version: 1, DeviceTime: time.Now().Truncate(time.Millisecond), Saw: saw, Body: raw}, err
}

// Entries are a job's entries after one, as they are stored.
func (c *Client) Entries(ctx context.Context, job string, after int64) ([]record.Entry, error) {
	data, err := send[[]byte](ctx, c, http.MethodGet, jobPath(job)+"/entries?after="+strconv.FormatInt(after, 10), nil)
	if err != nil {
		return nil, err
	}
	var out []record.Entry
	for line := range bytes.Lines(data) {
		e, err := record.ParseLine(bytes.TrimSuffix(line, []byte("\n")))
		if err != nil {
			return nil, fmt.Errorf("client: job %s: %w", job, err)
		}
		out = append(out, e)
	}
	return out, nil
}

func jobPath(job string) string { return "/jobs/" + url.PathEscape(job) }
