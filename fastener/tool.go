// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"
)

// ToolClass is a hand torque tool's type and class of ISO 6789-1.
type ToolClass struct {
	Type  string // "I" indicating, "II" setting
	Class string // I: A to E; II: A to G
}

// toolClasses says what each class is and whether its tolerance narrows from
// 6 % to 4 % above 10 N·m. ISO 6789-1:2017, clause 4 and 5.1.5, from memory,
// except the setting tool with scale (II A), read in a tool's manual that
// reviews the standard.
var toolClasses = map[ToolClass]struct {
	words   string
	narrows bool
}{
	{"I", "A"}:  {"wrench, torsion or flexion bar", false},
	{"I", "B"}:  {"wrench, rigid housing, with scale, dial or display", true},
	{"I", "C"}:  {"wrench, rigid housing, electronic measurement", true},
	{"I", "D"}:  {"screwdriver, with scale, dial or display", false},
	{"I", "E"}:  {"screwdriver, electronic measurement", true},
	{"II", "A"}: {"wrench, adjustable, with scale or display", true},
	{"II", "B"}: {"wrench, fixed setting", true},
	{"II", "C"}: {"wrench, adjustable, without scale", true},
	{"II", "D"}: {"screwdriver, adjustable, with scale or display", false},
	{"II", "E"}: {"screwdriver, fixed setting", false},
	{"II", "F"}: {"screwdriver, adjustable, without scale", false},
	{"II", "G"}: {"wrench, flexion bar, adjustable, with scale", false},
}

// ParseToolClass reads "II A", "type II class A", "2A" or "IIA".
func ParseToolClass(s string) (ToolClass, error) {
	t := strings.ToUpper(s)
	t = strings.NewReplacer("TYPE", "", "CLASS", "", " ", "", ",", "", "-", "").Replace(t)
	t = strings.NewReplacer("1", "I", "2", "II").Replace(t)
	class := strings.TrimLeft(t, "I")
	c := ToolClass{Type: t[:len(t)-len(class)], Class: class}
	if _, ok := toolClasses[c]; !ok {
		return ToolClass{}, fmt.Errorf("torque tool %q is no type and class of ISO 6789: I A to E (indicating) or II A to G (setting)", s)
	}
	return c, nil
}

// ToolClasses lists the types and classes of ISO 6789-1, indicating tools
// first.
func ToolClasses() []ToolClass {
	return slices.SortedFunc(maps.Keys(toolClasses), func(a, b ToolClass) int {
		return cmp.Or(strings.Compare(a.Type, b.Type), strings.Compare(a.Class, b.Class))
	})
}

func (c ToolClass) String() string { return "type " + c.Type + " class " + c.Class }

// Words says what kind of tool the class is.
func (c ToolClass) Words() string { return toolClasses[c].words }

// Tolerance returns the largest permissible deviation at a torque in N·m, as a
// fraction: 0.04 or 0.06 (6 % at or below 10 N·m, and above it for some
// classes).
//
// Source: ISO 6789-1:2017, 5.1.5 (see toolClasses).
func (c ToolClass) Tolerance(torqueNm float64) (float64, error) {
	k, ok := toolClasses[c]
	if !ok {
		return 0, fmt.Errorf("torque tool: %v is not in ISO 6789", c)
	}
	if err := above("torque", torqueNm, "N·m", "give the torque that the tool is set to"); err != nil {
		return 0, err
	}
	if k.narrows && torqueNm > 10 {
		return 0.04, nil
	}
	return 0.06, nil
}

// Default calibration interval of ISO 6789, unless the owner's own procedure
// sets another: whichever comes first (read in a tool maker's article on the
// 2003 edition).
const (
	CalibrationMonths = 12
	CalibrationCycles = 5000
)

// Tool is a torque tool of the register.
type Tool struct {
	Class      ToolClass
	MinNm      float64 // lower end of its range; 0: 20 % of MaxNm (ISO 6789-1, 5.1.3, from memory)
	MaxNm      float64
	Calibrated time.Time // day of the last calibration
	Cycles     int       // since then
	Months     int       // interval, 0: CalibrationMonths
	MaxCycles  int       // interval, 0: CalibrationCycles
}

// Range returns the torques in N·m that the tool answers for: MinNm, or a fifth
// of MaxNm where none is given, to MaxNm.
//
// Source: ISO 6789-1:2017, 5.1.3, from memory.
func (t Tool) Range() (low, high float64) {
	if t.MinNm == 0 {
		return 0.2 * t.MaxNm, t.MaxNm
	}
	return t.MinNm, t.MaxNm
}

// Objections returns why the tool can't answer for a torque in N·m used on a
// day: out of its range, or past its calibration by time or cycles. Nothing
// means that nothing stands against it.
func (t Tool) Objections(torqueNm float64, on time.Time) []string {
	var why []string
	if low, high := t.Range(); torqueNm < low || torqueNm > high {
		why = append(why, fmt.Sprintf("%.4g N·m is outside the tool's range of %.4g to %.4g N·m; use another tool", torqueNm, low, high))
	}
	months, cycles := orDefault(t.Months, CalibrationMonths), orDefault(t.MaxCycles, CalibrationCycles)
	if due := t.Calibrated.AddDate(0, months, 0); on.After(due) {
		why = append(why, fmt.Sprintf("its calibration of %s ran out on %s; have it calibrated", t.Calibrated.Format(time.DateOnly), due.Format(time.DateOnly)))
	}
	if t.Cycles > cycles {
		why = append(why, fmt.Sprintf("it has made %d cycles since its calibration, %d are allowed; have it calibrated", t.Cycles, cycles))
	}
	return why
}

func orDefault(n, def int) int {
	if n == 0 {
		return def
	}
	return n
}
