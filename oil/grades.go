// SPDX-License-Identifier: Apache-2.0

package oil

import (
	"fmt"
	"math"
	"strings"
)

// J300Edition names the edition that the table follows. Earlier editions differ:
// grade 20 began at 5.6 mm²/s, and 40 with 0W, 5W or 10W had 2.9 mPa·s.
const J300Edition = "SAE J300, 2015 and later (20 from 6.9 mm²/s; 0W-40, 5W-40, 10W-40 at 3.5 mPa·s)"

// Grade is what SAE J300 or ISO 3448 fixes for one grade.
type Grade struct {
	Name     string
	Standard string
	// Kinematic viscosity at 100 °C, mm²/s; Max is exclusive and +Inf if open.
	// Zero for an ISO VG grade.
	V100Min, V100Max float64
	// Kinematic viscosity at 40 °C, mm²/s, of an ISO VG grade; else zero.
	V40Min, V40Max float64
	HTHSMin        float64 // mPa·s at 150 °C and 10⁶ 1/s, the floor; 0 if none
	Winter         bool    // has a W part: a multigrade thins in the film
}

// hotGrade is a row of the 100 °C part of J300.
type hotGrade struct{ min, max, hths, hthsLight float64 }

// Source: SAE J300 as shown on oil suppliers' tables (grades 8, 16 to 60 seen;
// grade 12 from memory). hthsLight is for 0W, 5W and 10W.
var j300Hot = map[string]hotGrade{
	"8":  {4.0, 6.1, 1.7, 1.7},
	"12": {5.0, 7.1, 2.0, 2.0},
	"16": {6.1, 8.2, 2.3, 2.3},
	"20": {6.9, 9.3, 2.6, 2.6},
	"30": {9.3, 12.5, 2.9, 2.9},
	"40": {12.5, 16.3, 3.7, 3.5},
	"50": {16.3, 21.9, 3.7, 3.7},
	"60": {21.9, 26.1, 3.7, 3.7},
}

// Least kinematic viscosity at 100 °C of the W grades. Source: as j300Hot.
var j300Winter = map[string]float64{
	"0W": 3.8, "5W": 3.8, "10W": 4.1, "15W": 5.6, "20W": 5.6, "25W": 9.3,
}

// Midpoints of ISO 3448; the limits are ±10 %. Source: ISO 3448 as shown on
// suppliers' tables (2 to 1000 seen, above from memory).
var isoVG = map[int]float64{
	2: 2.2, 3: 3.2, 5: 4.6, 7: 6.8, 10: 10, 15: 15, 22: 22, 32: 32, 46: 46, 68: 68,
	100: 100, 150: 150, 220: 220, 320: 320, 460: 460, 680: 680, 1000: 1000,
	1500: 1500, 2200: 2200, 3200: 3200,
}

// ParseGrade reads an engine-oil grade ("5W-40", "SAE 30", "10W") or an
// industrial one ("VG 46"). Case, spaces and a leading SAE or ISO are ignored.
//
// It returns an error that names what was read and what is known.
func ParseGrade(name string) (Grade, error) {
	s := strings.ToUpper(strings.Join(strings.Fields(name), ""))
	if rest, ok := strings.CutPrefix(strings.TrimPrefix(s, "ISO"), "VG"); ok {
		return vgGrade(name, strings.TrimPrefix(rest, "-"))
	}
	s = strings.TrimPrefix(s, "SAE")
	winter, hot, both := strings.Cut(s, "-")
	if !both {
		if strings.HasSuffix(s, "W") {
			hot = ""
		} else if i := strings.Index(s, "W"); i > 0 { // "5W40"
			winter, hot = s[:i+1], s[i+1:]
		} else {
			winter, hot = "", s
		}
	}
	g := Grade{Standard: J300Edition, V100Max: math.Inf(1)}
	if winter != "" {
		least, ok := j300Winter[winter]
		if !ok {
			return Grade{}, unknownGrade(name)
		}
		g.Winter, g.V100Min, g.Name = true, least, winter
	}
	if hot != "" {
		row, ok := j300Hot[hot]
		if !ok {
			return Grade{}, unknownGrade(name)
		}
		g.V100Min, g.V100Max, g.HTHSMin = math.Max(row.min, g.V100Min), row.max, row.hths
		if winter == "0W" || winter == "5W" || winter == "10W" {
			g.HTHSMin = row.hthsLight
		}
		g.Name = strings.TrimPrefix(winter+"-"+hot, "-")
		if !(g.V100Min < g.V100Max) {
			return Grade{}, fmt.Errorf("grade %q: %s needs at least %g mm²/s at 100 °C and %s less than %g; no oil can be both", name, winter, g.V100Min, hot, g.V100Max)
		}
	}
	if g.Name == "" {
		return Grade{}, unknownGrade(name)
	}
	return g, nil
}

func vgGrade(name, number string) (Grade, error) {
	var n int
	if _, err := fmt.Sscanf(number, "%d", &n); err != nil || fmt.Sprint(n) != number {
		return Grade{}, unknownGrade(name)
	}
	mid, ok := isoVG[n]
	if !ok {
		return Grade{}, unknownGrade(name)
	}
	return Grade{Name: fmt.Sprintf("VG %d", n), Standard: "ISO 3448", V40Min: 0.9 * mid, V40Max: 1.1 * mid}, nil
}

func unknownGrade(name string) error {
	return fmt.Errorf("grade %q is not known; write an SAE J300 grade such as 5W-40 or 30 (winter 0W to 25W; hot 8, 12, 16, 20, 30, 40, 50, 60) or an ISO 3448 grade such as VG 46", name)
}
