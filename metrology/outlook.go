// SPDX-License-Identifier: Apache-2.0

package metrology

// StripOutcome is one reading that a strip could give and what it would prove.
type StripOutcome struct {
	End      StripEnd
	Decision Decision
}

// ProofOutlook is what a gauge could prove against limits, before the reading.
// Outcomes has every bar and every 'between', rising.
type ProofOutlook struct {
	Outcomes []StripOutcome
	Within   int // how many of them would come out within
	Above    int
	Below    int
}

// CanFit says whether any reading of this gauge could prove 'fits'.
func (o ProofOutlook) CanFit() bool { return o.Within > 0 }

// CanReject says whether any reading could prove that a limit is passed.
func (o ProofOutlook) CanReject() bool { return o.Above+o.Below > 0 }

// CanProve says which readings of a strip, the same all along, would prove
// what against l with the given confidence. Errors as [Decide] and
// [StripScale.Validate].
func CanProve(s StripScale, l Limits, confidence float64) (ProofOutlook, error) {
	if err := s.Validate(); err != nil {
		return ProofOutlook{}, err
	}
	var o ProofOutlook
	for i, g := range s.Graduations {
		if i > 0 {
			if err := o.add(s, BetweenBars(s.Graduations[i-1], g), l, confidence); err != nil {
				return ProofOutlook{}, err
			}
		}
		if err := o.add(s, AtGraduation(g), l, confidence); err != nil {
			return ProofOutlook{}, err
		}
	}
	return o, nil
}

func (o *ProofOutlook) add(s StripScale, e StripEnd, l Limits, confidence float64) error {
	m, err := s.MeasureEnd(e)
	if err != nil {
		return err
	}
	d, err := Decide(m, l, confidence)
	if err != nil {
		return err
	}
	o.Outcomes = append(o.Outcomes, StripOutcome{e, d})
	switch d.Verdict {
	case Within:
		o.Within++
	case Above:
		o.Above++
	case Below:
		o.Below++
	}
	return nil
}
