// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"math"
)

// StudyReading is one reading of a gauge study (mm).
type StudyReading struct {
	Part, Person string
	Reading      float64
}

// PoolInteractionAbove is the p-value above which the interaction of parts and
// persons is pooled into the repeatability.
const PoolInteractionAbove = 0.25

// Component is one standard deviation of a gauge study, in mm.
type Component struct {
	// Known is false where the study can't tell; the rest is then zero.
	Known bool
	// StdDev is the standard deviation; Clipped says that its variance came out
	// below zero and was set to zero.
	StdDev  float64
	Clipped bool
	// DegreesOfFreedom of the variance, by Satterthwaite; 0 when clipped.
	DegreesOfFreedom float64
	// Low and High hold StdDev with 95 %: exact for repeatability, by Williams
	// and Tukey for persons, parts and interaction, by Satterthwaite for sums.
	// High is +Inf where the study sets no bound worth the name.
	Low, High float64
}

// MeanSquare is one line of the analysis of variance.
type MeanSquare struct {
	SumOfSquares     float64
	DegreesOfFreedom float64
	MeanSquare       float64
}

// StudyResult is a gauge study worked out; lengths in mm, squares in mm².
type StudyResult struct {
	Parts, Persons, Readings int
	Mean                     float64

	Repeatability   Component // the same person on the same part
	Reproducibility Component // the persons alone
	Interaction     Component // persons differ from part to part
	Gauge           Component // the three together
	Part            Component
	Total           Component

	// GaugePercentOfTotal is 100 × the ratio of standard deviations.
	// DistinctCategories is the floor of 1.41·part/gauge, at least 1; 0 where
	// the study can't tell.
	GaugePercentOfTotal float64
	DistinctCategories  int

	// InteractionP is the p-value of the interaction against the residual;
	// InteractionTested and Pooled say whether there is one and what followed.
	InteractionP              float64
	InteractionTested, Pooled bool

	// The table before pooling. Lines that the study can't have are zero.
	PartLine, PersonLine, InteractionLine, ResidualLine MeanSquare

	// Notes say in plain sentences what the study can't tell or tells poorly.
	Notes []string
}

// Study works a crossed gauge study out by analysis of variance:
//
//	every person reads every part, all equally often; parts and persons random
//	interaction kept unless p > 0.25 against the residual, else pooled into it
//	σ²(persons) = (MS persons − MS below)/(parts·repeats), and so on
//	components below zero are set to zero
//
// One person, one part, or one reading each leave out what they can't tell and
// say so. With missing or unequal cells only the repeatability is given. It
// returns an error wrapping [ErrInput] when not even that is there: no
// reading, one that is not finite, no two readings of the same thing and no
// second person, or a name left empty.
//
// Source: D. C. Montgomery, Design and Analysis of Experiments, two-factor
// random model (from memory); held against R's aov.
func Study(readings []StudyReading) (StudyResult, error) {
	t, err := newStudyTable(readings)
	if err != nil {
		return StudyResult{}, err
	}
	r := StudyResult{Parts: len(t.parts), Persons: len(t.persons), Readings: len(readings), Mean: t.mean}
	switch {
	case !t.balanced():
		r.unbalanced(t)
	case r.Parts == 1 && r.Persons == 1:
		r.repeatsOnly(t)
	default:
		r.anova(t)
	}
	if !r.Repeatability.Known && !r.Reproducibility.Known && !r.Part.Known {
		return StudyResult{}, fmt.Errorf("%w: no part was read twice, so there is nothing to study", ErrInput)
	}
	r.note(t)
	return r, nil
}

// repeatsOnly is one part read by one person.
func (r *StudyResult) repeatsOnly(t studyTable) {
	r.ResidualLine = t.within()
	if r.ResidualLine.DegreesOfFreedom == 0 {
		return
	}
	r.Repeatability = combination{{1, &r.ResidualLine}}.component()
	r.Gauge = r.Repeatability
}

// unbalanced keeps what holds with any number of readings per cell: the
// scatter within cells.
func (r *StudyResult) unbalanced(t studyTable) { r.repeatsOnly(t) }

// anova fills in the table and the components of a balanced study.
func (r *StudyResult) anova(t studyTable) {
	a, b, n := float64(r.Parts), float64(r.Persons), float64(t.repeats())
	r.PartLine, r.PersonLine, r.InteractionLine, r.ResidualLine = t.table()
	residual, interaction := r.ResidualLine, r.InteractionLine
	switch {
	case residual.DegreesOfFreedom == 0: // one reading each: the interaction is all that is left
		residual, interaction = interaction, MeanSquare{}
		r.InteractionLine, r.ResidualLine = interaction, residual
	case interaction.DegreesOfFreedom > 0:
		r.testInteraction()
		if r.Pooled {
			residual, interaction = residual.plus(interaction), MeanSquare{}
		}
	}
	below := &residual // what persons and parts are held against
	var both combination
	if residual.DegreesOfFreedom > 0 {
		both = combination{{1, &residual}}
		r.Repeatability = both.component()
	}
	if interaction.DegreesOfFreedom > 0 {
		below = &interaction
		r.Interaction = difference(&interaction, &residual, n)
		both = both.plus(r.Interaction, &interaction, &residual, n)
	} else if r.Pooled {
		r.Interaction = Component{Known: true}
	}
	if r.PersonLine.DegreesOfFreedom > 0 && below.DegreesOfFreedom > 0 {
		r.Reproducibility = difference(&r.PersonLine, below, a*n)
		both = both.plus(r.Reproducibility, &r.PersonLine, below, a*n)
	}
	r.Gauge = both.component()
	if r.PartLine.DegreesOfFreedom > 0 && below.DegreesOfFreedom > 0 {
		r.Part = difference(&r.PartLine, below, b*n)
		r.Total = both.plus(r.Part, &r.PartLine, below, b*n).component()
		r.ratios()
	}
}

// testInteraction holds the interaction against the residual.
func (r *StudyResult) testInteraction() {
	r.InteractionTested = true
	r.InteractionP = r.InteractionLine.pAgainst(r.ResidualLine)
	r.Pooled = r.InteractionP > PoolInteractionAbove
}

func (r *StudyResult) ratios() {
	if r.Total.StdDev == 0 {
		return
	}
	r.GaugePercentOfTotal = 100 * r.Gauge.StdDev / r.Total.StdDev
	if r.Gauge.StdDev > 0 {
		r.DistinctCategories = int(math.Max(1, math.Floor(1.41*r.Part.StdDev/r.Gauge.StdDev)))
	}
}

// RelativeU returns the gauge's standard deviation over the mean reading, and
// the part of it that repeats by the same person share, for a gauge whose
// spread grows with what it reads, such as a strip.
func (r StudyResult) RelativeU() (u, common float64) {
	if r.Mean <= 0 {
		return 0, 0
	}
	return r.Gauge.StdDev / r.Mean, math.Hypot(r.Reproducibility.StdDev, r.Interaction.StdDev) / r.Mean
}
