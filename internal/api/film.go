// SPDX-License-Identifier: Apache-2.0

package api

import (
	"context"
	"time"

	"witnessmark/internal/filmwork"
)

// JobFilm is the oil film of a job: what package film made of it, unrounded, and
// the words of the job's page.
type JobFilm struct {
	Job     string           `json:"job"`
	Whole   bool             `json:"whole" doc:"likelihood and map are there too; else ask again"`
	Running bool             `json:"running"`
	Done    int              `json:"pieces_done"`
	Total   int              `json:"pieces"`
	Films   *filmwork.Result `json:"films,omitempty" doc:"left out while nothing is there"`
	Words   FilmWords        `json:"words"`
}

// FilmWords is what the page says, as seen from the position with the thinnest
// film.
type FilmWords struct {
	Position int      `json:"position,omitempty"`
	Headline string   `json:"headline,omitempty"`
	Lead     string   `json:"comparison,omitempty"`
	Second   string   `json:"micrometres,omitempty"`
	Likely   string   `json:"likelihood,omitempty"`
	Verdict  string   `json:"verdict,omitempty"`
	Oils     string   `json:"oils,omitempty"`
	Assumed  []string `json:"assumed"`
	Caution  string   `json:"caution"`
	Empty    []string `json:"empty,omitempty" doc:"why there is no film, and what to do"`
}

type filmInput struct {
	JobPath
	Wait     int  `query:"wait" minimum:"0" maximum:"30" doc:"seconds to wait for the whole; 0 waits for the films alone, shortly"`
	Cycle    bool `query:"cycle" doc:"with every instant of the cycle"`
	Position int  `query:"position" minimum:"0" doc:"the words are as seen from it; 0: the thinnest film"`
}

type filmOutput struct {
	Body JobFilm
}

func (s *server) film(ctx context.Context, in *filmInput) (*filmOutput, error) {
	l, err := s.shop.Job(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	st := s.shop.Film(ctx, l, time.Second)
	if in.Wait > 0 {
		st = s.shop.WholeFilm(ctx, l, time.Duration(in.Wait)*time.Second)
	}
	v := l.FilmView(st, in.Position, -1)
	out := JobFilm{Job: l.ID, Whole: st.Whole(), Running: st.Running, Done: st.Done, Total: st.Total, Films: st.Result,
		Words: FilmWords{Position: v.Position, Headline: v.Headline, Lead: v.Lead, Second: v.Second, Likely: v.Likely, Verdict: v.Verdict,
			Oils: v.OilSay, Assumed: append([]string{}, v.Assumed...), Caution: v.Caution, Empty: v.Empty}}
	if out.Films != nil && !in.Cycle {
		out.Films = out.Films.WithoutCycle()
	}
	return &filmOutput{Body: out}, nil
}
