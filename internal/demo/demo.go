// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"context"
	"errors"
	"slices"

	"witnessmark/internal/shop"
	"witnessmark/internal/store"
)

// Options is what a scenario needs beside the shop.
type Options struct {
	// Replay is the clock and the randomness that the shop and its store were
	// made with.
	Replay *Replay
}

// Cast is who and what is in the scenario.
type Cast struct {
	Workshop   string   `json:"workshop"`
	People     []Member `json:"people"`
	HalfWay    string   `json:"job_half_way"`
	HandedOver string   `json:"job_handed_over"`
	Opened     string   `json:"job_just_opened"`
	Agreed     string   `json:"job_agreed"`   // its parts are coming
	Estimate   string   `json:"job_estimate"` // its estimate is to be talked through
	Refit      string   `json:"job_refit"`    // half of it is back under the car
}

// Member is one person of the invented workshop.
type Member struct {
	ID   string `json:"id"`
	Name string `json:"name"`
	Role string `json:"role"`
	PIN  string `json:"pin"`
}

// Config is the invented workshop's configuration.
func Config() store.Config {
	return store.Config{WorkshopID: "saltmere-demo", Name: "Saltmere Lane Engine Works (invented)", TimeZone: "UTC", Units: "mm"}
}

// Fill tells the scenario to a shop without people and jobs. Afterwards the
// replay is live.
func Fill(ctx context.Context, s *shop.Shop, o Options) (Cast, error) {
	if o.Replay == nil {
		return Cast{}, errors.New("demo: no replay given: open the store and the shop with its clock")
	}
	t := &teller{ctx: ctx, shop: s, replay: o.Replay, start: o.Replay.Now()}
	defer o.Replay.end()
	t.people()
	t.tools()
	t.sheets()
	t.hours()
	t.stock()
	t.study()
	t.handedOver()
	t.agreed()
	t.underCar()
	t.halfWay()
	t.partsCome()
	t.justOpened()
	t.estimate()
	t.halfBack()
	return TheCast(), t.err
}

// TheCast is who and what every telling has.
func TheCast() Cast {
	return Cast{Workshop: Config().Name, People: slices.Clone(members), HalfWay: halfWay, HandedOver: handedOver, Opened: justOpened, Agreed: agreedJob, Estimate: estimateJob, Refit: refitJob}
}

// The numbers of the jobs.
const (
	handedOver = "0398"
	halfWay    = "0412"
	justOpened = "0415"
	agreedJob  = "0416"

	estimateJob = "0417"
	refitJob    = "0414"
)
