// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"math/rand/v2"
)

// StudyStep is one reading to take.
type StudyStep struct {
	Round        int // from 1
	Person, Part string
}

// StudyPlan is the order in which people read parts blind: in every round each
// person, in an order of its own, reads every part once in an order of its own,
// so that nobody can tell which part it is or what it read before. The same
// seed gives the same plan.
//
// It returns an error wrapping [ErrInput] for no parts, no persons, fewer than
// two rounds, or a name that is empty or stands twice.
func StudyPlan(parts, persons []string, rounds int, seed uint64) ([]StudyStep, error) {
	if rounds < 2 {
		return nil, fmt.Errorf("%w: %d rounds, at least two are needed to tell the repeatability", ErrInput, rounds)
	}
	for _, names := range [][]string{parts, persons} {
		if len(names) == 0 {
			return nil, fmt.Errorf("%w: a study needs parts and persons", ErrInput)
		}
		seen := map[string]bool{"": true}
		for _, n := range names {
			if seen[n] {
				return nil, fmt.Errorf("%w: the name %q is empty or stands twice", ErrInput, n)
			}
			seen[n] = true
		}
	}
	r := rand.New(rand.NewPCG(seed, 0))
	var plan []StudyStep
	for round := 1; round <= rounds; round++ {
		for _, j := range r.Perm(len(persons)) {
			for _, i := range r.Perm(len(parts)) {
				plan = append(plan, StudyStep{round, persons[j], parts[i]})
			}
		}
	}
	return plan, nil
}
