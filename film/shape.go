// SPDX-License-Identifier: Apache-2.0

package film

// Shape is the measured departure of journal and bore from two aligned
// cylinders, in metres. Ovality is the greatest less the least diameter, taper
// the diameter at the front less that at the rear, barrel the diameter at the
// middle less the mean of the ends. The clearance of [Bearing] is the mean one.
type Shape struct {
	BoreOvality      float64
	BoreOvalityAngle float64 // rad, where the bore is widest, in the bearing's frame
	JournalOvality   float64
	JournalOvalityAt float64 // rad, where the journal is thickest, from the bearing's x at crank angle 0
	JournalTaper     float64
	JournalBarrel    float64
	TiltX, TiltY     float64 // m, the journal's centre at the front end less at the rear
	BoreTaper        float64
}

func (s Shape) zero() bool { return s == Shape{} }
