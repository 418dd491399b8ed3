// SPDX-License-Identifier: Apache-2.0

package web

import (
	"fmt"
	"math"

	"witnessmark/internal/job"
)

func photoPath(p photoView) string { return jobPath(p.Job) + "/photo/" + p.Commitment }

// px turns a part of a photo's side into its pixels.
func px(part float64, side int) string { return fmt.Sprintf("%.1f", part*float64(side)) }

func radius(m job.Mark, v photoView) string {
	return fmt.Sprintf("%.1f", math.Hypot((m.X2-m.X1)*float64(v.Width), (m.Y2-m.Y1)*float64(v.Height)))
}

// arrow is a line with a head at its end.
func arrow(m job.Mark, v photoView) string {
	x1, y1 := m.X1*float64(v.Width), m.Y1*float64(v.Height)
	x2, y2 := m.X2*float64(v.Width), m.Y2*float64(v.Height)
	head := 0.04 * float64(max(v.Width, v.Height))
	a := math.Atan2(y2-y1, x2-x1)
	wing := func(turn float64) (float64, float64) {
		return x2 - head*math.Cos(a+turn), y2 - head*math.Sin(a+turn)
	}
	ax, ay := wing(0.5)
	bx, by := wing(-0.5)
	return fmt.Sprintf("M%.1f %.1fL%.1f %.1fM%.1f %.1fL%.1f %.1fL%.1f %.1f", x1, y1, x2, y2, ax, ay, x2, y2, bx, by)
}
