// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark/record"
)

// MaxPositions is the most big ends an engine sheet may have.
const MaxPositions = 16

func checkPosition(p int) error {
	if p < 1 || p > MaxPositions {
		return fmt.Errorf("position %d: positions are counted from the front, 1 to %d", p, MaxPositions)
	}
	return nil
}

func checkOneOf(what, got string, allowed ...string) error {
	if slices.Contains(allowed, got) {
		return nil
	}
	return fmt.Errorf("%s %q: write one of %s", what, got, strings.Join(allowed, ", "))
}

func checkEach(what string, got []string, allowed ...string) error {
	for _, g := range got {
		if err := checkOneOf(what, g, allowed...); err != nil {
			return err
		}
	}
	return nil
}

func checkText(what, got string) error {
	if strings.TrimSpace(got) == "" {
		return fmt.Errorf("%s is empty: write it down", what)
	}
	return checkLength(what, got)
}

// MaxText is the longest text that an entry itself may carry, in bytes. Longer
// words belong into a note, whose text is kept beside the log.
const MaxText = 4000

func checkLength(what, got string) error {
	if len(got) > MaxText {
		return fmt.Errorf("%s has %d bytes, more than %d: write a note instead", what, len(got), MaxText)
	}
	return nil
}

// checkCommitment wants a reference to a salted blob beside the log.
func checkCommitment(what, got string) error {
	if _, err := record.Commitment(got).Hex(); err != nil {
		return fmt.Errorf("%s: %w", what, err)
	}
	return nil
}

// checkContent wants a reference to a document kept by its content.
func checkContent(what, got string) error {
	if _, err := record.ContentHash(got).Hex(); err != nil {
		return fmt.Errorf("%s: %w", what, err)
	}
	return nil
}

func checkCommitments(what string, got []string) error {
	for _, g := range got {
		if err := checkCommitment(what, g); err != nil {
			return err
		}
	}
	return nil
}

// firstError runs the checks in order and returns the first that fails.
func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// list says "a, b and c".
func list(words []string) string {
	switch len(words) {
	case 0:
		return ""
	case 1:
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}
