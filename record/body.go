// SPDX-License-Identifier: Apache-2.0

package record

import (
	"bytes"
	"encoding/json"
	"slices"
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
	if bytes.TrimLeft(b, " \t\r\n")[0] != '{' {
		return invalid("body is not a JSON object")
	}
	w := walk{text: b}
	return w.check()
}

// walk goes once over JSON that is known to be valid, and finds names that
// stand twice and what is nested too deeply. Every entry that is made passes
// here, so that it takes nothing apart.
type walk struct {
	text   []byte
	open   []container
	names  []string // of the open objects, one after another
	member bool     // a name comes next
}

// container is an object or a list that is not at its end yet.
type container struct {
	object bool
	from   int             // its first name
	many   map[string]bool // its names, where there are many
}

// manyNames are more than are looked through one by one.
const manyNames = 16

func (w *walk) check() error {
	for i := 0; i < len(w.text); i++ {
		c := w.text[i]
		switch c {
		case ' ', '\t', '\r', '\n', ':':
			continue
		case ',':
			w.member = w.open[len(w.open)-1].object
			continue
		case '}', ']':
			w.close()
			continue
		}
		from := i
		i = valueEnd(w.text, i)
		if w.member {
			if err := w.name(w.text[from : i+1]); err != nil {
				return err
			}
			continue
		}
		if len(w.open) >= maxDepth {
			return invalid("body: nested deeper than %d", maxDepth)
		}
		if c == '{' || c == '[' {
			w.open = append(w.open, container{object: c == '{', from: len(w.names)})
			w.member = c == '{'
		}
	}
	return nil
}

// valueEnd is the last byte of the string, number or word that begins at i, or
// i for a brace or bracket.
func valueEnd(b []byte, i int) int {
	switch b[i] {
	case '{', '[':
		return i
	case '"':
		for i++; b[i] != '"'; i++ {
			if b[i] == '\\' {
				i++
			}
		}
		return i
	}
	for i+1 < len(b) && !endsValue(b[i+1]) {
		i++
	}
	return i
}

func endsValue(c byte) bool {
	return c == ',' || c == ']' || c == '}' || c == ' ' || c == '\t' || c == '\r' || c == '\n'
}

func (w *walk) close() {
	last := len(w.open) - 1
	w.names = w.names[:w.open[last].from]
	w.open = w.open[:last]
	w.member = false
}

// name takes the name of a member, with its quotation marks.
func (w *walk) name(quoted []byte) error {
	w.member = false
	name := string(quoted[1 : len(quoted)-1])
	if bytes.IndexByte(quoted, '\\') >= 0 {
		if err := json.Unmarshal(quoted, &name); err != nil {
			return invalid("body: name %s: %v", quoted, err)
		}
	}
	in := &w.open[len(w.open)-1]
	if in.many[name] || in.many == nil && slices.Contains(w.names[in.from:], name) {
		return invalid("body: name %q stands twice", name)
	}
	w.names = append(w.names, name)
	switch {
	case in.many != nil:
		in.many[name] = true
	case len(w.names)-in.from > manyNames:
		in.many = map[string]bool{}
		for _, n := range w.names[in.from:] {
			in.many[n] = true
		}
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
