// SPDX-License-Identifier: Apache-2.0

package engine

import (
	"fmt"
	"strings"
)

// IdentityLength is the length of a vehicle identification number.
const IdentityLength = 17

// identityWeights are the weights of the positions; the check digit's own is 0
// (49 CFR 565.15(c), table IV).
var identityWeights = [IdentityLength]int{8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2}

// identityValues gives letters their values; I, O and Q are not used
// (49 CFR 565.15(c), table III).
var identityValues = map[rune]int{
	'A': 1, 'B': 2, 'C': 3, 'D': 4, 'E': 5, 'F': 6, 'G': 7, 'H': 8,
	'J': 1, 'K': 2, 'L': 3, 'M': 4, 'N': 5, 'P': 7, 'R': 9,
	'S': 2, 'T': 3, 'U': 4, 'V': 5, 'W': 6, 'X': 7, 'Y': 8, 'Z': 9,
}

// IdentityCheckDigit returns the check digit, "0" to "9" or "X", that belongs
// to a vehicle identification number of 17 characters; its ninth character is
// not looked at.
//
//	digit = (Σ value·weight) mod 11, 10 written as X
//
// It returns an error for another length or a character that the number can't
// have. Letters may be small.
//
// The digit is only prescribed in some markets: one that differs is worth a
// warning, never a refusal.
//
// Source: 49 CFR 565.15(c), tables III to V.
func IdentityCheckDigit(number string) (string, error) {
	number = strings.ToUpper(number)
	if n := len([]rune(number)); n != IdentityLength {
		return "", fmt.Errorf("engine: identity number %q has %d characters, not %d", number, n, IdentityLength)
	}
	sum := 0
	for i, c := range []rune(number) {
		if i == 8 {
			continue // the check digit itself
		}
		v, ok := identityValues[c]
		if c >= '0' && c <= '9' {
			v, ok = int(c-'0'), true
		}
		if !ok {
			return "", fmt.Errorf("engine: identity number %q: %q can't stand in one", number, c)
		}
		sum += v * identityWeights[i]
	}
	if sum %= 11; sum == 10 {
		return "X", nil
	}
	return string(rune('0' + sum)), nil
}

// IdentityWarning says in a sentence what looks wrong with an identity number,
// "" when nothing does or none was given.
func IdentityWarning(number string) string {
	number = strings.ToUpper(strings.TrimSpace(number))
	if number == "" {
		return ""
	}
	want, err := IdentityCheckDigit(number)
	if err != nil {
		return fmt.Sprintf("The identification number %s does not have 17 letters and digits without I, O and Q. Read it again on the vehicle.", number)
	}
	if got := number[8:9]; got != want {
		return fmt.Sprintf("The identification number %s has %s as its ninth character, where the check digit would be %s. Not every market uses the digit; read the number again on the vehicle.", number, got, want)
	}
	return ""
}
