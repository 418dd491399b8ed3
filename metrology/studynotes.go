// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"strings"
)

// FewParts is the number of parts under which a study says little about the
// spread of parts; common practice asks for ten, no source.
const FewParts = 5

// note says what the study can't tell.
func (r *StudyResult) note(t studyTable) {
	say := func(format string, args ...any) { r.Notes = append(r.Notes, fmt.Sprintf(format, args...)) }
	if missing := t.missing(); len(missing) > 0 {
		say("Not every person read every part (missing: %s). Only the repeatability can be told; read what is missing.", list(missing, 5))
	} else if !t.balanced() {
		say("Parts were not all read equally often by everybody. Only the repeatability can be told; fill up the readings to the same number.")
	}
	switch r.Persons {
	case 1:
		say("One person read everything: this is the repeatability alone. What another person would read differently is not known.")
	case 2:
		say("Two people give one degree of freedom for the difference between people, so that figure could be several times larger.")
	}
	switch {
	case r.Parts == 1:
		say("One part only: nothing can be said about the spread of parts or about persons who differ from part to part.")
	case r.Parts < FewParts:
		say("Only %d parts: the spread of parts, and the share of the gauge in the total, are rough.", r.Parts)
	}
	if t.balanced() && t.repeats() == 1 && r.Parts > 1 && r.Persons > 1 {
		say("Every part was read once by each person: the repeatability includes that persons may differ from part to part. Read everything at least twice.")
	}
	if r.Repeatability.Known && r.Repeatability.StdDev == 0 {
		say("All repeats are equal: the gauge's resolution hides its repeatability. Read finer, or use half the resolution as half width of a uniform spread.")
	}
	if r.Reproducibility.Clipped {
		say("The difference between people is no larger than the repeatability explains; it is set to zero.")
	}
	if r.Interaction.Clipped {
		say("That persons differ from part to part came out below zero and is set to zero.")
	}
	if r.Part.Clipped {
		say("The parts differ no more than the gauge scatters: it can't tell them apart.")
	}
}

// list joins the first few names.
func list(names []string, most int) string {
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
}
