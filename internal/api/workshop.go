// SPDX-License-Identifier: Apache-2.0

package api

import (
	"context"
	"time"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/record"
)

// Workshop is what the workshop is and decides for itself.
type Workshop struct {
	ID         string  `json:"id"`
	Name       string  `json:"name"`
	Program    string  `json:"program" doc:"version"`
	Units      string  `json:"units" enum:"metric,inch"`
	TimeZone   string  `json:"time_zone"`
	Confidence float64 `json:"confidence" doc:"of a limit that carries none, 0 to 1"`
	Assumed    bool    `json:"confidence_assumed" doc:"nobody has set the confidence"`
	OnePerson  bool    `json:"one_person" doc:"nobody else can have a second look: concessions need the owner's signature"`
	PublicKey  string  `json:"public_key" doc:"with which bundles are verified"`
}

type workshopOutput struct {
	Body Workshop
}

func (s *server) workshop(ctx context.Context, _ *nothing) (*workshopOutput, error) {
	w, err := s.shop.Workshop(ctx)
	if err != nil {
		return nil, err
	}
	c := s.shop.Config()
	out := &workshopOutput{Body: Workshop{ID: c.WorkshopID, Name: c.Name, Program: s.shop.Program(), Units: w.Units, TimeZone: s.shop.Zone().String(), Confidence: w.Confidence, OnePerson: w.One()}}
	if w.Confidence == 0 {
		out.Body.Confidence, out.Body.Assumed = job.DefaultConfidence, true
	}
	out.Body.PublicKey, err = s.shop.VerifierKey()
	return out, err
}

// NewSettings is what the workshop decides from now on.
type NewSettings struct {
	ID         string    `json:"id" maxLength:"26" doc:"of the entry, a ULID: sent twice it counts once"`
	DeviceTime time.Time `json:"device_time"`
	Confidence float64   `json:"confidence,omitempty" doc:"0.5 to 0.9999; left out: as before"`
	Units      string    `json:"units,omitempty" doc:"metric or inch; left out: as before"`
	OnePerson  *bool     `json:"one_person,omitempty"`
	Reason     string    `json:"reason,omitempty"`
}

type settingsInput struct {
	Body NewSettings
}

func (s *server) changeSettings(ctx context.Context, in *settingsInput) (*keptOutput, error) {
	b := in.Body
	return s.keep(ctx, shop.Input{ID: b.ID, Subject: record.Workshop, Kind: "settings_changed", DeviceTime: b.DeviceTime,
		Body: job.SettingsChanged{Confidence: b.Confidence, Units: b.Units, OnePerson: b.OnePerson, Reason: b.Reason}})
}
