// SPDX-License-Identifier: Apache-2.0

package engine

import (
	"fmt"
	"strconv"
)

// maxPositions is the most that a crankshaft has here.
const maxPositions = 16

func (d *decoder) checkLayout(l Layout) {
	d.oneOf("layout.kind", string(l.Kind), string(Inline), string(Vee), string(Flat))
	d.oneOf("layout.rotation", l.Rotation, "clockwise", "anticlockwise")
	if n := len(l.Positions); n > maxPositions || n == 0 && d.has("layout.positions") {
		d.problemAt("layout.positions", fmt.Sprintf("there are %d positions", n), "write 1 to 16")
	}
	before := len(d.problems)
	d.checkNumbers(l.Positions)
	if len(d.problems) == before && !d.broken("layout.positions") {
		d.checkOrders(l) // else they would be reported for the same slip
	}
	d.checkThrows(l)
}

func positionPath(p Position, key string) string {
	return "layout.positions." + strconv.Itoa(p.Number) + "." + key
}

// checkNumbers wants the numbers 1 to n and every cylinder once.
func (d *decoder) checkNumbers(ps []Position) {
	cylinders := map[string]int{}
	for _, p := range ps {
		if p.Number < 1 || p.Number > len(ps) {
			d.problemAt(positionPath(p, "number"), fmt.Sprintf("position %d is not from 1 to %d, as many as there are", p.Number, len(ps)),
				"number them from the front without a gap")
		}
		if n, taken := cylinders[p.Cylinder]; taken && p.Cylinder != "" {
			d.problemAt(positionPath(p, "cylinder"), fmt.Sprintf("cylinder %s is at position %d already", p.Cylinder, n),
				"give every position its own cylinder")
		}
		cylinders[p.Cylinder] = p.Number
	}
}

// checkThrows wants throws 1 to k from the front, and one angle on each.
func (d *decoder) checkThrows(l Layout) {
	first := map[int]Position{}
	most, before := 0, 0
	for _, p := range l.Positions {
		most = max(most, p.Throw)
		if p.Throw < 1 || p.Throw > maxPositions {
			d.problemAt(positionPath(p, "throw"), fmt.Sprintf("throw is %d", p.Throw), "count the throws from 1 at the front")
			return
		}
		if p.Throw < before {
			d.problemAt(positionPath(p, "throw"), fmt.Sprintf("position %d is on throw %d, behind throw %d", p.Number, p.Throw, before),
				"write the positions from the front; throws count from the front too")
		}
		before = max(before, p.Throw)
		if !(p.Angle >= 0 && p.Angle < 360) {
			d.problemAt(positionPath(p, "angle"), fmt.Sprintf("angle is %v", p.Angle), "write 0° to below 360°")
		}
		q, shared := first[p.Throw]
		switch {
		case !shared:
			first[p.Throw] = p
		case l.Kind == Inline:
			d.problemAt(positionPath(p, "throw"), fmt.Sprintf("positions %d and %d share throw %d, but the layout is inline", q.Number, p.Number, p.Throw),
				"give every position its own throw")
		case q.Angle != p.Angle:
			d.problemAt(positionPath(p, "angle"), fmt.Sprintf("positions %d and %d share throw %d but stand at %v and %v", q.Number, p.Number, p.Throw, q.Angle, p.Angle),
				"write one angle, or two throws if the pins are apart")
		}
	}
	for n := 1; n <= most; n++ {
		if _, ok := first[n]; !ok {
			d.problemAt("layout.positions", fmt.Sprintf("no position is on throw %d, but there is a throw %d", n, most),
				"count the throws from 1 without a gap")
			return
		}
	}
	if p, ok := first[1]; ok && p.Angle != 0 {
		d.problemAt(positionPath(p, "angle"), fmt.Sprintf("throw 1 stands at %v", p.Angle), "write 0°: the other angles count from throw 1")
	}
}

func (d *decoder) checkOrders(l Layout) {
	var numbers []int
	var cylinders []string
	for _, p := range l.Positions {
		numbers = append(numbers, p.Number)
		cylinders = append(cylinders, p.Cylinder)
	}
	if len(l.AccessOrder) > 0 && !arrangement(l.AccessOrder, numbers) {
		d.problemAt("layout.access_order", "access_order does not have every position once", "write each position number once, or leave it out")
	}
	if len(l.FiringOrder) > 0 && !arrangement(l.FiringOrder, cylinders) {
		d.problemAt("layout.firing_order", "firing_order does not have every cylinder once", "write each of the maker's cylinders once, or leave it out")
	}
}
