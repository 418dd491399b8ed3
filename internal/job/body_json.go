// SPDX-License-Identifier: Apache-2.0

package job

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"sync"

	jsonv2 "github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
	jsonv1 "github.com/go-json-experiment/json/v1"

	"witnessmark/units"
)

// unmarshalBody reads a body strictly: no name that the kind does not have, and
// nothing behind it. It reads what encoding/json reads, in less than half of
// its time; what is refused is read once more by that, so that every refusal is
// worded as ever.
func unmarshalBody(raw []byte, fresh func() Body) (Body, error) {
	r := readers.Get().(*bodyReader)
	into := fresh()
	err := jsonv2.Unmarshal(raw, into, r.options)
	readers.Put(r)
	if err == nil {
		return into, nil
	}
	into = fresh()
	return into, unmarshalSlowly(raw, into)
}

func unmarshalSlowly(raw []byte, into any) error {
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.DisallowUnknownFields()
	if err := dec.Decode(into); err != nil {
		return err
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return errors.New("something follows the body")
	}
	return nil
}

// bodyReader reads bodies, one at a time. It remembers readings: a log holds
// thousands, and few that differ.
type bodyReader struct {
	options jsonv2.Options
	seen    map[string]units.Read // as they are written
}

// maxSeen is how many readings one remembers, maxSeenLength the longest.
const (
	maxSeen       = 1 << 12
	maxSeenLength = 256
)

var readers = sync.Pool{New: func() any {
	r := &bodyReader{seen: map[string]units.Read{}}
	r.options = jsonv2.JoinOptions(jsonv1.DefaultOptionsV1(), jsonv2.RejectUnknownMembers(true),
		jsonv2.WithUnmarshalers(jsonv2.UnmarshalFromFunc(r.read)))
	return r
}}

func (r *bodyReader) read(dec *jsontext.Decoder, into *units.Read) error {
	raw, err := dec.ReadValue()
	if err != nil {
		return err
	}
	if seen, ok := r.seen[string(raw)]; ok {
		*into = seen
		return nil
	}
	var read units.Read
	if err := read.UnmarshalJSON(raw); err != nil || read.IsZero() { // null leaves into as it is
		return err
	}
	*into = read
	if len(raw) > maxSeenLength {
		return nil
	}
	if len(r.seen) >= maxSeen {
		clear(r.seen)
	}
	r.seen[string(raw)] = read
	return nil
}
