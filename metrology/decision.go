// SPDX-License-Identifier: Apache-2.0

package metrology

import "fmt"

// Verdict is what a measurement proves against limits.
type Verdict string

const (
	// Within: proved to lie within the limits ("fits").
	Within Verdict = "within"
	// Above: proved to lie above the upper limit ("too wide").
	Above Verdict = "above"
	// Below: proved to lie below the lower limit ("too tight").
	Below Verdict = "below"
	// NotProven: none of the three.
	NotProven Verdict = "not_proven"
)

// DefaultConfidence holds where neither the limit nor the workshop sets one.
const DefaultConfidence = 0.80

// Decision is a verdict with the probabilities that it rests on.
//
// Within, Above and Below are probabilities; with Open they sum to 1. Open is
// zero for an ordinary reading. A censored reading leaves most of its
// probability open: then Above or Below is 'at least', and Within is zero
// because nothing is known of it.
type Decision struct {
	Verdict    Verdict
	Within     float64
	Above      float64
	Below      float64
	Open       float64
	Confidence float64
}

// Risk returns the chance that the decision is wrong: of not lying where the
// verdict says. For not proven it is the chance of not lying within.
func (d Decision) Risk() float64 {
	switch d.Verdict {
	case Above:
		return 1 - d.Above
	case Below:
		return 1 - d.Below
	}
	return 1 - d.Within
}

// Decide holds m against l with the given confidence, in [0, 1].
//
//	within      P(Min ≤ Y ≤ Max) ≥ confidence
//	above       P(Y > Max) ≥ confidence
//	below       P(Y < Min) ≥ confidence
//	not proven  none of these
//
// They are tried in this order. From 0.5 up only one can hold; under 0.5 it is
// relaxed acceptance (JCGM 106:2012, 8.3.2) and within takes precedence, at 0
// always. At 1 a normal spread proves something only when the rest is too
// small for a float64.
//
// A reading 'this or more' is above when the graduation with its spread
// already lies above Max with that confidence, else not proven, never within;
// 'this or less' likewise. Limits belong to what is allowed.
//
// It returns an error wrapping [ErrMeasurement], [ErrLimits] or
// [ErrConfidence]. It uses no prior knowledge of the population.
//
// Source: JCGM 106:2012, clauses 7.2 to 7.4 and 8.
func Decide(m Measurement, l Limits, confidence float64) (Decision, error) {
	if err := m.Validate(); err != nil {
		return Decision{}, err
	}
	if err := l.Validate(); err != nil {
		return Decision{}, err
	}
	if !(confidence >= 0 && confidence <= 1) {
		return Decision{}, fmt.Errorf("%w: %g is not between 0 and 1", ErrConfidence, confidence)
	}
	d := probabilities(m, l)
	d.Confidence = confidence
	d.Verdict = verdict(d, m.Side)
	return d, nil
}

// probabilities fills in where m lies against l.
func probabilities(m Measurement, l Limits) Decision {
	s := m.spread()
	above := s.above(l.Max - m.Value)
	below := s.below(l.Min - m.Value)
	switch m.Side {
	case OrMore:
		return Decision{Above: above, Open: 1 - above}
	case OrLess:
		return Decision{Below: below, Open: 1 - below}
	case Unknown:
		return Decision{Open: 1}
	}
	return Decision{Within: s.between(l.Min-m.Value, l.Max-m.Value), Above: above, Below: below}
}

// noise is what the arithmetic may lose of a probability.
const noise = 1e-15

func verdict(d Decision, side Censor) Verdict {
	proved := func(p float64) bool { return p >= d.Confidence-noise }
	switch {
	case side == NotCensored && proved(d.Within):
		return Within
	case side != OrLess && side != Unknown && d.Above >= d.Below && proved(d.Above):
		return Above
	case side != OrMore && side != Unknown && proved(d.Below):
		return Below
	}
	return NotProven
}

// Worst returns what verdicts on values that must all fit come to: within only
// when each is. Of what is not, the first of too tight, too wide, not proven
// stands. With no verdict it is within.
func Worst(verdicts ...Verdict) Verdict {
	for _, worst := range []Verdict{Below, Above, NotProven} {
		for _, v := range verdicts {
			if v == worst {
				return worst
			}
		}
	}
	return Within
}
