// SPDX-License-Identifier: Apache-2.0

package record

import (
	"bytes"
	"encoding/json"
	"io"
	"unicode/utf8"
)

// maxDepth is how deep a body may nest.
const maxDepth = 32

// checkBody says why b can't be a body, or nil.
func checkBody(b []byte) error {
	if len(b) > MaxBody {
		return invalid("body of %d bytes is longer than %d", len(b), MaxBody)
	}
	if !utf8.Valid(b) || !json.Valid(b) {
		return invalid("body is not JSON in UTF-8")
	}
	d := json.NewDecoder(bytes.NewReader(b))
	d.UseNumber()
	t, err := d.Token()
	if err != nil || t != json.Delim('{') {
		return invalid("body is not a JSON object")
	}
	if err := checkObject(d, 1); err != nil {
		return err
	}
	if _, err := d.Token(); err != io.EOF {
		return invalid("body goes on after its end")
	}
	return nil
}

// checkObject reads to the end of an object whose brace was read.
func checkObject(d *json.Decoder, depth int) error {
	names := map[string]bool{}
	for d.More() {
		t, err := d.Token()
		name, ok := t.(string)
		if err != nil || !ok {
			return invalid("body: not JSON at byte %d", d.InputOffset())
		}
		if names[name] {
			return invalid("body: name %q stands twice", name)
		}
		names[name] = true
		if err := checkValue(d, depth); err != nil {
			return err
		}
	}
	return checkEnd(d)
}

func checkValue(d *json.Decoder, depth int) error {
	t, err := d.Token()
	if err != nil {
		return invalid("body: not JSON at byte %d", d.InputOffset())
	}
	if depth >= maxDepth {
		return invalid("body: nested deeper than %d", maxDepth)
	}
	switch t {
	case json.Delim('{'):
		return checkObject(d, depth+1)
	case json.Delim('['):
		for d.More() {
			if err := checkValue(d, depth+1); err != nil {
				return err
			}
		}
		return checkEnd(d)
	}
	return nil
}

func checkEnd(d *json.Decoder) error {
	if _, err := d.Token(); err != nil {
		return invalid("body: not JSON at byte %d", d.InputOffset())
	}
	return nil
}

// appendCompact appends body without the blanks outside its strings.
func appendCompact(b []byte, body []byte) ([]byte, error) {
	buf := bytes.NewBuffer(b)
	if err := json.Compact(buf, body); err != nil {
		return nil, invalid("body is not JSON")
	}
	return buf.Bytes(), nil
}
