// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"math"
	"strconv"
)

// spokenOdds are the chances that people name without 'one in'.
var spokenOdds = []struct {
	p     float64
	words string
}{
	{1.0 / 4, "about 1 in 4"}, {1.0 / 3, "about 1 in 3"}, {2.0 / 5, "about 2 in 5"},
	{1.0 / 2, "about even"}, {3.0 / 5, "about 3 in 5"}, {2.0 / 3, "about 2 in 3"},
	{3.0 / 4, "about 3 in 4"}, {4.0 / 5, "about 4 in 5"}, {9.0 / 10, "about 9 in 10"},
	{19.0 / 20, "about 19 in 20"}, {49.0 / 50, "about 49 in 50"}, {99.0 / 100, "about 99 in 100"},
	{999.0 / 1000, "about 999 in 1,000"},
}

// Odds says a probability as people say it: "about 1 in 6", "about 1 in 250",
// "less than 1 in 10,000", "about even", "about 3 in 4". p is in [0, 1];
// anything else gives "unknown".
func Odds(p float64) string {
	switch {
	case !(p >= 0 && p <= 1):
		return "unknown"
	case p < 1.0/10000:
		return "less than 1 in 10,000"
	case p < 2.0/9:
		return "about 1 in " + thousands(roundSpoken(1/p))
	case p > 1-1.0/3000:
		return "almost certain"
	}
	best, gap := "", math.Inf(1)
	for _, o := range spokenOdds { // nearest in log-odds, so that ends count as much as the middle
		if g := math.Abs(logit(o.p) - logit(p)); g < gap {
			best, gap = o.words, g
		}
	}
	return best
}

func logit(p float64) float64 { return math.Log(p / (1 - p)) }

// roundSpoken keeps the digits that are said: all to 20, then fives, tens,
// fifties, hundreds and five hundreds.
func roundSpoken(n float64) int {
	step := 1.0
	for _, s := range []struct{ from, step float64 }{{19.5, 5}, {100, 10}, {300, 50}, {1000, 100}, {3000, 500}} {
		if n >= s.from {
			step = s.step
		}
	}
	return int(math.Round(n/step) * step)
}

func thousands(n int) string {
	if n < 1000 {
		return strconv.Itoa(n)
	}
	return fmt.Sprintf("%d,%03d", n/1000, n%1000)
}
