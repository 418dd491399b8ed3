// SPDX-License-Identifier: Apache-2.0

package api

import (
	"context"
	"crypto/subtle"
	"net/http"
	"strings"
	"time"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

type nothing struct{}

// Credentials let a device in.
type Credentials struct {
	Person string `json:"person" minLength:"1" maxLength:"200" doc:"id or name"`
	PIN    string `json:"pin" minLength:"4" maxLength:"12"`
	Device string `json:"device" minLength:"1" maxLength:"80" doc:"what the device is called, to tell it from others in the list"`
}

type logInInput struct {
	Body Credentials
}

// Person is somebody of the workshop.
type Person struct {
	ID     string `json:"id"`
	Name   string `json:"name"`
	Role   string `json:"role" enum:"technician,inspector,office,manager"`
	Left   bool   `json:"left,omitempty"`
	Locked bool   `json:"locked,omitempty" doc:"after too many wrong PINs, until a manager unlocks"`
}

func personOf(p shop.Person) Person {
	return Person{ID: p.ID, Name: p.Name, Role: p.Role, Left: p.Left}
}

// LogIn is a new token. It is shown this once.
type LogIn struct {
	Token   string    `json:"token" doc:"send it as Authorization: Bearer TOKEN"`
	ID      string    `json:"id" doc:"names the token in the list, tells nothing about it"`
	Device  string    `json:"device"`
	Expires time.Time `json:"expires"`
	Person  Person    `json:"person"`
}

type logInOutput struct {
	Body LogIn
}

func (s *server) logIn(ctx context.Context, in *logInInput) (*logInOutput, error) {
	p, err := s.shop.CheckPIN(ctx, in.Body.Person, in.Body.PIN)
	if err != nil {
		return nil, err
	}
	return s.enter(ctx, p, in.Body.Device)
}

func (s *server) enter(ctx context.Context, p shop.Person, name string) (*logInOutput, error) {
	token, d, err := s.newToken(ctx, p, strings.TrimSpace(name))
	if err != nil {
		return nil, err
	}
	return &logInOutput{Body: LogIn{Token: token, ID: d.hash, Device: d.Device, Expires: d.Expiry, Person: personOf(p)}}, nil
}

// SetUp makes the first manager.
type SetUp struct {
	Code   string `json:"code" maxLength:"40" doc:"the set-up code that the server printed when it started"`
	Name   string `json:"name" maxLength:"200"`
	PIN    string `json:"pin" maxLength:"12"`
	Device string `json:"device" minLength:"1" maxLength:"80"`
}

type setUpInput struct {
	Body SetUp
}

// setUp lets the first manager in with the code that the server printed.
func (s *server) setUp(ctx context.Context, in *setUpInput) (*logInOutput, error) {
	people, err := s.shop.People(ctx)
	if err != nil {
		return nil, err
	}
	code := strings.ToUpper(strings.TrimSpace(in.Body.Code))
	if len(people) > 0 || s.opt.SetUpCode == "" || subtle.ConstantTimeCompare([]byte(code), []byte(s.opt.SetUpCode)) != 1 {
		return nil, &Problem{Status: http.StatusUnauthorized, Title: "Not the set-up code", Detail: "The set-up code is not the one that the server printed when it started, or the workshop has its first person.",
			Next: "Read it there again; once somebody is in the workshop, log in."}
	}
	p := shop.NewPerson{ID: "p-1", Name: strings.TrimSpace(in.Body.Name), Role: job.Manager, PIN: in.Body.PIN}
	if err := s.shop.AddPerson(ctx, p.ID, p); err != nil {
		return nil, err
	}
	first, err := s.shop.Person(ctx, p.ID)
	if err != nil {
		return nil, err
	}
	return s.enter(ctx, first, in.Body.Device)
}

// Me is who asks.
type Me struct {
	Person Person `json:"person"`
	Token  Token  `json:"token"`
}

type meOutput struct {
	Body Me
}

func (s *server) me(ctx context.Context, _ *nothing) (*meOutput, error) {
	c := who(ctx)
	out := &meOutput{}
	out.Body.Person, out.Body.Token = personOf(c.Person), tokenOf(c.token, c)
	return out, nil
}

// Token is a device's token as the list shows it.
type Token struct {
	ID      string    `json:"id"`
	Device  string    `json:"device"`
	Person  string    `json:"person" doc:"id"`
	Made    time.Time `json:"made"`
	Expires time.Time `json:"expires"`
	Current bool      `json:"current,omitempty" doc:"the one that asks"`
}

func tokenOf(d device, c caller) Token {
	return Token{ID: d.hash, Device: d.Device, Person: d.Person, Made: d.Made, Expires: d.Expiry, Current: d.hash == c.token.hash}
}

type tokensInput struct {
	All bool `query:"all" doc:"of everybody; for managers"`
}

// Tokens is the devices that are logged in.
type Tokens struct {
	Tokens []Token `json:"tokens"`
}

type tokensOutput struct {
	Body Tokens
}

func (s *server) tokens(ctx context.Context, in *tokensInput) (*tokensOutput, error) {
	c := who(ctx)
	of := c.ID
	if in.All {
		if c.Role != job.Manager {
			return nil, &shop.ErrNotAllowed{Role: c.Role, What: "The list of everybody’s devices"}
		}
		of = ""
	}
	list, err := s.devices(ctx, of)
	if err != nil {
		return nil, err
	}
	out := &tokensOutput{}
	out.Body.Tokens = []Token{}
	for _, d := range list {
		out.Body.Tokens = append(out.Body.Tokens, tokenOf(d, c))
	}
	return out, nil
}

type tokenInput struct {
	Token string `path:"token" maxLength:"64" doc:"its id, or current for the one that asks"`
}

// revoke ends a token: one's own, or anybody's for a manager. To others it
// looks as if it were not there.
func (s *server) revoke(ctx context.Context, in *tokenInput) (*nothing, error) {
	c := who(ctx)
	if in.Token == "current" {
		in.Token = c.token.hash
	}
	of := c.ID
	if c.Role == job.Manager {
		of = ""
	}
	list, err := s.devices(ctx, of)
	if err != nil {
		return nil, err
	}
	for _, d := range list {
		if d.hash == in.Token {
			return &nothing{}, s.shop.Store().DeleteSessionHash(ctx, d.hash)
		}
	}
	return nil, nothingAt("such token", Prefix+"/tokens")
}
