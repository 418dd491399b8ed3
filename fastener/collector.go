// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"fmt"
	"math"
	"sort"
	"strings"
)

// collector gathers one fastener's rows into points.
type collector struct {
	name      string
	points    []gathered
	high, top float64 // greatest angle and torque so far
	passed    int     // rows read over on the way back for a new bite
}

// gathered is a point in the making.
type gathered struct {
	cell                         int32 // angle over pointWidth
	rows, angle, torque, squares float64
}

// add takes in a row; rows come by rising angle, give or take backTolerance.
func (c *collector) add(angle, torque float64) error {
	n := len(c.points)
	if n > 0 && angle <= c.high {
		if torque < c.top/2 {
			if angle < c.high-backTolerance {
				c.passed++
			}
			return nil // the wrench swings back for a new bite
		}
		if angle < c.high-backTolerance {
			return fmt.Errorf("fastener %q: the angle goes back from %.6g° to %.6g°; give two fasteners two names, or cut the loosening out", c.name, c.high, angle)
		}
	}
	if n == 0 || angle > c.high {
		c.high = angle
	}
	c.top = math.Max(c.top, torque)
	p := c.point(int32(math.Floor(angle / pointWidth)))
	p.rows++
	p.angle += angle
	p.torque += torque
	p.squares += torque * torque
	return nil
}

// point returns the point of a cell, which is nearly always the last.
func (c *collector) point(cell int32) *gathered {
	n := len(c.points)
	if n > 0 && c.points[n-1].cell == cell {
		return &c.points[n-1]
	}
	if n == 0 || cell > c.points[n-1].cell {
		c.points = append(c.points, gathered{cell: cell})
		return &c.points[n]
	}
	i := sort.Search(n, func(i int) bool { return c.points[i].cell >= cell })
	if c.points[i].cell != cell {
		c.points = append(c.points, gathered{})
		copy(c.points[i+1:], c.points[i:])
		c.points[i] = gathered{cell: cell}
	}
	return &c.points[i]
}

func (c *collector) trace() Trace {
	t := Trace{Fastener: strings.ToValidUTF8(c.name, "\ufffd"), Points: make([]TracePoint, len(c.points))}
	for i, g := range c.points {
		t.Points[i] = TracePoint{Angle: g.angle / g.rows, Torque: g.torque / g.rows, Rows: g.rows, squares: g.squares}
	}
	return t
}
