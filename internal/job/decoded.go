// SPDX-License-Identifier: Apache-2.0

package job

import (
	"sync"

	"witnessmark/record"
)

// maxDecoded is how many bodies are remembered; beyond it all are forgotten.
const maxDecoded = 1 << 15

// decoded remembers the bodies of entries. An entry never changes, and a fold
// copies what it takes from a body and changes nothing in it, so that one body
// serves every fold of every log that the same words stand in.
var decoded = struct {
	sync.RWMutex
	bodies map[decodedKey]Body
}{bodies: map[decodedKey]Body{}}

type decodedKey struct {
	kind    string
	version int
	raw     string
}

// decodeEntries decodes entries that were kept. One of an unknown kind stands
// for itself.
func decodeEntries(entries []record.Entry, into []Body) {
	decoded.RLock()
	known := 0
	for i, e := range entries {
		if into[i] = decoded.bodies[decodedKey{e.Kind, e.Version, string(e.Body)}]; into[i] != nil {
			known++
		}
	}
	decoded.RUnlock()
	if known == len(entries) {
		return
	}
	for i, e := range entries {
		if into[i] != nil {
			continue
		}
		if body, err := Decode(e.Kind, e.Version, e.Body); err == nil {
			into[i] = body
		}
	}
	decoded.Lock()
	defer decoded.Unlock()
	for i, e := range entries {
		if into[i] == nil {
			into[i] = &unknown{e}
			continue
		}
		if len(decoded.bodies) >= maxDecoded {
			clear(decoded.bodies)
		}
		decoded.bodies[decodedKey{e.Kind, e.Version, string(e.Body)}] = into[i]
	}
}

// decodeEntry is [Decode] of an entry that was kept.
func decodeEntry(e record.Entry) (Body, error) {
	var into [1]Body
	decodeEntries([]record.Entry{e}, into[:])
	if _, ok := into[0].(*unknown); ok {
		return Decode(e.Kind, e.Version, e.Body)
	}
	return into[0], nil
}

// together is how many entries are decoded one after another.
const together = 256

// decodeAll decodes a log, a long one on every processor: nothing takes longer
// on the way from disk to assessment.
func decodeAll(entries []record.Entry) []Body {
	bodies := make([]Body, len(entries))
	if len(entries) <= together {
		decodeEntries(entries, bodies)
		return bodies
	}
	var parts sync.WaitGroup
	for from := 0; from < len(entries); from += together {
		to := min(from+together, len(entries))
		parts.Go(func() { decodeEntries(entries[from:to], bodies[from:to]) })
	}
	parts.Wait()
	return bodies
}

// Forget forgets every body that was decoded. It changes nothing but the time
// that the next fold takes: a measurement begins with it.
func Forget() {
	decoded.Lock()
	defer decoded.Unlock()
	clear(decoded.bodies)
}
