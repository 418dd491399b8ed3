// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"witnessmark/engine"
	"witnessmark/fastener"
	"witnessmark/units"
)

// TorqueTool is what the register knows of a torque tool beside its range,
// after ISO 6789, and of an angle gauge.
type TorqueTool struct {
	// ISO6789 is its type and class, such as "II A". It says the tolerance.
	ISO6789 string `json:"iso_6789,omitempty"`
	// MaxCycles is after how many cycles it is calibrated again; 0: 5000.
	MaxCycles int `json:"calibration_cycles,omitempty"`
	// AngleTolerance is ± about an angle.
	AngleTolerance *units.Read `json:"angle_tolerance,omitempty"`
}

func (t TorqueTool) checkTorque() error {
	if t.ISO6789 != "" {
		if _, err := fastener.ParseToolClass(t.ISO6789); err != nil {
			return err
		}
	}
	if t.MaxCycles < 0 || t.MaxCycles > 1_000_000 {
		return fmt.Errorf("calibration after %d cycles: write a number above zero, such as 5000", t.MaxCycles)
	}
	return checkKind("angle tolerance", t.AngleTolerance, units.KindAngle)
}

func (t TorqueTool) extra() []string {
	var out []string
	if class, err := fastener.ParseToolClass(t.ISO6789); t.ISO6789 != "" && err == nil {
		out = append(out, "ISO 6789 "+class.String()+" ("+class.Words()+")")
	}
	if t.MaxCycles > 0 {
		out = append(out, "calibrated every "+strconv.Itoa(t.MaxCycles)+" cycles")
	}
	if t.AngleTolerance != nil {
		out = append(out, "angle ±"+readText(*t.AngleTolerance))
	}
	return out
}

// ToolCounted is what a torque tool's counter showed: cycles since its last
// calibration.
type ToolCounted struct {
	Date   string `json:"date"`
	Cycles int    `json:"cycles"`
}

func (b *ToolCounted) check() error {
	if b.Cycles < 0 || b.Cycles > 10_000_000 {
		return fmt.Errorf("%d cycles: write what the counter shows, at least 0", b.Cycles)
	}
	return checkDate("date", b.Date)
}

func (b *ToolCounted) apply(*State, At) {}

func (b *ToolCounted) words(PositionNamer) string {
	return "Counted " + b.Date + ": " + count(b.Cycles, "cycle", "cycles") + " since its calibration."
}

// allowedCycles is how many cycles a calibration holds.
func (t Tool) allowedCycles() int {
	if t.MaxCycles > 0 {
		return t.MaxCycles
	}
	return fastener.CalibrationCycles
}

// wornOut reports whether the tool was past its cycles on a day: counted
// before or on it and not calibrated since.
func (t Tool) wornOut(day string) bool {
	for _, c := range t.Counts {
		if c.Body.Cycles <= t.allowedCycles() || c.Body.Date > day {
			continue
		}
		if !slices.ContainsFunc(t.Calibrations, func(k Noted[ToolCalibrated]) bool {
			return k.Body.Date <= day && (k.Body.Date > c.Body.Date || k.Body.Date == c.Body.Date && k.At.Seq > c.At.Seq)
		}) {
			return true
		}
	}
	return false
}

// torqueRange is the range of a torque tool in N·m; ok is false when the
// register does not say it.
func (t Tool) torqueRange() (low, high float64, ok bool) {
	if t.High == nil || t.High.Kind != units.KindTorque {
		return 0, 0, false
	}
	r := fastener.Tool{MaxNm: t.High.Value}
	if t.Low != nil && t.Low.Kind == units.KindTorque {
		r.MinNm = t.Low.Value
	}
	low, high = r.Range()
	return low, high, true
}

// toolRanges looks for stages by torque that lie outside the range of the tool
// that they were done with.
func (a *assessor) toolRanges() {
	if a.b.Sheet == nil {
		return
	}
	type outside struct {
		items []string
		rests []int64
	}
	found := map[string]outside{}
	for k, b := range a.s.Bolts {
		f, ok := a.b.Sheet.Fastener(k.Fastener)
		if !ok {
			continue
		}
		for _, t := range b.current(math.MaxInt64).stages {
			st, _ := f.Stage(t.Stage)
			low, high, ok := a.b.Tools[t.Tool].torqueRange()
			torque := torqueOf(st, t)
			if !ok || torque == 0 || torque >= low && torque <= high {
				continue
			}
			o := found[t.Tool]
			o.items = append(o.items, fmt.Sprintf("%s at %s, its range is %.4g to %.4g N·m", strings.ToLower(f.Title), st.Torque, low, high))
			o.rests = append(o.rests, t.At.Seq)
			found[t.Tool] = o
		}
	}
	for _, id := range sortedKeys(found) {
		o := found[id]
		slices.Sort(o.items)
		a.add(Obstacle{Code: ToolRange, Check: CloseUp, Of: id, Title: a.b.Tools[id].Title, Items: slices.Compact(o.items), Others: a.touched(o.rests), RestsOn: o.rests})
	}
}

// torqueOf is the torque of a stage as it was done, 0 where it has none.
func torqueOf(st engine.Stage, t Tightened) float64 {
	if !st.Torque.Given() {
		return 0
	}
	if t.Value != nil && t.Value.Kind == units.KindTorque {
		return t.Value.Value
	}
	x, _ := st.Torque.Target()
	return x
}
