// SPDX-License-Identifier: Apache-2.0

package job

import (
	"reflect"
	"slices"

	"witnessmark/record"
)

// Folding is the fold of a log that goes on as the log grows: it takes in what
// is new and nothing twice. Its states are those of [Fold]. It is for one
// goroutine at a time; the states that it gave out are for any.
type Folding struct {
	state State // never given out: a later entry changes it in place
	taken int
	last  string // id of the last entry taken
}

// Fold returns the state of a whole log. If it begins with the log of the call
// before, only the rest is folded, unless a correction is among it: that acts
// on what came before.
func (f *Folding) Fold(log []record.Entry) State {
	taken := f.taken
	f.taken = 0 // until it is done
	if taken == 0 || taken > len(log) || log[taken-1].ID != f.last {
		f.state = Fold(log)
	} else if more := log[taken:]; len(more) > 0 {
		if bodies := decodeAll(more); slices.ContainsFunc(bodies, isCorrection) {
			f.state = Fold(log)
		} else {
			f.state.take(more, bodies)
		}
	}
	if f.taken = len(log); f.taken > 0 {
		f.last = log[f.taken-1].ID
	}
	return f.state.apart()
}

func isCorrection(b Body) bool {
	_, ok := b.(*Correction)
	return ok
}

// apart is the state with nothing in it that a later entry would change: maps
// and what they point to are its own, and lists grow into memory of their own.
// Bodies are shared: nothing ever changes one. It goes over whatever fields
// there are, so that a new one is not forgotten.
func (s *State) apart() State {
	out := *s
	apartFields(reflect.ValueOf(&out).Elem())
	// A later entry answers one of these, or adds to it.
	out.Notes, out.Changes, out.Lengths = slices.Clone(s.Notes), slices.Clone(s.Changes), slices.Clone(s.Lengths)
	for i := range out.Lengths {
		out.Lengths[i].Entries = slices.Clip(out.Lengths[i].Entries)
	}
	return out
}

func apartFields(v reflect.Value) {
	for i := range v.NumField() {
		switch f := v.Field(i); f.Kind() {
		case reflect.Slice:
			if n := f.Len(); f.Cap() > n {
				f.Set(f.Slice3(0, n, n))
			}
		case reflect.Map:
			if !f.IsNil() {
				f.Set(apartMap(f))
			}
		}
	}
}

// apartMap copies a map with what its values point to.
func apartMap(m reflect.Value) reflect.Value {
	out := reflect.MakeMapWithSize(m.Type(), m.Len())
	for all := m.MapRange(); all.Next(); {
		v := all.Value()
		switch v.Kind() {
		case reflect.Pointer:
			own := reflect.New(v.Type().Elem())
			own.Elem().Set(v.Elem())
			apartFields(own.Elem())
			v = own
		case reflect.Slice:
			v = v.Slice3(0, v.Len(), v.Len())
		}
		out.SetMapIndex(all.Key(), v)
	}
	return out
}
