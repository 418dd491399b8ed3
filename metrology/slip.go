// SPDX-License-Identifier: Apache-2.0

package metrology

// Slip is a likely slip of unit or decimal mark in a reading.
type Slip string

const (
	NoSlip         Slip = ""
	SlipInch       Slip = "inch"            // typed in inches, taken as mm
	SlipThou       Slip = "thou"            // typed in thousandths of an inch
	SlipMicrometre Slip = "µm"              // typed in micrometres
	SlipMetre      Slip = "m"               // typed in metres
	SlipTenUp      Slip = "ten times large" // decimal mark one place off
	SlipTenDown    Slip = "ten times small"
)

// slips in the order in which they are tried: units before decimal marks.
var slips = []struct {
	slip   Slip
	factor float64
}{
	{SlipInch, 25.4}, {SlipMicrometre, 1e-3}, {SlipThou, 0.0254}, {SlipMetre, 1e3}, {SlipTenUp, 0.1}, {SlipTenDown, 10},
}

// FindSlip says what slip would explain a length (mm) that lies outside what is
// plausible, and what it would be then (mm). plausible is a range that only a
// mistake can leave, not the limits of a decision. NoSlip and the value itself
// when it is plausible or nothing explains it.
func FindSlip(value float64, plausible Limits) (Slip, float64) {
	inside := func(x float64) bool { return x >= plausible.Min && x <= plausible.Max }
	if inside(value) {
		return NoSlip, value
	}
	for _, s := range slips {
		if meant := value * s.factor; inside(meant) {
			return s.slip, meant
		}
	}
	return NoSlip, value
}
