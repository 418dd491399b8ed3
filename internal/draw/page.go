// SPDX-License-Identifier: Apache-2.0

package draw

// ForPage draws d for a page, w by h units.
func ForPage(d Drawing, w, h float64) string {
	c := NewSVG(w, h, d.Alt())
	d.Draw(c)
	return c.String()
}
