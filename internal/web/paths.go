// SPDX-License-Identifier: Apache-2.0

package web

import (
	"crypto/rand"
	"strconv"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/record"
)

func jobPath(id string) string { return "/jobs/" + id }

func positionPath(id string, position int, phase string) string {
	return jobPath(id) + "/position/" + strconv.Itoa(position) + "/" + phase
}

func tabPath(id string, t job.Tab) string {
	if t.Page == "" {
		return jobPath(id)
	}
	return jobPath(id) + "/" + t.Page
}

// obstaclePath is the page that clears an obstacle.
func obstaclePath(id string, o job.ObstacleView) string {
	n := strconv.Itoa(max(o.Position, 1))
	switch o.Page {
	case "":
		return jobPath(id)
	case "position":
		return positionPath(id, max(o.Position, 1), job.AsFitted)
	case "journal":
		return jobPath(id) + "/wear/" + n
	case "shells":
		return jobPath(id) + "/shells/" + n
	case "clearance":
		return clearancePath(id, max(o.Position, 1))
	case "tools":
		return "/tools"
	}
	return jobPath(id) + "/" + o.Page
}

// jobLine is the vehicle, the engine family and the odometer.
func jobLine(v job.View) string {
	var parts []string
	for _, p := range []string{v.Vehicle, v.Odometer} {
		if p != "" {
			parts = append(parts, p)
		}
	}
	if v.Family != "" {
		parts = append(parts, "engine family "+v.Family)
	}
	return strings.Join(parts, " · ")
}

// valueText is a value for a cell.
func valueText(v *job.ValueView) string {
	if v == nil {
		return "–"
	}
	return v.Text
}

func count(n int) string { return strconv.Itoa(n) }

// formKey makes an entry count once, and names what it was made on.
type formKey struct {
	ID     string
	Person string
	Saw    string
}

// newKey makes the key of a fresh form.
func (q *request) newKey() formKey {
	id, err := record.NewID(q.server.shop.Now(), rand.Reader)
	if err != nil {
		return formKey{} // the store makes one when the form comes back
	}
	return formKey{ID: id, Person: q.person.ID}
}

// secondKey and thirdKey give further forms of one page a key of their own:
// the last letters of a ULID are random, so another letter is another id.
func secondKey(k formKey) formKey { return k.other('A', 'B') }

func thirdKey(k formKey) formKey { return k.other('C', 'D') }

func (k formKey) other(a, b byte) formKey {
	if k.ID == "" {
		return k
	}
	last := a
	if k.ID[len(k.ID)-1] == a {
		last = b
	}
	k.ID = k.ID[:len(k.ID)-1] + string(last)
	return k
}

// ahead is the check that the job is at: the first that is not ready.
func ahead(v job.View) int {
	for i, c := range v.Checks {
		if !c.Ready {
			return i
		}
	}
	return len(v.Checks) - 1
}
