// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"regexp"
	"strings"
	"unicode/utf8"
)

// Sentence starts with a capital and ends with a full stop.
func Sentence(s string) string {
	s = strings.TrimSpace(s)
	if s == "" {
		return ""
	}
	_, n := utf8.DecodeRuneInString(s)
	s = strings.ToUpper(s[:n]) + s[n:]
	if !strings.ContainsAny(s[len(s)-1:], ".?!") {
		s += "."
	}
	return s
}

// wrapped are the names of packages and kinds that errors carry for the log.
var wrapped = regexp.MustCompile(`^(?:(?:job|shop|record|units|engine|store)(?:: [a-z_]+)?: )+`)

// PlainError is an error without the places that only matter in the log.
func PlainError(err error) string { return wrapped.ReplaceAllString(err.Error(), "") }
