// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"fmt"
	"strings"

	"witnessmark/film"
	"witnessmark/internal/filmwork"
	"witnessmark/units"
)

// The two running surfaces whose roughness is read, and the two ways to say it:
// the mean and the root mean square of the heights.
const (
	SurfaceJournal = "journal"
	SurfaceShell   = "shell"

	RoughnessRa = "Ra"
	RoughnessRq = "Rq"

	// RoughnessGauge is the kind of tool that reads it.
	RoughnessGauge = "roughness_gauge"
)

// RoughnessRead is the roughness of a journal or of the running surface of its
// shells, as a roughness gauge showed it; several traces count by their mean.
type RoughnessRead struct {
	Of        string       `json:"of"`
	Phase     string       `json:"phase"`
	Position  int          `json:"position"`
	Parameter string       `json:"parameter"`
	Values    []units.Read `json:"values"`
	Gauge     string       `json:"gauge,omitempty"`
	Remark    string       `json:"remark,omitempty"`
	Photos    []string     `json:"photos,omitempty"`
}

// Beyond these no running surface lies: a slip of the unit. Common practice, no
// source.
const (
	leastRoughness = 1e-6 // mm
	mostRoughness  = 0.02
)

func (b *RoughnessRead) check() error {
	if err := firstError(
		checkPosition(b.Position),
		checkOneOf("surface", b.Of, SurfaceJournal, SurfaceShell),
		checkOneOf("phase", b.Phase, AsFound, AsFitted),
		checkOneOf("parameter", b.Parameter, RoughnessRa, RoughnessRq),
		checkLength("gauge", b.Gauge), checkLength("remark", b.Remark), checkCommitments("photo", b.Photos),
	); err != nil {
		return err
	}
	switch {
	case len(b.Values) == 0:
		return errors.New("no roughness: enter at least one trace")
	case len(b.Values) > 20:
		return fmt.Errorf("%d traces of one surface, more than 20", len(b.Values))
	}
	for i := range b.Values {
		v := &b.Values[i]
		if err := checkKind("roughness", v, units.KindLength); err != nil {
			return err
		}
		if v.Value < leastRoughness || v.Value > mostRoughness {
			return fmt.Errorf("a roughness of %s: a running surface lies between 0.001 and 20 µm; check the unit", readText(*v))
		}
	}
	return nil
}

func (b *RoughnessRead) apply(s *State, at At) {
	s.Roughness = append(s.Roughness, Noted[RoughnessRead]{At: at, Body: *b})
	s.Tools = appendUsed(s.Tools, b.Gauge, at)
	s.addPhotos(at, b.Photos)
}

func (b *RoughnessRead) words(name PositionNamer) string {
	w := fmt.Sprintf("Position %s, %s, as %s: roughness %s %s", name(b.Position), surfaceWords[b.Of], b.Phase, b.Parameter, b.ReadBack())
	if b.Remark != "" {
		w += "; " + b.Remark
	}
	return strings.TrimSuffix(w, ".") + "."
}

var surfaceWords = map[string]string{SurfaceJournal: "journal", SurfaceShell: "running surface of the shells"}

// ReadBack repeats the traces as they were understood.
func (b *RoughnessRead) ReadBack() string {
	out := make([]string, len(b.Values))
	for i, v := range b.Values {
		out[i] = readText(v)
	}
	return strings.Join(out, ", ")
}

// ra is the mean of the traces as Ra, in µm.
func (b *RoughnessRead) ra() float64 {
	sum := 0.0
	for _, v := range b.Values {
		sum += v.Value * 1e3
	}
	ra := sum / float64(len(b.Values))
	if b.Parameter == RoughnessRq {
		ra = film.RaFromRq(ra)
	}
	return ra
}

// roughnessRead is what was read of a surface last and still counts: a journal
// stays when shells change, shells belong to what was fitted.
func (s *State) roughnessRead(of, phase string, position int) *Noted[RoughnessRead] {
	since := int64(0)
	if p := s.Positions[position]; p != nil {
		since = p.ShellsSince
	}
	var last *Noted[RoughnessRead]
	for i := range s.Roughness {
		r := &s.Roughness[i]
		switch {
		case r.Body.Of != of || r.Body.Position != position:
		case of == SurfaceJournal:
			if r.Body.Phase == phase || phase == AsFitted {
				last = r
			}
		case r.Body.Phase == phase && (phase == AsFound || r.At.Seq > since):
			last = r
		}
	}
	return last
}

// filmRoughness is what was measured of a position's surfaces; nil is nothing.
func filmRoughness(s *State, phase string, position int) *filmwork.Roughness {
	var out filmwork.Roughness
	if r := s.roughnessRead(SurfaceJournal, phase, position); r != nil {
		out.JournalUM = r.Body.ra()
	}
	if r := s.roughnessRead(SurfaceShell, phase, position); r != nil {
		out.ShellUM = r.Body.ra()
	}
	if out == (filmwork.Roughness{}) {
		return nil
	}
	return &out
}

// RoughnessWords says what is known of a surface at a position: as measured as
// found and as fitted, and what the sheet has.
func RoughnessWords(s State, b Basis, of string, position int) []string {
	var out []string
	var last int64
	for _, phase := range []string{AsFound, AsFitted} {
		r := s.roughnessRead(of, phase, position)
		if r == nil || r.At.Seq == last {
			continue
		}
		last = r.At.Seq
		w := fmt.Sprintf("Measured as %s: %s %s", r.Body.Phase, r.Body.Parameter, r.Body.ReadBack())
		if len(r.Body.Values) > 1 || r.Body.Parameter == RoughnessRq {
			w += fmt.Sprintf(", which counts as Ra %.2f µm", r.Body.ra())
		}
		out = append(out, w+".")
	}
	if b.Sheet == nil {
		return out
	}
	be := b.Sheet.BigEnd
	v, given := be.JournalFinish.V.Micrometres(), be.JournalFinish.Given()
	if of == SurfaceShell {
		v, given = be.Shell.Roughness.V.Micrometres(), be.Shell.Roughness.Given()
	}
	if given {
		return append(out, fmt.Sprintf("The sheet has Ra %.2f µm.", v))
	}
	return append(out, "The sheet has no roughness for it.")
}
