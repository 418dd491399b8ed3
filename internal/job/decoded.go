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

// Forget forgets every body that was decoded. It changes nothing but the time
// that the next fold takes: a measurement begins with it.
func Forget() {
	decoded.Lock()
	defer decoded.Unlock()
	clear(decoded.bodies)
}
