// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"crypto/sha256"
	"encoding/hex"
	"slices"

	"github.com/govalues/decimal"

	"witnessmark/units"
)

// Plan is what has to come apart to reach what in one engine family. [Load]
// makes one; it is not changed afterwards.
type Plan struct {
	Format     int         `yaml:"format"` // 1, also when it is left out
	Family     string      `yaml:"family"` // of the engine sheet that it goes with
	Title      string      `yaml:"title"`
	Edition    string      `yaml:"edition"`
	Invented   bool        `yaml:"invented"`
	Source     string      `yaml:"source"` // in words
	Currency   Currency    `yaml:"currency"`
	LabourRate *Price      `yaml:"labour_rate"` // per hour, without tax; nil: not said
	TaxPercent Percent     `yaml:"tax_percent"`
	Operations []Operation `yaml:"operations"`
	Work       []Work      `yaml:"work"`
	Advice     []Advice    `yaml:"advice"`
	Parts      []Part      `yaml:"parts"`

	// Hash is "sha256:" and the hex digest of the bytes that were read.
	Hash string `yaml:"-"`

	raw      []byte
	warnings []Problem
	graph    *graph
}

// Operation is one thing that comes off and goes back on.
type Operation struct {
	ID       string        `yaml:"id,required"`
	Title    string        `yaml:"title,required"`
	Strip    Hours         `yaml:"strip,required"`
	Refit    Hours         `yaml:"refit,required"`
	Needs    []string      `yaml:"needs"` // operations stripped before this one
	Disturbs []Disturbance `yaml:"disturbs"`
	Tools    []string      `yaml:"tools"`
	Caution  string        `yaml:"caution"`
}

// Hours is strip and refit together.
func (o Operation) Hours() Hours { return o.Strip + o.Refit }

// Disturbance is a thing that an operation undoes and the refit puts right: a
// fastener or seal to renew, a fluid, a connection, a calibration to redo. In
// a plan it may be a text alone.
type Disturbance struct {
	ID       string           `yaml:"id,required"`
	Title    string           `yaml:"title"`
	Kind     string           `yaml:"kind"` // fastener, seal, fluid, connection, steering, calibration; "": not said
	Part     string           `yaml:"part"` // renewed with it
	Quantity *decimal.Decimal `yaml:"quantity"`
}

// DisturbanceKinds are what [Disturbance.Kind] may be beside "".
var DisturbanceKinds = []string{"fastener", "seal", "fluid", "connection", "steering", "calibration"}

// Name is the title, else the id.
func (d Disturbance) Name() string {
	if d.Title != "" {
		return d.Title
	}
	return d.ID
}

// Work is one thing worth doing.
type Work struct {
	ID      string    `yaml:"id,required"`
	Title   string    `yaml:"title,required"`
	Hours   Hours     `yaml:"hours,required"`
	Needs   []string  `yaml:"needs"` // operations stripped before it
	With    []string  `yaml:"with"`  // work that must go along; may be mutual
	Parts   []PartUse `yaml:"parts"`
	Tools   []string  `yaml:"tools"`
	Caution string    `yaml:"caution"`
}

// PartUse is a part and how many of it.
type PartUse struct {
	Part     string           `yaml:"part,required"`
	Quantity *decimal.Decimal `yaml:"quantity"` // nil: one
}

// count is the quantity, one unless it is said.
func count(q *decimal.Decimal) decimal.Decimal {
	if q == nil {
		return decimal.One
	}
	return *q
}

// Advice says which work is worth offering, why, and for which vehicles.
type Advice struct {
	Work          string          `yaml:"work,required"`
	Why           string          `yaml:"why"`
	BuiltUntil    *Date           `yaml:"built_until"`    // last build date that it is for
	DistanceFrom  *units.Distance `yaml:"distance_from"`  // least distance that it is for
	DistanceUntil *units.Distance `yaml:"distance_until"` // greatest
	Chance        *Chance         `yaml:"chance"`         // that it is needed
}

// Chance is how likely work is needed within a distance.
type Chance struct {
	Value   Fraction       `yaml:"value,required"`
	Within  units.Distance `yaml:"within,required"`
	Source  string         `yaml:"source"`
	Assumed bool           `yaml:"assumed"`
}

// Part is something to buy.
type Part struct {
	ID           string `yaml:"id,required"`
	Title        string `yaml:"title,required"`
	Price        *Price `yaml:"price"` // each, without tax; nil: still to come
	Lead         *Lead  `yaml:"lead"`  // from order to arrival; nil: not known
	Supersedes   Names  `yaml:"supersedes"`
	Alternatives Names  `yaml:"alternatives"`
}

// Lead is a lead time in calendar days: least, most likely and most.
type Lead struct {
	Least  Days `yaml:"least"`
	Likely Days `yaml:"likely,required"`
	Most   Days `yaml:"most"`
}

// PERT returns the lead time as a [PERT] in days.
func (l Lead) PERT() PERT { return PERT{float64(l.Least), float64(l.Likely), float64(l.Most)} }

// Names is a list of ids; in a plan one id may stand without brackets.
type Names []string

// Warnings lists what may be used but deserves a look.
func (p *Plan) Warnings() []Problem { return slices.Clone(p.warnings) }

// Bytes returns the plan as it was read.
func (p *Plan) Bytes() []byte { return slices.Clone(p.raw) }

// HashOf returns "sha256:" and the hex digest by which a plan is kept.
func HashOf(data []byte) string {
	sum := sha256.Sum256(data)
	return "sha256:" + hex.EncodeToString(sum[:])
}

// OperationByID finds an operation.
func (p *Plan) OperationByID(id string) (Operation, bool) {
	return find(p.Operations, func(o Operation) bool { return o.ID == id })
}

// WorkByID finds a piece of work.
func (p *Plan) WorkByID(id string) (Work, bool) {
	return find(p.Work, func(w Work) bool { return w.ID == id })
}

// PartByID finds a part by its id, or the part that superseded it.
func (p *Plan) PartByID(id string) (Part, bool) {
	part, ok := p.graph.parts[p.graph.current(id)]
	return part, ok
}

// AdviceFor finds what is advised about a piece of work.
func (p *Plan) AdviceFor(work string) (Advice, bool) {
	return find(p.Advice, func(a Advice) bool { return a.Work == work })
}

func find[T any](list []T, is func(T) bool) (found T, ok bool) {
	if i := slices.IndexFunc(list, is); i >= 0 {
		return list[i], true
	}
	return found, false
}
