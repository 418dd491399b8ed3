// SPDX-License-Identifier: Apache-2.0

package web

import (
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"strconv"
	"time"

	"witnessmark/internal/draw"
	"witnessmark/internal/job"
)

// filmPatience is how long a page waits for its films; what takes longer comes
// when it is looked at again.
const filmPatience = 500 * time.Millisecond

// filmView is the film of a job as a page shows it.
type filmView struct {
	job.FilmView
	Job    string
	Step   int  // -1: the thinnest moment
	Marked bool // somebody chose a step
}

func (s *server) filmPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	position, step := q.number("position"), -1
	if position == 0 && q.PathValue("position") != "" {
		return errNotFound
	}
	if position != 0 && l.Basis.Sheet != nil {
		if _, ok := l.Basis.Sheet.Position(position); !ok {
			return errNotFound
		}
	}
	if n, err := strconv.Atoi(q.value("step")); err == nil && n >= 0 && n < job.FilmSteps {
		step = n
	}
	v := filmView{FilmView: l.FilmView(s.shop.Film(q.Context(), l, filmPatience), position, step), Job: l.ID, Step: step, Marked: step >= 0}
	f := jobFrame(l, "Oil film", "Measure")
	f.Unfinished = v.Running
	return q.page(http.StatusOK, f, filmBody(v))
}

func (s *server) stopFilm(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	s.shop.StopFilm(l)
	return q.see(filmPath(l.ID, 0))
}

func (s *server) againFilm(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	s.shop.AgainFilm(l)
	return q.see(filmPath(l.ID, 0))
}

// filmPath leads to the film seen from a position, 0 for the thinnest.
func filmPath(id string, position int) string {
	if position == 0 {
		return jobPath(id) + "/film"
	}
	return jobPath(id) + "/film/" + strconv.Itoa(position)
}

func stepPath(v filmView, step int) string {
	return filmPath(v.Job, v.Position) + "?step=" + strconv.Itoa(step) + "#cycle"
}

// stepAngle is the crank angle of a fixed step.
func stepAngle(v filmView, step int) string {
	return fmt.Sprintf("%.0f°", v.Steps[step*len(v.Steps)/job.FilmSteps].Angle)
}

// Sizes of the drawings, in their own units.
const (
	polarWide, polarHigh = 330.0, 350.0
	cycleWide, cycleHigh = 1080.0, 240.0
	smallWide, smallHigh = 360.0, 260.0
	chartWide, chartHigh = 440.0, 300.0
)

func svg(d draw.Drawing, w, h float64) string {
	c := draw.NewSVG(w, h, d.Alt())
	d.Draw(c)
	return c.String()
}

// moving is what the script needs to step through the cycle: where the
// drawings lie, and every instant with its words.
func moving(v filmView) string {
	ox, oy, or := v.Orbit.Place(polarWide, polarHigh)
	lx, ly, lr := v.Load.Place(polarWide, polarHigh)
	area := func(w, h float64) [4]float64 {
		x0, y0, x1, y1 := v.Cycle.Place(w, h)
		return [4]float64{x0, y0, x1, y1}
	}
	rim := v.Load.Reach()
	type instant struct {
		O [2]float64 `json:"o"`
		L [2]float64 `json:"l"`
		C float64    `json:"c"`
		W string     `json:"w"`
	}
	out := struct {
		Areas [2][4]float64 // of the cycle, wide and small
		Steps []instant
	}{Areas: [2][4]float64{area(cycleWide, cycleHigh), area(smallWide, smallHigh)}}
	round := func(f float64) float64 { return math.Round(f*10) / 10 }
	for _, s := range v.Steps {
		out.Steps = append(out.Steps, instant{[2]float64{round(ox + s.X*or), round(oy - s.Y*or)},
			[2]float64{round(lx + s.LoadX/rim*lr), round(ly - s.LoadY/rim*lr)}, math.Round(s.Angle/v.Cycle.X.Max*1e4) / 1e4, s.Words})
	}
	data, err := json.Marshal(out)
	if err != nil {
		return "" // numbers and words alone always encode
	}
	return string(data)
}
