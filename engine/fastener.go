// SPDX-License-Identifier: Apache-2.0

package engine

import "witnessmark/units"

// Fastener is one kind of bolt or nut and how it is tightened.
type Fastener struct {
	ID           string                `yaml:"id,required"`
	Title        string                `yaml:"title,required"`
	Where        string                `yaml:"where,required"` // "rod": a set at every position; else a place, such as "sump"
	Bolts        []string              `yaml:"bolts"`          // names within a set, such as a and b
	Count        int                   `yaml:"count"`          // in all, where they have no names
	Thread       Thread                `yaml:"thread,required"`
	Class        string                `yaml:"class"` // property class, such as 10.9
	Use          Use                   `yaml:"use,required"`
	Lubricant    string                `yaml:"lubricant"` // "" means the sheet does not say
	Sealant      Sealant               `yaml:"sealant"`
	Order        []string              `yaml:"order"`      // of the bolts of a set; empty: as Bolts
	OrderText    string                `yaml:"order_note"` // for sets too large to name
	ToolRange    LimitOf[units.Torque] `yaml:"tool_range"`
	Stages       []Stage               `yaml:"stages,required"`
	Measuring    *Measuring            `yaml:"measuring"` // nil: the sheet does not say, so ask
	WitnessMark  bool                  `yaml:"witness_mark"`
	LoadedWheels bool                  `yaml:"wheels_loaded"` // tightened only with the vehicle's weight on its wheels
	Stretch      Stretch               `yaml:"stretch"`
	Geometry     Geometry              `yaml:"geometry"`
	Note         string                `yaml:"note"`
	Basis        `yaml:"-"`
}

// WhereRod is the place of fasteners that come as a set at every position.
const WhereRod = "rod"

// PerPosition reports whether a set of these stands at every position.
func (f Fastener) PerPosition() bool { return f.Where == WhereRod }

// Uses of a fastener.
const (
	SingleUse  = "single"
	LimitedUse = "limited"
	Reusable   = "reusable"
)

// Use says how often a fastener may get its final tightening.
type Use struct {
	Kind  string // SingleUse, LimitedUse, Reusable
	Times int    // 1 for single, n for limited, 0 (no end) for reusable
}

// StageKind is what a stage is controlled by.
type StageKind string

// The kinds of stage.
const (
	ByTorque      StageKind = "torque"
	ByAngle       StageKind = "angle"
	ByTorqueAngle StageKind = "torque_angle" // torque, then a further angle
	ByStretch     StageKind = "stretch"
)

// Stage is one step of a tightening.
type Stage struct {
	ID      string                `yaml:"id,required"`
	Kind    StageKind             `yaml:"kind,required"`
	Torque  Nominal[units.Torque] `yaml:"torque"`
	Angle   Nominal[units.Angle]  `yaml:"angle"`
	Stretch Nominal[units.Length] `yaml:"stretch"`
	Note    string                `yaml:"note"`
}

// Bolts that a measuring tightening may use.
const (
	MeasureOld    = "old"    // the ones that came out
	MeasureMarked = "marked" // a marked set kept for measuring
	MeasureSame   = "same"   // the ones that stay in
)

// Measuring is what a clearance reading needs from the fasteners.
type Measuring struct {
	Stages []string `yaml:"stages,required"` // ids, in order
	Bolts  []string `yaml:"bolts,required"`  // which of old, marked, same may be used
	Note   string   `yaml:"note"`
	Basis  `yaml:"-"`
}

// Stage returns the stage with this id.
func (f Fastener) Stage(id string) (Stage, bool) {
	for _, s := range f.Stages {
		if s.ID == id {
			return s, true
		}
	}
	return Stage{}, false
}

// Fastener returns the fastener with this id.
func (s *Sheet) Fastener(id string) (Fastener, bool) {
	for _, f := range s.Fasteners {
		if f.ID == id {
			return f, true
		}
	}
	return Fastener{}, false
}

// RodBolts returns the fastener that stands at every position.
func (s *Sheet) RodBolts() (Fastener, bool) {
	for _, f := range s.Fasteners {
		if f.PerPosition() {
			return f, true
		}
	}
	return Fastener{}, false
}

// Sealant is what goes on the thread or the face, and how long it cures
// before oil may touch it.
type Sealant struct {
	Product string          `yaml:"product"`
	Cure    Value[Duration] `yaml:"cure"`
}

// Stretch is how the bolt's own length is used.
type Stretch struct {
	FreeLength Nominal[units.Length] `yaml:"free_length"`
	MaxGrowth  Value[units.Length]   `yaml:"max_growth"` // permanent; beyond it the bolt is spent
}

// Geometry is what the clamp load is computed from: the ring under the head,
// friction, the bolt's own shape, and how stiff what it clamps is.
type Geometry struct {
	HeadOuter      Value[units.Length]   `yaml:"head_outer"` // of the bearing face under the head
	HeadHole       Value[units.Length]   `yaml:"head_hole"`
	ThreadFriction LimitOf[Number]       `yaml:"thread_friction"` // 2.5 and 97.5 % quantiles
	HeadFriction   LimitOf[Number]       `yaml:"head_friction"`
	SameFriction   bool                  `yaml:"same_friction"` // one oil, one batch: thread and head alike
	Segments       []Segment             `yaml:"segments"`      // of the clamped shank, from the head
	Engaged        Value[units.Length]   `yaml:"engaged_thread"`
	Head           string                `yaml:"head"`         // "hexagon" (the default) or "socket"
	Into           string                `yaml:"into"`         // "tapped" (the default) or "nut"
	Modulus        Value[units.Pressure] `yaml:"modulus"`      // of the bolt, steel's when it is left out
	MateModulus    Value[units.Pressure] `yaml:"into_modulus"` // of what it is screwed into
	// One of these three says how stiff the clamped parts are.
	StiffnessRatio Value[Number]   `yaml:"stiffness_ratio"`       // joint over bolt
	RatioRange     LimitOf[Number] `yaml:"stiffness_ratio_range"` // the same, with its spread
	Stiffness      LimitOf[Number] `yaml:"joint_stiffness_kN_mm"`

	Embedding   Value[units.Length]     `yaml:"embedding"`
	YieldFactor LimitOf[Number]         `yaml:"yield_factor"`   // times the least that the class allows
	Yield       Nominal[units.Pressure] `yaml:"yield_strength"` // instead of the class
	Tensile     Nominal[units.Pressure] `yaml:"tensile_strength"`

	// For the joint at speed.
	Introduction Value[Number] `yaml:"load_introduction"` // n of VDI 2230
	Rolled       string        `yaml:"thread_rolled"`     // "before" (the default) or "after" heat treatment
}

// Segment is a piece of the shank of one diameter.
type Segment struct {
	Length   Value[units.Length] `yaml:"length,required"`
	Diameter Value[units.Length] `yaml:"diameter"` // left out: free thread
}
