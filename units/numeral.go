// SPDX-License-Identifier: Apache-2.0

package units

import (
	"math/big"
	"strconv"
	"strings"
	"unicode/utf8"
)

// numeral is a number as it was written.
type numeral struct {
	digits   string // sign, digits, '.', exponent; no grouping: what strconv reads
	decimals int    // digits after the mark, less the exponent: may be negative
}

// rat returns the exact value.
func (n numeral) rat() *big.Rat {
	r, _ := new(big.Rat).SetString(n.digits)
	return r
}

// step returns one unit in the last digit.
func (n numeral) step() *big.Rat {
	r, _ := new(big.Rat).SetString("1e" + strconv.Itoa(-n.decimals))
	return r
}

// isZero tells whether every digit before the exponent is 0.
func (n numeral) isZero() bool {
	plain, _, _ := strings.Cut(n.digits, "e")
	return !strings.ContainsAny(plain, "123456789")
}

// maxDigits is the longest number that is looked at; a float64 holds 17.
const maxDigits = 40

// scanNumeral reads the number at the start of s and returns what follows it.
// The refusal's reason is empty when the number is good.
func scanNumeral(s string) (n numeral, rest string, no refusal) {
	sign := ""
	switch r, size := utf8.DecodeRuneInString(s); r {
	case '+':
		s = s[size:]
	case '-', '−':
		sign, s = "-", s[size:]
	}
	body, rest := cutBody(s)
	plain, no := plainDigits(body, sign)
	if no.reason != "" {
		return numeral{}, rest, no
	}
	if len(plain) > maxDigits {
		return numeral{}, rest, refusal{"the number has too many digits", "write the digits that were read"}
	}
	if _, frac, ok := strings.Cut(plain, "."); ok {
		n.decimals = len(frac)
	}
	exp, rest := cutExponent(rest)
	if exp != "" {
		e, _ := strconv.Atoi(exp)
		n.decimals -= e
		exp = "e" + strconv.Itoa(e)
	}
	n.digits = sign + plain + exp
	return n, rest, refusal{}
}

// groupSpace tells whether r is a space that only typesetting puts between
// groups of digits.
func groupSpace(r rune) bool { return r == '\u00a0' || r == '\u202f' || r == '\u2009' }

// cutBody returns the run of digits and marks at the start of s, and the rest.
// A typeset space belongs to the run if exactly three digits follow it.
func cutBody(s string) (body, rest string) {
	i := 0
	for i < len(s) {
		r, size := utf8.DecodeRuneInString(s[i:])
		switch {
		case isDigit(r) || r == '.' || r == ',':
		case groupSpace(r) && leadingDigits(s[i+size:]) == 3:
		default:
			return s[:i], s[i:]
		}
		i += size
	}
	return s, ""
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

func leadingDigits(s string) int {
	i := 0
	for i < len(s) && isDigit(rune(s[i])) {
		i++
	}
	return i
}

// cutExponent returns the exponent at the start of s without its e, and the
// rest. Three digits at the most.
func cutExponent(s string) (exp, rest string) {
	if s == "" || (s[0] != 'e' && s[0] != 'E') {
		return "", s
	}
	tail, sign := s[1:], ""
	switch {
	case strings.HasPrefix(tail, "+"):
		tail = tail[1:]
	case strings.HasPrefix(tail, "-"):
		sign, tail = "-", tail[1:]
	case strings.HasPrefix(tail, "−"):
		sign, tail = "-", tail[len("−"):]
	}
	n := leadingDigits(tail)
	if n == 0 || n > 3 {
		return "", s
	}
	return sign + tail[:n], tail[n:]
}

// plainDigits returns the digits with a point for the decimal mark and no
// grouping, or why the run has no single meaning; sign is for the words only.
// The rules are in the package comment.
func plainDigits(body, sign string) (string, refusal) {
	if !strings.ContainsAny(body, "0123456789") {
		return "", refusal{"there is no number at its start", "write a number and its unit"}
	}
	whole, frac, ambiguous := splitMarks(body)
	switch {
	case strings.HasSuffix(body, ".") || strings.HasSuffix(body, ","):
		return "", refusal{"a digit is missing after the decimal mark", "write " + sign + strings.TrimRight(body, ".,") + " or the missing digits"}
	case ambiguous:
		joined := sign + strings.Replace(body, ",", "", 1)
		pointed := sign + strings.Replace(body, ",", ".", 1)
		return "", refusal{"it may mean " + pointed + " or " + joined, "write " + pointed + " or " + joined}
	}
	parts, ok := groups(whole)
	if !ok || strings.ContainsAny(frac, "., \u00a0\u2009\u202f") {
		return "", refusal{"the marks between the digits have no single meaning", "write the number without grouping, with one decimal mark"}
	}
	plain := strings.Join(parts, "")
	if plain == "" {
		plain = "0"
	}
	if frac != "" {
		plain += "." + frac
	}
	return plain, refusal{}
}

// splitMarks parts a run of digits and marks at its decimal mark. Without one
// all of it is whole.
func splitMarks(body string) (whole, frac string, ambiguous bool) {
	points, commas := strings.Count(body, "."), strings.Count(body, ",")
	last := strings.LastIndexAny(body, ".,")
	if last < 0 || strings.Count(body, body[last:last+1]) > 1 {
		return body, "", false // no mark, or the last mark stands twice: it groups
	}
	whole, frac = body[:last], body[last+1:]
	if points == 0 && commas == 1 && len(frac) == 3 && len(whole) >= 1 && len(whole) <= 3 &&
		leadingDigits(whole) == len(whole) && whole[0] != '0' {
		return whole, frac, true
	}
	return whole, frac, false
}

// groups returns the groups of digits of a whole number; not ok if they are
// parted by different marks or are not of three digits each.
func groups(whole string) (parts []string, ok bool) {
	at := strings.IndexFunc(whole, func(r rune) bool { return !isDigit(r) })
	if at < 0 {
		return []string{whole}, true
	}
	mark, _ := utf8.DecodeRuneInString(whole[at:])
	parts = strings.Split(whole, string(mark))
	for i, p := range parts {
		switch {
		case leadingDigits(p) != len(p):
			return nil, false
		case i == 0 && (p == "" || len(p) > 3 || p[0] == '0'):
			return nil, false
		case i > 0 && len(p) != 3:
			return nil, false
		}
	}
	return parts, true
}
