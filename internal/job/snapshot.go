// SPDX-License-Identifier: Apache-2.0

package job

import (
	"encoding/json"
	"fmt"
	"slices"
)

// Snapshot is what a handover rested on: stored with it, so that a later
// version can show it with any difference beside it.
type Snapshot struct {
	Format     int             `json:"format"`
	Program    string          `json:"program"`
	Assessment Assessment      `json:"assessment"`
	Workshop   SnapshotShop    `json:"workshop"`
	Tools      []SnapshotTool  `json:"tools"`
	Sheet      string          `json:"sheet"`
	Extra      json.RawMessage `json:"extra,omitempty"`
}

// SnapshotShop is the workshop's settings as they were.
type SnapshotShop struct {
	Confidence float64 `json:"confidence"`
	OnePerson  bool    `json:"one_person"`
	Zone       string  `json:"time_zone"`
}

// SnapshotTool is the extract of the register about one tool that was used.
type SnapshotTool struct {
	ID    string `json:"id"`
	Title string `json:"title"`
	Kind  string `json:"kind"`
	Due   string `json:"calibration_due,omitempty"`
	Uses  int    `json:"uses"`
	// Spread says what was known of the gauge's spread, and where from.
	Spread []string `json:"spread,omitempty"`
}

// SnapshotFormat is the version of the snapshot's form.
const SnapshotFormat = 1

// NewSnapshot keeps what an assessment rested on.
func NewSnapshot(a Assessment, s State, b Basis, program string) Snapshot {
	snap := Snapshot{Format: SnapshotFormat, Program: program, Assessment: a, Sheet: s.Sheet.Sheet, Tools: []SnapshotTool{},
		Workshop: SnapshotShop{Confidence: b.Workshop.Confidence, OnePerson: b.Workshop.One(), Zone: b.zone().String()}}
	if snap.Workshop.Confidence == 0 {
		snap.Workshop.Confidence = DefaultConfidence
	}
	uses := map[string]int{}
	for _, u := range s.Tools {
		uses[u.Tool]++
	}
	for _, id := range sortedKeys(uses) {
		t := b.Tools[id]
		snap.Tools = append(snap.Tools, SnapshotTool{ID: id, Title: t.Title, Kind: t.Kind, Due: t.Due(), Uses: uses[id], Spread: t.Instrument().SpreadWords()})
	}
	return snap
}

// Encode is the snapshot's bytes, which the handover names by their hash.
func (s Snapshot) Encode() ([]byte, error) {
	data, err := json.Marshal(s)
	if err != nil {
		return nil, fmt.Errorf("job: snapshot: %w", err)
	}
	return data, nil
}

// DecodeSnapshot reads what Encode wrote.
func DecodeSnapshot(data []byte) (Snapshot, error) {
	var s Snapshot
	if err := json.Unmarshal(data, &s); err != nil {
		return Snapshot{}, fmt.Errorf("job: snapshot: %w", err)
	}
	if s.Format != SnapshotFormat {
		return Snapshot{}, fmt.Errorf("job: snapshot of format %d: this program reads %d", s.Format, SnapshotFormat)
	}
	return s, nil
}

// Differences says where the assessment of today differs from the one that a
// handover rested on.
func Differences(then, now Assessment, b Basis, voice Voice) []string {
	var d []string
	for _, p := range now.Positions {
		old, ok := then.Position(p.Position)
		if !ok {
			continue
		}
		was, _ := verdictWords(old.Fitted)
		is, _ := verdictWords(p.Fitted)
		if was != is {
			d = append(d, fmt.Sprintf("Position %s was %q at handover and is %q now.", positionName(p.Position, p.Cylinder), was, is))
		}
	}
	v := &shower{a: now, basis: b, voice: voice}
	for _, o := range onlyIn(now, then) {
		d = append(d, "New since handover: "+v.obstacle(o).What)
	}
	for _, o := range onlyIn(then, now) {
		d = append(d, "Stood in the way at handover and does not now: "+v.obstacle(o).What)
	}
	return d
}

// onlyIn are the obstacles that stand in one assessment and not in the other.
func onlyIn(one, other Assessment) []Obstacle {
	standing := other.Standing(Handover)
	return slices.DeleteFunc(one.Standing(Handover), func(o Obstacle) bool {
		return slices.ContainsFunc(standing, func(x Obstacle) bool { return x.Key == o.Key })
	})
}
