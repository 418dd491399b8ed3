// SPDX-License-Identifier: Apache-2.0

package api_test

import (
	"strings"
	"testing"

	"witnessmark/internal/job"
)

// The interface gives the films of the job's own clearances, unrounded, and
// the words of its page; a job without readings says what to do.
func TestFilm(t *testing.T) {
	k := newKit(t)
	c := k.as(job.Manager)
	none, err := c.Film(t.Context(), k.job, 5)
	k.must(err)
	if len(none.Words.Empty) != 1 || !strings.Contains(none.Words.Empty[0], "No clearance is measured yet") {
		t.Errorf("nothing measured: %+v", none.Words)
	}
	for position, mm := range map[int]string{1: "0.042", 2: "0.070"} {
		_, err := c.Append(t.Context(), k.job, "reading", clearance(t, job.AsFitted, position, mm), 0)
		k.must(err)
	}
	got, err := c.Film(t.Context(), k.job, 30)
	k.must(err)
	if !got.Whole || got.Done != got.Total || got.Films == nil || got.Films.Map == nil {
		t.Fatalf("%d of %d pieces, whole %t", got.Done, got.Total, got.Whole)
	}
	narrow, wide := got.Films.Positions[0].Fitted, got.Films.Positions[1].Fitted
	if !(wide.Oils[0].Hot.MinFilmUM < narrow.Oils[0].Hot.MinFilmUM) || wide.Spread == nil || len(wide.Cycle) > 0 {
		t.Errorf("films %g and %g µm", narrow.Oils[0].Hot.MinFilmUM, wide.Oils[0].Hot.MinFilmUM)
	}
	if got.Words.Position != 2 || !strings.Contains(got.Words.Lead, "Position 2 keeps") || !strings.Contains(got.Words.Caution, "not an approval") {
		t.Errorf("words: %+v", got.Words)
	}
}
