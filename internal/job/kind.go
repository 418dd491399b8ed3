// SPDX-License-Identifier: Apache-2.0

package job

import (
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"witnessmark/record"
)

// Body is what one kind of entry says. A body is decoded, checked for what
// can't be understood, folded into the state and put into words.
type Body interface {
	// check refuses what can't be understood, never what is unwelcome.
	check() error
	// apply folds the body into the state.
	apply(s *State, at At)
	// words says the entry in one plain sentence; name turns a position into
	// "4 (B2)".
	words(name PositionNamer) string
}

// PositionNamer names a position with its cylinder, as every screen does.
type PositionNamer func(position int) string

// At is where and when a fact was recorded, and by whom.
type At struct {
	Seq      int64     `json:"seq"`
	Person   string    `json:"person"`
	Time     time.Time `json:"time"`     // the device's
	Received time.Time `json:"received"` // the server's: this one orders
}

// Kind is one kind of entry at one version.
type Kind struct {
	Name    string
	Version int
	Title   string // as the record page heads it
	Job     bool   // belongs to a job's log (the others to a tool's, a batch's, a study's or the workshop's)
	Log     string // of the others: stock or study; empty for a tool's and the workshop's
	fresh   func() Body
}

// kind makes a Kind from the type of its body.
func kind[T any, B interface {
	*T
	Body
}](name string, version int, title string) Kind {
	return Kind{Name: name, Version: version, Title: title, Job: true, fresh: func() Body { return B(new(T)) }}
}

func (k Kind) decode(raw json.RawMessage) (Body, error) {
	b, err := unmarshalBody(raw, k.fresh)
	if err == nil {
		err = b.check()
	}
	if err != nil {
		return nil, fmt.Errorf("job: %s: %w", k.Name, err)
	}
	return b, nil
}

// Kinds lists every kind of entry that this version understands, in the order
// of the job. A decoder is never removed.
func Kinds() []Kind { return kinds }

// The list is filled at start-up: a correction's body decodes any other kind,
// so a plain literal would refer to itself.
var kinds []Kind

func init() {
	kinds = []Kind{
		kind[Opened]("job_opened", 1, "Job opened"),
		kind[SheetAdopted]("sheet_adopted", 1, "Engine sheet adopted"),
		kind[Arrival]("arrival", 1, "Arrival"),
		kind[Details]("details", 1, "Details"),
		kind[OperationDone]("operation_done", 1, "Operation done"),
		kind[PlanAdopted]("plan_adopted", 1, "Plan adopted"),
		kind[ScopeAgreed]("scope_agreed", 1, "Work agreed"),
		kind[EstimateOffered]("estimate_offered", 1, "Estimate prepared"),
		kind[AuthorityGiven]("authority_given", 1, "Authority given"),
		kind[OfferRefused]("offer_refused", 1, "Offer not wanted"),
		kind[StopPoint]("stop_point", 1, "Stop point agreed"),
		kind[ChangeFound]("change_found", 1, "Change proposed"),
		kind[ChangeAnswered]("change_answered", 1, "Change answered"),
		kind[HorizonSet]("horizon_set", 1, "How far it is kept"),
		kind[WorkFound]("work_found", 1, "Found worn or sound"),
		kind[TimeSpent]("time_spent", 1, "Time spent"),
		kind[PartOrdered]("part_ordered", 1, "Part ordered"),
		kind[PartPromised]("part_promised", 1, "Part promised"),
		kind[PartBackOrdered]("part_back_ordered", 1, "Part on back order"),
		kind[PartArrived]("part_arrived", 1, "Part arrived"),
		kind[PartChecked]("part_checked", 1, "Part number checked"),
		kind[PartReturned]("part_returned", 1, "Part returned"),
		kind[ToolReserved]("tool_reserved", 1, "Special tool reserved"),
		kind[ToolBorrowed]("tool_borrowed", 1, "Special tool in hand"),
		kind[ToolGivenBack]("tool_returned", 1, "Special tool given back"),
		kind[StartPlanned]("start_planned", 1, "Start planned"),
		kind[Bagged]("bagged", 1, "Bagged and marked"),
		kind[RefitProved]("refit_proved", 1, "Refit proved"),
		kind[FaultsRead]("faults_read", 1, "Stored faults read"),
		kind[Reading]("reading", 1, "Reading"),
		kind[PartMeasured]("part_measured", 1, "Part measured"),
		kind[RoughnessRead]("roughness_read", 1, "Roughness read"),
		kind[ExcessAsked]("excess_asked", 1, "First questions about a clearance"),
		kind[WearSeen]("wear_seen", 1, "Wear seen"),
		kind[JournalSeen]("journal_seen", 1, "Journal seen"),
		kind[DebrisFound]("debris_found", 1, "Debris found"),
		kind[DebrisDealt]("debris_dealt", 1, "Debris dealt with"),
		kind[MainsSeen]("mains_seen", 1, "Main bearings inspected"),
		kind[PairingAdopted]("pairing_adopted", 1, "Shells chosen"),
		kind[ShellFitted]("shell_fitted", 1, "Shells fitted"),
		kind[PartFitted]("part_fitted", 1, "Part fitted"),
		kind[StageDone]("stage_done", 1, "Fastener stage"),
		kind[Loosened]("fastener_loosened", 1, "Fastener loosened"),
		kind[WitnessSeen]("witness_seen", 1, "Witness mark seen"),
		kind[WheelsLoaded]("wheels_loaded", 1, "Wheels loaded"),
		kind[BoltLength]("bolt_length", 1, "Bolt length read"),
		kind[TraceKept]("trace_kept", 1, "Traces of a wrench"),
		kind[TraceLooked]("trace_looked_at", 1, "Odd trace looked at"),
		kind[SettingMade]("setting_made", 1, "Setting made"),
		kind[ThrustWashers]("thrust_washers", 1, "Thrust washers"),
		kind[GearRead]("gear_read", 1, "Backlash read around"),
		kind[LastLook]("last_look", 1, "Last look inside"),
		kind[RunStep]("run_step", 1, "Run step"),
		kind[OldParts]("old_parts", 1, "Old parts"),
		kind[PhotoMarked]("photo_marked", 1, "Photo drawn on"),
		kind[Note]("note", 1, "Note"),
		kind[NoteResolved]("note_resolved", 1, "Note resolved"),
		kind[Decided]("decision", 1, "Decision"),
		kind[Conceded]("concession", 1, "Concession"),
		kind[Correction]("correction", 1, "Correction"),
		kind[HandedOver]("handover", 1, "Handover"),
		kind[Erased]("erased", 1, "Erased"),
		kind[FollowUp]("follow_up", 1, "Follow-up"),
		kind[Sealed]("seal", 1, "Seal"),
	}
	kinds = append(kinds, registerKinds()...)
	kinds = append(kinds, stockKinds()...)
	kinds = append(kinds, studyKinds()...)
}

// ErrUnknownKind marks an entry of a kind or version this program does not
// know. It is kept and shown as such.
var ErrUnknownKind = errors.New("unknown kind of entry")

// Decode reads the body of an entry. The error wraps [ErrUnknownKind] when the
// kind or its version is not known.
func Decode(name string, version int, raw json.RawMessage) (Body, error) {
	for _, k := range kinds {
		if k.Name == name && k.Version == version {
			return k.decode(raw)
		}
	}
	return nil, fmt.Errorf("job: %s version %d: %w", name, version, ErrUnknownKind)
}

// Title is what the record page heads an entry of this kind with.
func Title(name string) string {
	for _, k := range kinds {
		if k.Name == name {
			return k.Title
		}
	}
	return "Unknown kind: " + name
}

// Propose makes the proposal of a body; the caller adds id, time and what was
// seen.
func Propose(subject, name string, body any) (record.Proposal, error) {
	raw, err := json.Marshal(body)
	if err != nil {
		return record.Proposal{}, fmt.Errorf("job: %s: %w", name, err)
	}
	version := 0
	for _, k := range kinds {
		if k.Name == name && k.Version > version {
			version = k.Version
		}
	}
	if _, err := Decode(name, version, raw); err != nil {
		return record.Proposal{}, err
	}
	return record.Proposal{Subject: subject, Kind: name, Version: version, Body: raw}, nil
}

func at(e record.Entry) At {
	return At{Seq: e.Seq, Person: e.Person, Time: e.DeviceTime, Received: e.Received}
}
