// SPDX-License-Identifier: Apache-2.0

package record

import "strings"

// Workshop is the subject of the log about the workshop itself.
const Workshop = "workshop"

// CheckSubject says why s can't name a log, or nil. A subject is "workshop" or
// a class in lower-case letters, "/", and an id of at most 64 letters, digits
// and . _ - that begins with a letter or digit.
func CheckSubject(s string) error {
	if s == Workshop {
		return nil
	}
	class, id, ok := strings.Cut(s, "/")
	if !ok || !allOf(class, isLower) || len(class) > 32 || !isName(id) || id == Workshop {
		return invalid("subject %q is not class/id", s)
	}
	return nil
}

// CheckPerson says why s can't name a person, or nil: at most 64 letters,
// digits and . _ - beginning with a letter or digit.
func CheckPerson(s string) error {
	if !isName(s) {
		return invalid("person %q: letters, digits and . _ - only, at most 64", s)
	}
	return nil
}

// CheckWorkshopID says why s can't name a workshop and its key, or nil: a name
// as for persons, in lower case.
func CheckWorkshopID(s string) error {
	if !isName(s) || strings.ToLower(s) != s {
		return invalid("workshop id %q: lower-case letters, digits and . _ - only, at most 64", s)
	}
	return nil
}

// Origin returns the first line of a checkpoint of the subject's log:
// "<workshop id>/<job id>" for a job, "<workshop id>/<subject>" for others.
func Origin(workshopID, subject string) string {
	return workshopID + "/" + strings.TrimPrefix(subject, "job/")
}

func isLower(c byte) bool    { return 'a' <= c && c <= 'z' }
func isDigit(c byte) bool    { return '0' <= c && c <= '9' }
func isNameChar(c byte) bool { return isAlnum(c) || c == '.' || c == '_' || c == '-' }
func isAlnum(c byte) bool    { return isLower(c) || isDigit(c) || 'A' <= c && c <= 'Z' }
func isKindChar(c byte) bool { return isNameChar(c) && !('A' <= c && c <= 'Z') }

func isName(s string) bool {
	return len(s) <= 64 && allOf(s, isNameChar) && isAlnum(s[0])
}

func isKind(s string) bool {
	return len(s) <= 64 && allOf(s, isKindChar) && isLower(s[0])
}

// allOf is false for the empty string.
func allOf(s string, ok func(byte) bool) bool {
	for i := 0; i < len(s); i++ {
		if !ok(s[i]) {
			return false
		}
	}
	return s != ""
}
