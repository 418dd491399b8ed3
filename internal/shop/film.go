// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"time"

	"witnessmark/internal/filmwork"
	"witnessmark/internal/job"
)

// Film is how far the film of a job has come; it is begun if nobody asked for
// it before. It waits for the films themselves no longer than patience; what
// takes longer goes on behind.
func (s *Shop) Film(ctx context.Context, l *Loaded, patience time.Duration) filmwork.Status {
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	return s.films.Films(ctx, l.FilmAsk())
}

// WholeFilm waits for everything, map and likelihood too, no longer than
// patience.
func (s *Shop) WholeFilm(ctx context.Context, l *Loaded, patience time.Duration) filmwork.Status {
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	return s.films.Wait(ctx, l.FilmAsk())
}

// StopFilm ends the computation of a job's film; what is there stays.
func (s *Shop) StopFilm(l *Loaded) { s.films.Stop(l.FilmAsk()) }

// AgainFilm begins a stopped computation anew.
func (s *Shop) AgainFilm(l *Loaded) { s.films.Again(l.FilmAsk()) }

// FilmAsk is what the job's film rests on.
func (l *Loaded) FilmAsk() filmwork.Ask { return job.FilmAsk(l.Assessment, l.State, l.Basis) }

// FilmView is a film in words, as seen from a position; see [job.ShowFilm].
func (l *Loaded) FilmView(st filmwork.Status, position, step int) job.FilmView {
	return job.ShowFilm(st, position, step, l.Assessment, l.State, l.Basis, l.Voice)
}
