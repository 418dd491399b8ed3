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

// decodeEntry is [Decode] of an entry that was kept.
func decodeEntry(e record.Entry) (Body, error) {
	decoded.RLock()
	body, ok := decoded.bodies[decodedKey{e.Kind, e.Version, string(e.Body)}]
	decoded.RUnlock()
	if ok {
		return body, nil
	}
	body, err := Decode(e.Kind, e.Version, e.Body)
	if err != nil {
		return nil, err
	}
	decoded.Lock()
	defer decoded.Unlock()
	if len(decoded.bodies) >= maxDecoded {
		clear(decoded.bodies)
	}
	decoded.bodies[decodedKey{e.Kind, e.Version, string(e.Body)}] = body
	return body, nil
}

// together is how many entries are decoded one after another.
const together = 256

// decodeAll decodes a log, a long one on every processor: nothing takes longer
// on the way from disk to assessment. An entry of an unknown kind stands for
// itself.
func decodeAll(entries []record.Entry) []Body {
	bodies := make([]Body, len(entries))
	part := func(from, to int) {
		for i := from; i < to; i++ {
			body, err := decodeEntry(entries[i])
			if err != nil {
				body = &unknown{entries[i]}
			}
			bodies[i] = body
		}
	}
	if len(entries) <= together {
		part(0, len(entries))
		return bodies
	}
	var parts sync.WaitGroup
	for from := 0; from < len(entries); from += together {
		parts.Go(func() { part(from, min(from+together, len(entries))) })
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
