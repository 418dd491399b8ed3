// SPDX-License-Identifier: Apache-2.0

package job

import (
	"witnessmark/record"
	"witnessmark/units"
)

// Noted is a body with where it stands in the log.
type Noted[B any] struct {
	At   At `json:"at"`
	Body B  `json:"body"`
}

// State is what a job's log adds up to. It is only ever made by [Fold].
type State struct {
	Size      int64 // sequence of the last entry
	Number    string
	Vehicle   string
	Purpose   string
	Invented  bool
	Opened    At
	Sheet     SheetAdopted
	SheetAt   At
	Arrival   *Noted[Arrival]
	Details   map[string]Noted[Details]
	Positions map[int]*Position
	// Fittings are all shells that went in, also those that came out again.
	Fittings []Noted[ShellFitted]
	// Pairing is the choice of shells adopted last.
	Pairing  *Noted[PairingAdopted]
	Readings []Noted[Reading]
	// Roughness is what was read of journals and shells.
	Roughness []Noted[RoughnessRead]

	Operations  []Noted[OperationDone]
	Debris      []Noted[DebrisFound]
	DebrisDealt map[string]Noted[DebrisDealt]
	Mains       []Noted[MainsSeen]
	Parts       []Noted[PartFitted]
	Bolts       map[BoltKey]*Bolt
	Settings    map[SettingKey]Noted[SettingMade]
	Thrust      []Noted[ThrustWashers]
	Tools       []ToolUse
	Traces      []Noted[TraceKept]
	// Wheels is when the vehicle stood on its wheels and when it was lifted.
	Wheels []Noted[WheelsLoaded]
	// Gears are the readings around a gear, of the settings that have one.
	Gears map[SettingKey]Noted[GearRead]
	// Lengths are the lengths of bolts, in the order in which they were begun.
	Lengths []LengthsOf
	// TracesLooked are the odd traces that somebody looked at.
	TracesLooked []Noted[TraceLooked]
	LastLook     *Noted[LastLook]
	Run          []Noted[RunStep]
	OldParts     []Noted[OldParts]
	Notes        []NoteState
	Decisions    []Noted[Decided]
	Concessions  []Noted[Conceded]
	Handover     *Noted[HandedOver]
	FollowUps    []Noted[FollowUp]
	Seals        []Noted[Sealed]

	// Plan is the access plan that is pinned, Scope the work of it that is
	// agreed; nil for a job without.
	Plan  *Noted[PlanAdopted]
	Scope *Noted[ScopeAgreed]
	// Estimate is what was laid before the owner, Authorities what the owner
	// agreed to, Refused what was offered and is not wanted, by work, Stops
	// where work stops until the owner was asked, Changes what was found later.
	Estimate    *Noted[EstimateOffered]
	Authorities []Noted[AuthorityGiven]
	Refused     map[string]Noted[OfferRefused]
	Stops       []Noted[StopPoint]
	Changes     []ChangeState
	// Horizon is how far the owner means to keep the vehicle, Found what was
	// found worn or sound, by work.
	Horizon *Noted[HorizonSet]
	Found   map[string]Noted[WorkFound]
	// Time is what was worked, as it was written down.
	Time []Noted[TimeSpent]
	// Supply is what is on record of parts, by the name they were recorded by,
	// Special of special tools.
	Supply  map[string]*PartTrack
	Special map[string]*SpecialTool
	// Bags are the bags of what was loosened, by operation; Proofs say that
	// what was disturbed is right again.
	Bags    map[string]Noted[Bagged]
	Proofs  map[ProofKey][]Noted[RefitProved]
	Faults  []Noted[FaultsRead]
	Planned *Noted[StartPlanned]

	// Corrected maps an entry to the corrections of it, oldest first.
	Corrected map[int64][]Noted[Correction]
	// Unknown are entries of a kind that this version does not know.
	Unknown []record.Entry
	// Erased are the erasures of what was beside the log.
	Erased []Noted[Erased]
	// Blobs are the commitments that the log holds, by the entry.
	Blobs []BlobAt
	// Marked are the layers drawn on photos, by photo.
	Marked map[string]Noted[PhotoMarked]
	// Photos are the photos, by the entry.
	Photos []BlobAt
}

// BlobAt is a commitment with the entry that holds it.
type BlobAt struct {
	At         At
	Commitment string
}

// Position is what was seen and fitted at one big end.
type Position struct {
	Wear    []Noted[WearSeen]
	Journal []Noted[JournalSeen]
	Shells  *Noted[ShellFitted]
	// ShellsSince is the entry with which other shells went in: what was read
	// as fitted before it belongs to the ones before.
	ShellsSince int64
	// Asked are the first questions about a clearance that is off.
	Asked []Noted[ExcessAsked]
}

// BoltKey names one bolt's place.
type BoltKey struct {
	Fastener string
	BoltAt
}

// SettingKey names a setting, and its position where it is made at each.
type SettingKey struct {
	Setting  string
	Position int
}

// Bolt is what was done to one bolt's place, in order.
type Bolt struct {
	Stages  []Tightened
	Witness *At
	Photos  []string // of the witness mark
}

// Tightened is one stage on one bolt, or its loosening.
type Tightened struct {
	At         At
	Loosened   bool
	Tightening string
	Stage      string
	Set        string
	Tool       string
	Value      *units.Read
}

// ToolUse is a tool and when it was used.
type ToolUse struct {
	Tool string
	At   At
}

// NoteState is a note and what resolved it.
type NoteState struct {
	Noted[Note]
	Resolved *Noted[NoteResolved]
}

// Fold turns the entries of one job, in order, into its state. A correction
// takes effect at the place of the entry that it replaces. Entries of an
// unknown kind, or that no longer decode, are kept in Unknown. The cost grows
// with the number of entries.
func Fold(entries []record.Entry) State {
	s := State{}
	s.take(entries, correct(&s, entries))
	return s
}

// take folds entries that follow, with the bodies that count for them; a
// withdrawn one has none.
func (s *State) take(entries []record.Entry, effective []Body) {
	for i, e := range entries {
		s.Size = e.Seq
		body := effective[i]
		if body == nil { // withdrawn
			continue
		}
		if u, ok := body.(*unknown); ok {
			s.Unknown = append(s.Unknown, u.entry)
			continue
		}
		body.apply(s, at(e))
	}
}

// unknown stands for an entry that this version can't decode.
type unknown struct{ entry record.Entry }

func (*unknown) check() error     { return nil }
func (*unknown) apply(*State, At) {}
func (*unknown) words(PositionNamer) string {
	return "A kind of entry that this version does not know."
}

// correct decodes every entry and puts the last standing correction in the
// place of what it replaces; a withdrawn entry is nil. It goes backwards, so
// that a correction which was itself withdrawn has no effect.
func correct(s *State, entries []record.Entry) []Body {
	bodies := decodeAll(entries)
	index := make(map[int64]int, len(entries))
	for i, e := range entries {
		index[e.Seq] = i
	}
	settled := make(map[int]bool)
	for i := len(entries) - 1; i >= 0; i-- {
		c, ok := bodies[i].(*Correction)
		if !ok {
			continue
		}
		target, ok := index[c.Replaces]
		if !ok || target >= i {
			continue
		}
		s.corrected(c.Replaces, Noted[Correction]{At: at(entries[i]), Body: *c})
		if !settled[target] {
			bodies[target] = replacement(c, entries[target], bodies[target])
			settled[target] = true
		}
	}
	return bodies
}

// corrected keeps the corrections of an entry oldest first.
func (s *State) corrected(seq int64, c Noted[Correction]) {
	if s.Corrected == nil {
		s.Corrected = map[int64][]Noted[Correction]{}
	}
	s.Corrected[seq] = append([]Noted[Correction]{c}, s.Corrected[seq]...)
}

// replacement is the corrected body, nil when it withdraws, or the old one
// when the correction is of another kind than what it replaces.
func replacement(c *Correction, target record.Entry, old Body) Body {
	if c.Withdraws() {
		return nil
	}
	body, err := Decode(c.Kind, c.Version, []byte(c.Body))
	if err != nil || c.Kind != target.Kind {
		return old
	}
	return body
}

func (s *State) position(n int) *Position {
	if s.Positions == nil {
		s.Positions = map[int]*Position{}
	}
	if s.Positions[n] == nil {
		s.Positions[n] = &Position{}
	}
	return s.Positions[n]
}

func (s *State) bolt(fastener string, place BoltAt) *Bolt {
	if s.Bolts == nil {
		s.Bolts = map[BoltKey]*Bolt{}
	}
	k := BoltKey{fastener, place}
	if s.Bolts[k] == nil {
		s.Bolts[k] = &Bolt{}
	}
	return s.Bolts[k]
}

func (s *State) addBlob(at At, commitment string) {
	s.Blobs = append(s.Blobs, BlobAt{At: at, Commitment: commitment})
}

func (s *State) addPhotos(at At, commitments []string) {
	for _, c := range commitments {
		s.Photos = append(s.Photos, BlobAt{At: at, Commitment: c})
		s.addBlob(at, c)
	}
}

func appendUsed(used []ToolUse, tool string, at At) []ToolUse {
	if tool == "" {
		return used
	}
	return append(used, ToolUse{Tool: tool, At: at})
}
