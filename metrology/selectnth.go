// SPDX-License-Identifier: Apache-2.0

package metrology

// selectNth returns the value that would stand at index n if y were sorted,
// and reorders y so that nothing before n is greater and nothing after is
// less. Hoare's selection: a coverage interval of a million trials needs two
// of them, a sort would cost several times as much.
//
//go:norace
func selectNth(y []float64, n int) float64 {
	low, high := 0, len(y)-1
	for low < high {
		pivot := median3(y[low], y[low+(high-low)/2], y[high])
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
			return y[n]
		}
	}
	return y[n]
}

func median3(a, b, c float64) float64 {
	return max(min(a, b), min(max(a, b), c))
}
