// SPDX-License-Identifier: Apache-2.0

package api

import (
	"context"
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// operation is one row of the table: how it is asked for, who may, and what it
// does.
type operation struct {
	method, path string
	id           string
	role         roles
	summary      string
	register     func(*server, huma.API, operation)
	more         option
}

// option is what few operations need beside.
type option struct {
	sends string // content type of an answer that is not JSON
	limit int64  // bytes of the body; 0: maxBody
	made  bool   // answers 201
	again bool   // answers 201, and 200 when it was there before
}

// roles is who may use an operation.
type roles []string

var (
	anybody   = roles(nil) // without a token
	everybody = roles{job.Technician, job.Inspector, job.Office, job.Manager}
	hands     = roles{job.Technician, job.Inspector, job.Manager}
	managers  = roles{job.Manager}
)

func (r roles) admits(role string) bool { return slices.Contains(r, role) }

// does makes a handler fit the table.
func does[I, O any](do func(*server, context.Context, *I) (*O, error)) func(*server, huma.API, operation) {
	return func(s *server, a huma.API, row operation) {
		op := row.describe(a)
		op.Middlewares = huma.Middlewares{s.admit(row)}
		huma.Register(a, op, func(ctx context.Context, in *I) (*O, error) {
			out, err := do(s, ctx, in)
			if err != nil {
				return nil, s.problem(ctx, err)
			}
			return out, nil
		})
		if row.more.again {
			answers := a.OpenAPI().Paths[row.path].Post.Responses
			answers["200"] = &huma.Response{Description: "It was there before", Content: answers["201"].Content}
		}
	}
}

// maxBody is the most that a body may have unless the row says otherwise: an
// entry of record.MaxBody and what is around it.
const maxBody = 1<<20 + 1<<14

// bodyTime is how long a body may take to arrive.
const bodyTime = 2 * time.Minute

// describe turns a row into huma's own description.
func (o operation) describe(a huma.API) huma.Operation {
	op := huma.Operation{OperationID: o.id, Method: o.method, Path: o.path, Summary: o.summary, MaxBodyBytes: maxBody, BodyReadTimeout: bodyTime,
		Errors: []int{}, Tags: []string{o.tag()}, Responses: map[string]*huma.Response{}}
	op.Description = "For anybody, without a token."
	if o.role != nil {
		op.Security = []map[string][]string{{"device": {}}}
		op.Errors = append(op.Errors, http.StatusUnauthorized, http.StatusForbidden)
		op.Description = "For " + strings.Join(o.role, ", ") + "."
	} else if o.method != http.MethodGet {
		op.Errors = append(op.Errors, http.StatusUnauthorized, http.StatusForbidden, http.StatusTooManyRequests)
	}
	if strings.Contains(o.path, "{") {
		op.Errors = append(op.Errors, http.StatusNotFound)
	}
	if o.method != http.MethodGet {
		op.Errors = append(op.Errors, http.StatusBadRequest, http.StatusConflict, http.StatusRequestEntityTooLarge, http.StatusUnsupportedMediaType, http.StatusInsufficientStorage)
	}
	if o.more.sends == jpegType {
		op.Errors = append(op.Errors, http.StatusGone)
	}
	op.Errors = append(op.Errors, http.StatusUnprocessableEntity, http.StatusServiceUnavailable)
	if o.more.limit > 0 {
		op.MaxBodyBytes = o.more.limit + 1
	}
	if o.more.again || o.more.made {
		op.DefaultStatus = http.StatusCreated
	}
	if o.more.sends != "" {
		op.Responses["200"] = &huma.Response{Description: "OK", Content: map[string]*huma.MediaType{o.more.sends: {Schema: &huma.Schema{Type: "string", Format: "binary"}}}}
	}
	return op
}

// tag is what the operation is about: the first part of its path.
func (o operation) tag() string {
	first, _, _ := strings.Cut(strings.TrimPrefix(o.path, "/"), "/")
	return strings.TrimSuffix(first, ".json")
}

// caller is who asks, with the token of their device.
type caller struct {
	shop.Person
	token device
}

type callerKey struct{}

// who is the caller of an operation that is not for anybody.
func who(ctx context.Context) caller {
	c, _ := ctx.Value(callerKey{}).(caller)
	return c
}

// admit refuses whom the row is not for, before anything of the body is read.
func (s *server) admit(row operation) func(huma.Context, func(huma.Context)) {
	return func(ctx huma.Context, next func(huma.Context)) {
		if row.role == nil {
			next(ctx)
			return
		}
		c, err := s.callerOf(ctx.Context(), ctx.Header("Authorization"))
		if err == nil && !row.role.admits(c.Role) {
			err = &shop.ErrNotAllowed{Role: c.Role, What: "This"}
		}
		if err != nil {
			s.refuse(ctx, err)
			return
		}
		next(huma.WithValue(ctx, callerKey{}, c))
	}
}

// refuse answers before the handler is reached.
func (s *server) refuse(ctx huma.Context, err error) {
	p := s.problem(ctx.Context(), err)
	if p.Status == http.StatusUnauthorized {
		ctx.SetHeader("WWW-Authenticate", `Bearer realm="witnessmark"`)
	}
	ctx.SetHeader("Content-Type", problemType)
	ctx.SetStatus(p.Status)
	_ = huma.DefaultJSONFormat.Marshal(ctx.BodyWriter(), p)
}
