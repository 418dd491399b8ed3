// SPDX-License-Identifier: Apache-2.0

package engine

import (
	"fmt"
	"regexp"
	"strconv"
)

// Thread is the thread of a fastener as the sheet writes it: "M9x1", "M10"
// (coarse) or "3/8-24 UNF". What its sizes are is for package fastener.
type Thread string

var (
	metricThread = regexp.MustCompile(`^M([1-9][0-9]?(?:\.[0-9]{1,2})?)(?:x([0-9](?:\.[0-9]{1,3})?))?$`)
	inchThread   = regexp.MustCompile(`^(?:[1-9]/(?:2|4|8|16)|1[135]/16|#(?:[0-9]|1[02])|1)-([1-8][0-9]?) UN[CF]$`)
)

// UnmarshalText reads a thread. It takes a pitch that no standard lists, but
// not one that could not be cut.
func (t *Thread) UnmarshalText(text []byte) error {
	s := string(text)
	bad := fmt.Errorf("%q is not a thread; write it like M9x1, M10 or 3/8-24 UNF", s)
	m := metricThread.FindStringSubmatch(s)
	if m == nil && !inchThread.MatchString(s) {
		return bad
	}
	if m != nil && m[2] != "" {
		d, err1 := strconv.ParseFloat(m[1], 64)
		p, err2 := strconv.ParseFloat(m[2], 64)
		if err1 != nil || err2 != nil || p < 0.2 || p > d/3 {
			return fmt.Errorf("%q cannot be: the pitch does not suit the diameter; write diameter x pitch in mm, like M9x1", s)
		}
	}
	*t = Thread(s)
	return nil
}

// UnmarshalText reads "single", "reusable" or a number of uses such as "3
// uses".
func (u *Use) UnmarshalText(text []byte) error {
	switch s := string(text); s {
	case SingleUse:
		*u = Use{SingleUse, 1}
	case Reusable:
		*u = Use{Reusable, 0}
	default:
		var n int
		var word string
		if k, _ := fmt.Sscanf(s, "%d %s", &n, &word); k != 2 || word != "uses" || n < 2 || n > 99 {
			return fmt.Errorf("%q is not a use; write single, reusable, or a number such as 3 uses", s)
		}
		*u = Use{LimitedUse, n}
	}
	return nil
}

func (u Use) String() string {
	switch u.Kind {
	case SingleUse:
		return "single use"
	case LimitedUse:
		return strconv.Itoa(u.Times) + " uses"
	}
	return u.Kind
}
