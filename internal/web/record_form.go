// SPDX-License-Identifier: Apache-2.0

package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"

	"witnessmark/units"
)

// keysInOrder are the names of a JSON object as they stand in it.
func keysInOrder(raw []byte) []string {
	dec := json.NewDecoder(bytes.NewReader(raw))
	var keys []string
	depth, name := 0, true
	for {
		t, err := dec.Token()
		if err != nil {
			return keys
		}
		switch d := t.(type) {
		case json.Delim:
			if d == '{' || d == '[' {
				depth++
			} else {
				depth--
			}
			name = depth == 1
			continue
		case string:
			if depth == 1 && name {
				keys = append(keys, d)
				name = false
				continue
			}
		}
		if depth == 1 {
			name = true
		}
	}
}

// like writes what was typed in the form that the old value had.
func like(old json.RawMessage, typed string) (json.RawMessage, error) {
	var read units.Read
	switch {
	case len(old) > 0 && old[0] == '{' && json.Unmarshal(old, &read) == nil:
		r, err := units.Parse(read.Kind, typed, read.Unit)
		if err != nil {
			return nil, err
		}
		return json.Marshal(r)
	case string(old) == "true" || string(old) == "false":
		yes, err := strconv.ParseBool(strings.ToLower(typed))
		if err != nil {
			return nil, fmt.Errorf("%q is neither true nor false", typed)
		}
		return json.Marshal(yes)
	case len(old) > 0 && old[0] != '"':
		n := json.Number(typed)
		if _, err := n.Float64(); err != nil {
			return nil, fmt.Errorf("%q is no number", typed)
		}
		return json.Marshal(n)
	}
	return json.Marshal(typed)
}

// sentenceOf turns a field's name into words.
func sentenceOf(name string) string {
	return strings.TrimSuffix(sentence(strings.ReplaceAll(name, "_", " ")), ".")
}
