// SPDX-License-Identifier: Apache-2.0

package api_test

import (
	"net/http"
	"testing"
	"time"

	"witnessmark/internal/api"
	"witnessmark/internal/api/client"
	"witnessmark/internal/job"
)

func (k *kit) ends(c *client.Client, why string) {
	k.Helper()
	_, err := c.Jobs(k.Context())
	if err == nil {
		k.Fatalf("the token still counts: %s", why)
	}
	k.refused(err, http.StatusUnauthorized, "Log in")
}

func (k *kit) devices(c *client.Client, all string) []api.Token {
	k.Helper()
	var l api.Tokens
	k.must(c.Send(k.Context(), http.MethodGet, "/tokens"+all, nil, &l))
	return l.Tokens
}

// A token ends when it is revoked, by its person or a manager and by nobody
// else, when the person gets a new PIN or leaves, and after its time.
func TestTokenEnds(t *testing.T) {
	k := newKit(t)
	manager, one, two, other := k.as(job.Manager), k.as(job.Technician), k.as(job.Technician), k.as(job.Inspector)
	mine := k.devices(one, "")
	if len(mine) != 2 || mine[0].Current == mine[1].Current {
		t.Fatalf("the technician has %+v", mine)
	}
	if n := len(k.devices(manager, "?all=true")); n != 4 {
		t.Errorf("the manager sees %d devices, want 4", n)
	}
	k.refused(other.Send(t.Context(), http.MethodGet, "/tokens?all=true", nil, nil), http.StatusForbidden, "role inspector")
	k.refused(other.Send(t.Context(), http.MethodDelete, "/tokens/"+mine[0].ID, nil, nil), http.StatusNotFound, "token")

	for _, d := range mine {
		if !d.Current { // the technician's other device
			k.must(one.Send(t.Context(), http.MethodDelete, "/tokens/"+d.ID, nil, nil))
		}
	}
	k.ends(two, "revoked by its person")
	k.must(manager.Send(t.Context(), http.MethodDelete, "/tokens/"+k.devices(other, "")[0].ID, nil, nil))
	k.ends(other, "revoked by a manager")
	k.must(manager.Send(t.Context(), http.MethodPut, "/people/p-technician/pin", api.NewPIN{PIN: "4321"}, nil))
	k.ends(one, "made with the old PIN")

	other = k.as(job.Inspector)
	k.must(manager.Send(t.Context(), http.MethodPost, "/people/p-inspector/leave", api.Leaving{}, nil))
	k.ends(other, "the person left")
	k.refused(manager.Send(t.Context(), http.MethodPost, "/people/p-manager/leave", api.Leaving{}, nil), http.StatusUnprocessableEntity, "last manager")

	k.clock.forward(api.TokenLife - time.Minute)
	_, err := manager.Jobs(t.Context())
	k.must(err)
	k.clock.forward(2 * time.Minute)
	k.ends(manager, "past its time")
}

// After wrong PINs the next try has to wait, then a manager has to unlock; the
// PIN is in no answer.
func TestWrongPIN(t *testing.T) {
	k := newKit(t)
	c := k.as("")
	try := func(pin string) error {
		_, err := c.LogIn(t.Context(), "p-office", pin, "tablet")
		return err
	}
	for range 3 {
		k.refused(try("9999"), http.StatusUnauthorized, "do not belong together")
	}
	k.refused(try(kitPIN), http.StatusTooManyRequests, "Too soon")
	for range 4 {
		k.clock.forward(time.Minute)
		k.refused(try("9999"), http.StatusUnauthorized, "do not belong together")
	}
	k.clock.forward(time.Minute)
	k.refused(try("9999"), http.StatusForbidden, "locked")
	k.clock.forward(time.Hour)
	k.refused(try(kitPIN), http.StatusForbidden, "manager can unlock")

	manager := k.as(job.Manager)
	var l api.People
	k.must(manager.Send(t.Context(), http.MethodGet, "/people", nil, &l))
	for _, p := range l.People {
		if p.Locked != (p.ID == "p-office") {
			t.Errorf("%+v", p)
		}
	}
	k.must(manager.Send(t.Context(), http.MethodPost, "/people/p-office/unlock", nil, nil))
	k.must(try(kitPIN))
}
