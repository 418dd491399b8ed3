// SPDX-License-Identifier: Apache-2.0

package metrology

import "math"

// selectNth returns the value that would stand at index n if y were sorted,
// and reorders y so that nothing before n is greater and nothing after is
// less: a coverage interval of a million trials needs two of them, a sort would
// cost several times as much.
//
// Source: R. W. Floyd and R. L. Rivest, Communications of the ACM 18 (1975) 173,
// algorithm 489, from memory; its partition is Hoare's.
func selectNth(y []float64, n int) float64 {
	selectBetween(y, 0, len(y)-1, n)
	return y[n]
}

// selectBetween selects within y[low..high]. In a long stretch it first selects
// within a sample about where n should lie, whose value then parts the stretch
// close to n.
//
//go:norace
func selectBetween(y []float64, low, high, n int) {
	for low < high {
		if high-low > longStretch {
			from, to := sampleAbout(low, high, n)
			selectBetween(y, from, to, n)
		}
		pivot := y[n]
		i, j := low, high
		for i <= j {
			for y[i] < pivot {
				i++
			}
			for y[j] > pivot {
				j--
			}
			if i <= j {
				y[i], y[j] = y[j], y[i]
				i++
				j--
			}
		}
		switch {
		case n <= j:
			high = j
		case n >= i:
			low = i
		default:
			return
		}
	}
}

// longStretch is what a sample pays for, as the algorithm is printed.
const longStretch = 600

// sampleAbout is the sample of size n^⅔/2 in which index n has its place.
func sampleAbout(low, high, n int) (from, to int) {
	size, at := float64(high-low+1), float64(n-low+1)
	z := math.Log(size)
	s := 0.5 * math.Exp(2*z/3)
	sd := math.Copysign(0.5*math.Sqrt(z*s*(size-s)/size), at-size/2)
	from = max(low, int(float64(n)-at*s/size+sd))
	to = min(high, int(float64(n)+(size-at)*s/size+sd))
	return min(from, n), max(to, n)
}
