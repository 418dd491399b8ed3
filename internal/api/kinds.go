// SPDX-License-Identifier: Apache-2.0

package api

import (
	"context"
	"maps"
	"reflect"
	"slices"

	"github.com/danielgtaylor/huma/v2"

	"witnessmark/internal/job"
	"witnessmark/units"
)

const openType = "application/openapi+json"

func (s *server) describeSelf(context.Context, *nothing) (*fileOutput, error) {
	return &fileOutput{ContentType: openType, Disposition: "inline", Policy: filePolicy, Body: s.schema}, nil
}

// bodies are the types behind the kinds that are proposed as they are. A test
// holds the list against the kinds that there are.
var bodies = map[string]any{
	"sheet_adopted": job.SheetAdopted{}, "arrival": job.Arrival{}, "operation_done": job.OperationDone{}, "reading": job.Reading{}, "part_measured": job.PartMeasured{}, "roughness_read": job.RoughnessRead{}, "excess_asked": job.ExcessAsked{}, "wear_seen": job.WearSeen{},
	"journal_seen": job.JournalSeen{}, "debris_found": job.DebrisFound{}, "debris_dealt": job.DebrisDealt{}, "mains_seen": job.MainsSeen{},
	"shell_fitted": job.ShellFitted{}, "part_fitted": job.PartFitted{}, "stage_done": job.StageDone{}, "fastener_loosened": job.Loosened{},
	"witness_seen": job.WitnessSeen{}, "wheels_loaded": job.WheelsLoaded{}, "setting_made": job.SettingMade{}, "gear_read": job.GearRead{}, "thrust_washers": job.ThrustWashers{}, "last_look": job.LastLook{}, "run_step": job.RunStep{}, "old_parts": job.OldParts{},
	"photo_marked": job.PhotoMarked{}, "note_resolved": job.NoteResolved{}, "decision": job.Decided{}, "correction": job.Correction{}, "follow_up": job.FollowUp{},
	"plan_adopted": job.PlanAdopted{}, "scope_agreed": job.ScopeAgreed{},
	"estimate_offered": job.EstimateOffered{}, "authority_given": job.AuthorityGiven{}, "offer_refused": job.OfferRefused{}, "stop_point": job.StopPoint{},
	"change_found": job.ChangeFound{}, "change_answered": job.ChangeAnswered{},
	"horizon_set": job.HorizonSet{}, "work_found": job.WorkFound{},
	"time_spent":   job.TimeSpent{},
	"part_ordered": job.PartOrdered{}, "part_promised": job.PartPromised{}, "part_back_ordered": job.PartBackOrdered{}, "part_arrived": job.PartArrived{},
	"part_checked": job.PartChecked{}, "part_returned": job.PartReturned{}, "tool_reserved": job.ToolReserved{}, "tool_borrowed": job.ToolBorrowed{},
	"tool_returned": job.ToolGivenBack{}, "start_planned": job.StartPlanned{}, "bagged": job.Bagged{}, "refit_proved": job.RefitProved{}, "faults_read": job.FaultsRead{},
	"pairing_adopted": job.PairingAdopted{}, "batch_added": job.BatchAdded{}, "shell_measured": job.ShellMeasured{}, "shells_bound": job.ShellsBound{},
	"grade_counted": job.GradeCounted{}, "shell_returned": job.ShellReturned{}, "shell_discarded": job.ShellDiscarded{},
	"study_opened": job.StudyOpened{}, "study_read": job.StudyRead{}, "study_again": job.StudyAgain{},
	"tool_described": job.ToolDescribed{}, "tool_studied": job.ToolStudied{},
	"tool_added": job.ToolAdded{}, "tool_calibrated": job.ToolCalibrated{}, "tool_tested": job.ToolTested{}, "tool_retired": job.ToolRetired{},
	"bolt_length": job.BoltLength{}, "tool_counted": job.ToolCounted{}, "trace_looked_at": job.TraceLooked{},
}

// Quantity is a quantity as somebody read it: the digits are kept.
type Quantity struct {
	Text string `json:"text" doc:"as it was typed"`
	Unit string `json:"unit" doc:"its symbol, as typed or as assumed"`
	Kind string `json:"kind" doc:"such as length"`
}

// anything is JSON that is described elsewhere.
type anything map[string]any

// aliases describe types that write their own JSON.
func aliases(r huma.Registry) {
	r.RegisterTypeAlias(reflect.TypeFor[units.Read](), reflect.TypeFor[Quantity]())
	r.RegisterTypeAlias(reflect.TypeOf(job.Correction{}.Body), reflect.TypeFor[anything]())
}

// describeBodies adds the schema of each kind's body, and names them at the
// body of an entry. They describe: what is refused is for package job, which
// says it in a sentence.
func describeBodies(o *huma.OpenAPI) {
	var of []any
	for _, kind := range slices.Sorted(maps.Keys(bodies)) {
		s := o.Components.Schemas.Schema(reflect.TypeOf(bodies[kind]), true, kind)
		of = append(of, map[string]any{"$ref": s.Ref, "title": kind})
	}
	proposal := o.Components.Schemas.Map()["Proposal"]
	proposal.Properties["body"].Type = huma.TypeObject
	proposal.Properties["body"].Extensions = map[string]any{"anyOf": of}
}
