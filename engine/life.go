// SPDX-License-Identifier: Apache-2.0

package engine

import (
	"fmt"

	"witnessmark/units"
)

// Life is how long something lasts by distance: the shape and the
// characteristic life of a Weibull distribution, or the distances that a tenth
// and a half do not reach.
type Life struct {
	Of             string                `yaml:"of,required"` // id of work of the access plan
	Shape          Value[Number]         `yaml:"shape"`
	Characteristic Value[units.Distance] `yaml:"characteristic"` // 63.2 % do not reach it
	B10            Value[units.Distance] `yaml:"b10"`
	B50            Value[units.Distance] `yaml:"b50"`
	Assumed        bool                  `yaml:"assumed"` // somebody's guess
	Basis          `yaml:"-"`
}

// LifeOf returns the life figures of something, such as the work that renews
// it.
func (s *Sheet) LifeOf(id string) (Life, bool) {
	for _, l := range s.Lives {
		if l.Of == id {
			return l, true
		}
	}
	return Life{}, false
}

func (d *decoder) checkLives(lives []Life) {
	seen := map[string]bool{}
	for i, l := range lives {
		at := fmt.Sprintf("life.%d", i+1)
		if seen[l.Of] {
			d.problemAt(at+".of", fmt.Sprintf("the life of %q is here twice", l.Of), "keep one of them")
		}
		seen[l.Of] = true
		positive(d, l.Shape)
		positive(d, l.Characteristic, l.B10, l.B50)
		weibull, quantiles := l.Shape.Given() && l.Characteristic.Given(), l.B10.Given() && l.B50.Given()
		some := (l.Shape.Given() || l.Characteristic.Given()) && (l.B10.Given() || l.B50.Given())
		switch {
		case some, !weibull && !quantiles && !d.broken(at):
			d.problemAt(at, fmt.Sprintf("the life of %q is neither shape and characteristic nor b10 and b50", l.Of), "write one pair, as the source gives it")
		case quantiles && l.B10.V >= l.B50.V:
			d.problemAt(l.B50.Path, fmt.Sprintf("b50, %s, is not above b10, %s", l.B50, l.B10), "correct one of them")
		}
	}
}
