// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// System is the family a thread belongs to.
type System int

const (
	// Metric is the ISO metric screw thread, M, of ISO 261 and ISO 724.
	Metric System = iota
	// Unified is the inch thread, UN, UNC, UNF, of ASME B1.1.
	Unified
)

// Thread is one external screw thread, by its basic sizes.
type Thread struct {
	Name     string  // as designated, such as M9x1 or 3/8-24 UNF
	System   System  //
	Diameter float64 // nominal d, mm
	Pitch    float64 // P, mm
	// Listed is false when the pitch was given in full and is not in the list
	// of ISO 261 (metric) or not one of UNC and UNF (unified).
	Listed bool
}

const mmPerInch = 25.4

// Basic profile: H = P·√3/2; the constants below are 3/4·H, 17/12·H, 5/4·H and,
// for unified threads, 3/2·H, each over P.
const (
	pitchDepth   = 0.6495190528 // d − d2 = 3/4·H (ISO 724)
	coreDepth    = 1.226869322  // d − d3 = 17/12·H (ISO 724, ISO 898-1)
	minorDepth   = 1.0825317547 // d − d1 = 5/4·H (ISO 724)
	unifiedDepth = 1.2990381057 // d − d3 = 3/2·H, which gives the 0.9743/n of ASME B1.1
)

// PitchDiameter returns d2 in mm: d − 0.6495·P (ISO 724).
func (t Thread) PitchDiameter() float64 { return t.Diameter - pitchDepth*t.Pitch }

// CoreDiameter returns d3 in mm, the diameter at the root of the bolt's thread:
// d − 1.2269·P (ISO 898-1); for unified threads d − 1.2990·P, so that
// (d2+d3)/2 is D − 0.9743/n (ASME B1.1, from memory).
func (t Thread) CoreDiameter() float64 {
	if t.System == Unified {
		return t.Diameter - unifiedDepth*t.Pitch
	}
	return t.Diameter - coreDepth*t.Pitch
}

// MinorDiameter returns d1 in mm, the basic minor diameter of the nut: d −
// 1.0825·P (ISO 724).
func (t Thread) MinorDiameter() float64 { return t.Diameter - minorDepth*t.Pitch }

// StressDiameter returns (d2+d3)/2 in mm, the diameter of the stress area.
func (t Thread) StressDiameter() float64 { return (t.PitchDiameter() + t.CoreDiameter()) / 2 }

// StressArea returns A_s in mm²: π/4·((d2+d3)/2)² (ISO 898-1, 9.1.6.1).
func (t Thread) StressArea() float64 { return circleArea(t.StressDiameter()) }

// CoreArea returns the area in mm² at the root diameter d3.
func (t Thread) CoreArea() float64 { return circleArea(t.CoreDiameter()) }

func circleArea(d float64) float64 { return math.Pi / 4 * d * d }

// Check returns an error unless the sizes make a thread: a finite diameter
// from 1 to 1000 mm, and a pitch of at least 0.1 mm that leaves a core of at
// least half the diameter (the coarsest ISO 261 pitch, M1's, leaves 0.69).
func (t Thread) Check() error {
	const advice = "check the designation, such as M10, M9x1 or 3/8-24"
	what := "thread " + strings.TrimSpace(t.Name)
	err := within(what+": diameter", t.Diameter, 1, 1000, "mm", advice)
	if err == nil {
		err = within(what+": pitch", t.Pitch, 0.1, t.Diameter/2/coreDepth, "mm", advice)
	}
	return err
}

// ParseThread reads a thread's designation: metric with or without pitch
// (M10, M9x1, M9×1, "M 9 x 1,25"; a tolerance class such as -6g after it is
// read over), or unified (3/8-24, 3/8-24 UNF, 3/8 UNF, #10-32, 0.375-24).
//
// A metric size without pitch must be one of ISO 261, whose coarse pitch it
// then has. A pitch given in full that the list doesn't have is accepted, with
// Listed false.
//
// It returns an error that shows what was entered if the text is no
// designation or the thread cannot be (see [Thread.Check]).
//
// Source: ISO 261 and ASME B1.1 tables, from memory.
func ParseThread(s string) (Thread, error) {
	text := strings.Join(strings.Fields(s), " ")
	if len(text) > 40 {
		return Thread{}, fmt.Errorf("thread: %d characters are too many for a designation such as M9x1", len(text))
	}
	var t Thread
	var err error
	if rest, ok := cutMetric(text); ok {
		t, err = parseMetric(rest)
	} else {
		t, err = parseUnified(text)
	}
	if err != nil {
		return Thread{}, fmt.Errorf("thread %q: %w", s, err)
	}
	return t, t.Check()
}

func cutMetric(s string) (string, bool) {
	if s != "" && (s[0] == 'M' || s[0] == 'm') {
		return s[1:], true
	}
	return s, false
}

func parseMetric(s string) (Thread, error) {
	s = strings.NewReplacer(" ", "", "×", "x", "X", "x", "*", "x", ",", ".").Replace(s)
	s = cutTolerance(s)
	size, pitch, full := strings.Cut(s, "x")
	d, err := decimal(size)
	if err != nil {
		return Thread{}, err
	}
	row := iso261[d]
	t := Thread{System: Metric, Diameter: d, Listed: true}
	if !full {
		if len(row) == 0 || row[0] == 0 {
			return Thread{}, fmt.Errorf("ISO 261 has no coarse pitch for M%s; give the pitch in full, such as M%sx1", trim(d), trim(d))
		}
		t.Pitch = row[0]
		t.Name = "M" + trim(d)
		return t, nil
	}
	if t.Pitch, err = decimal(pitch); err != nil {
		return Thread{}, err
	}
	t.Name = "M" + trim(d) + "x" + trim(t.Pitch)
	t.Listed = false
	for _, p := range row {
		t.Listed = t.Listed || p == t.Pitch && p > 0
	}
	return t, nil
}

// toleranceClass is a class such as -6g, -5g6g or -6H/6g after a designation.
var toleranceClass = regexp.MustCompile(`-([3-9][eghEGH]){1,2}(/([3-9][eghEGH]){1,2})?$`)

func cutTolerance(s string) string { return toleranceClass.ReplaceAllString(s, "") }

func parseUnified(s string) (Thread, error) {
	s = strings.ToUpper(s)
	series := ""
	for _, suffix := range []string{"UNEF", "UNRF", "UNRC", "UNF", "UNC", "UNS", "UN"} {
		if rest, ok := strings.CutSuffix(s, suffix); ok {
			s, series = strings.TrimRight(rest, " -"), strings.Replace(suffix, "UNR", "UN", 1)
			break
		}
	}
	size, count, full := cutLast(s, "-")
	size = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(size), `"`))
	inches, err := unifiedSize(size)
	if err != nil {
		return Thread{}, err
	}
	row := unified[math.Round(inches*1e4)]
	n, err := threadsPerInch(row, series, strings.TrimSpace(count), full)
	if err != nil {
		return Thread{}, err
	}
	t := Thread{System: Unified, Diameter: inches * mmPerInch, Pitch: mmPerInch / n}
	t.Name = size + "-" + trim(n)
	switch n {
	case row.fine:
		t.Name, t.Listed = t.Name+" UNF", true
	case row.coarse:
		t.Name, t.Listed = t.Name+" UNC", true
	}
	return t, nil
}

func cutLast(s, sep string) (before, after string, found bool) {
	if i := strings.LastIndex(s, sep); i >= 0 {
		return s[:i], s[i+len(sep):], true
	}
	return s, "", false
}

func threadsPerInch(row unifiedRow, series, count string, full bool) (float64, error) {
	listed := map[string]float64{"UNC": row.coarse, "UNF": row.fine}[series]
	if !full {
		if listed == 0 {
			return 0, fmt.Errorf("give the threads per inch, such as 3/8-24")
		}
		return listed, nil
	}
	n, err := decimal(count)
	if err != nil {
		return 0, err
	}
	if n <= 0 {
		return 0, fmt.Errorf("%s threads per inch cannot be", count)
	}
	if listed != 0 && listed != n {
		return 0, fmt.Errorf("%s has %s threads per inch here, not %s; leave one of the two out", series, trim(listed), count)
	}
	return n, nil
}

// unifiedSize reads 3/8, 1 1/8, #10, 10 (a number size) or 0.375 as inches.
func unifiedSize(s string) (float64, error) {
	if number, ok := strings.CutPrefix(s, "#"); ok || isNumberSize(s) {
		n, err := strconv.Atoi(number)
		if err != nil || n < 0 || n > 12 {
			return 0, fmt.Errorf("number size %q is not one of #0 to #12", s)
		}
		return 0.060 + 0.013*float64(n), nil // ASME B1.1
	}
	whole, frac, mixed := strings.Cut(s, " ")
	if !mixed {
		whole, frac = "0", s
	}
	num, den, isFrac := strings.Cut(frac, "/")
	if !isFrac {
		if mixed {
			return 0, fmt.Errorf("%q is no size such as 3/8 or M10", s)
		}
		return decimal(s)
	}
	w, err1 := strconv.Atoi(whole)
	a, err2 := strconv.Atoi(num)
	b, err3 := strconv.Atoi(den)
	if err1 != nil || err2 != nil || err3 != nil || w < 0 || a <= 0 || b <= 0 || a >= b {
		return 0, fmt.Errorf("%q is no size such as 3/8 or M10", s)
	}
	return float64(w) + float64(a)/float64(b), nil
}

// isNumberSize: a bare whole number from 2 to 12 is a number size; 0 and 1 are
// too, but "1" means one inch in 1-8 and 1-12, so it needs its # sign.
func isNumberSize(s string) bool {
	n, err := strconv.Atoi(s)
	return err == nil && n >= 2 && n <= 12 && !strings.ContainsAny(s, "+-")
}

// decimal reads a plain positive decimal number: digits and one point.
func decimal(s string) (float64, error) {
	if s == "" || strings.Trim(s, "0123456789.") != "" {
		return 0, fmt.Errorf("%q is no number; write it like M9x1, M10 or 3/8-24", s)
	}
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return 0, fmt.Errorf("%q is no number; write it like M9x1, M10 or 3/8-24", s)
	}
	return x, nil
}

func trim(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
