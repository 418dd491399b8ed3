// SPDX-License-Identifier: Apache-2.0

package engine

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
)

// Load reads a sheet. The name is for messages only. The error is a
// *[Problems] with everything that was found wrong; what may be used but
// deserves a look comes from [Sheet.Warnings].
func Load(name string, data []byte) (sheet *Sheet, err error) {
	d := &decoder{file: name, at: map[string]place{}}
	defer func() {
		// The YAML library has been seen to panic on broken text.
		if r := recover(); r != nil {
			d.problem(place{1, 1}, fmt.Sprintf("this is not YAML: %v", r), "look at the indentation and the quotes")
			sheet, err = nil, d.err()
		}
	}()
	s := &Sheet{raw: slices.Clone(data), Hash: HashOf(data)}
	if root := d.parse(data); root != nil {
		d.decode(reflect.ValueOf(s).Elem(), root, "", Basis{})
		d.check(s)
	}
	if err := d.err(); err != nil {
		return nil, err
	}
	slices.SortStableFunc(s.Layout.Positions, func(a, b Position) int { return a.Number - b.Number })
	s.refs, s.warnings = d.refs, sorted(d.warnings)
	return s, nil
}

func (d *decoder) err() error {
	if len(d.problems) == 0 {
		return nil
	}
	return &Problems{sorted(d.problems)}
}

func sorted(list []Problem) []Problem {
	slices.SortStableFunc(list, func(a, b Problem) int {
		return cmp.Or(a.Line-b.Line, a.Column-b.Column)
	})
	return list
}
