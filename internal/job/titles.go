// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"strconv"
	"strings"

	"witnessmark/engine"
	"witnessmark/scope"
)

// titled is a body that names things of the engine sheet by their ids; titles
// puts the sheet's own words in their place.
type titled interface{ titled(t titles) string }

// titles gives names to positions and to what the sheet has ids for. Without a
// sheet an id is told in plain letters.
type titles struct {
	name  PositionNamer
	sheet *engine.Sheet
	plan  *scope.Plan
}

// say puts a body into words.
func say(b Body, basis Basis) string {
	return sayWith(b, titles{basis.Namer(), basis.Sheet, basis.Plan})
}

func sayWith(b Body, t titles) string {
	if x, ok := b.(titled); ok {
		return x.titled(t)
	}
	return b.words(t.name)
}

func (t titles) fastener(id string) string {
	if t.sheet != nil {
		if f, ok := t.sheet.Fastener(id); ok && f.Title != "" {
			return f.Title
		}
	}
	return plainWord(id)
}

func (t titles) setting(id string) string {
	if t.sheet != nil {
		if s, ok := t.sheet.Setting(id); ok && s.Title != "" {
			return s.Title
		}
	}
	return plainWord(id)
}

// keyWords are codes of obstacles whose plain letters would mislead.
var keyWords = map[Code]string{
	TaperOver: "too much taper", ReadUntightened: "read with the cap not tightened", NotUnderstood: "a reading that can’t be used",
	DebrisNotRead: "debris not looked for", DebrisMetal: "metal found", MeasuringIn: "measuring bolts still in",
	SettingMissing: "setting not made", SettingOut: "setting out of its limits", SettingNotProven: "setting not proven",
	Unchecked: "values of the engine sheet not checked", RunMissing: "step of the run missing", RunFailed: "step of the run not in order",
	RunOut: "value of the run out of its limits", NoteOpen: "open note", ArrivalMissing: "condition on arrival not on record",
}

// obstacle says what a concession's key names: "not_proven/position-5" is "not
// proven, position 5 (A3)".
func (t titles) obstacle(key string) string {
	parts := strings.Split(key, "/")
	code := Code(parts[0])
	w, ok := keyWords[code]
	if !ok {
		w = plainWord(parts[0])
	}
	for _, p := range parts[1:] {
		if n, err := strconv.Atoi(strings.TrimPrefix(p, "position-")); err == nil && strings.HasPrefix(p, "position-") {
			w += ", position " + t.name(n)
			continue
		}
		w += ", " + t.thing(p)
	}
	return w
}

// thing is whatever the sheet, or the trade, calls an id.
func (t titles) thing(id string) string {
	if w, ok := ofWords[id]; ok {
		return w
	}
	if w := t.fastener(id); w != plainWord(id) {
		return w
	}
	return t.setting(id)
}

func (b *StageDone) titled(t titles) string {
	w := fmt.Sprintf("%s, %s tightening, stage %s: %s, bolts %s", sentenceCase(t.fastener(b.Fastener)), b.Tightening, b.Stage, boltsWords(b.Bolts, t.name), b.Set)
	if b.Tool != "" {
		w += ", with " + b.Tool
	}
	if b.Value != nil {
		w += ", " + readText(*b.Value)
	}
	return w + "."
}

func (b *Loosened) titled(t titles) string {
	w := sentenceCase(t.fastener(b.Fastener)) + " loosened: " + boltsWords(b.Bolts, t.name) + "."
	if b.Why != "" {
		w += " " + b.Why
	}
	return w
}

func (b *WitnessSeen) titled(t titles) string {
	return "Witness mark seen, " + t.fastener(b.Fastener) + ": " + boltsWords(b.Bolts, t.name) + "."
}

func (b *SettingMade) titled(t titles) string {
	w := "Setting, " + t.setting(b.Setting)
	if b.Position != 0 {
		w += ", position " + t.name(b.Position)
	}
	return w + ": " + readText(b.Value) + "."
}

func (b *Conceded) titled(t titles) string {
	w := "Concession, " + t.obstacle(b.Obstacle) + ": " + strings.TrimSuffix(b.Reason, ".") + "."
	if b.NoSecond {
		w += " No second person looked."
	}
	return w
}

func sentenceCase(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
