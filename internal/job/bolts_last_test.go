// SPDX-License-Identifier: Apache-2.0

package job

import (
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

// What is on a bolt now, and what was on last, are the ends of the list of all
// its tightenings.
func TestLastTightening(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := &Bolt{}
		seq := int64(0)
		for range rapid.IntRange(0, 12).Draw(t, "stages") {
			seq += rapid.Int64Range(1, 3).Draw(t, "step")
			b.Stages = append(b.Stages, Tightened{At: At{Seq: seq}, Loosened: rapid.IntRange(0, 3).Draw(t, "loosened") == 0,
				Tightening: rapid.SampledFrom([]string{Measuring, Final}).Draw(t, "tightening"), Set: rapid.SampledFrom([]string{"M1", "N1"}).Draw(t, "set")})
		}
		upTo := rapid.Int64Range(0, seq+1).Draw(t, "up to")
		all := b.tightenings(upTo)
		var last tightening
		for _, one := range all {
			if one.kind != "" {
				last = one
			}
		}
		if got := b.current(upTo); !reflect.DeepEqual(got, all[len(all)-1]) {
			t.Errorf("on now: %v, of %v", got, all)
		}
		if got := b.lastOn(upTo); !reflect.DeepEqual(got, last) {
			t.Errorf("on last: %v, of %v", got, all)
		}
	})
}
