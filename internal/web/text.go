// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/url"
	"regexp"
	"strings"
	"unicode/utf8"
)

// sentence starts with a capital and ends with a full stop.
func sentence(s string) string {
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

// plainError is an error without the places that only matter in the log.
func plainError(err error) string { return wrapped.ReplaceAllString(err.Error(), "") }

func queryEscape(s string) string { return url.QueryEscape(s) }
