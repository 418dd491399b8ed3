// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"bytes"
	"errors"
	"io"
	"regexp"
	"strconv"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

// Bounds on what is read: a plan of 500 operations and 200 pieces of work
// has some 130 kB and 17 000 values, and is nested six deep.
const (
	maxBytes = 512 << 10
	maxNodes = 60_000
	maxDepth = 32
)

// parse turns the bytes into one node, or records why it cannot.
func (d *decoder) parse(data []byte) *yaml.Node {
	if len(data) > maxBytes {
		d.problem(place{1, 1}, "the file has more than 512 kB", "write one engine family per plan")
		return nil
	}
	if at, ok := badByte(data); ok {
		d.problem(at, "a byte here is not text", "save the file as plain UTF-8 text")
		return nil
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff")) // some editors write one
	if bytes.HasPrefix(bytes.TrimLeft(data, " \t\r\n"), []byte("%")) {
		d.problem(place{1, 1}, "tags and directives are not used in a plan", "write the value out")
		return nil
	}
	d.lines = bytes.Count(data, []byte("\n")) + 1
	body := d.document(yaml.NewDecoder(bytes.NewReader(data)))
	nodes := 0
	if body == nil || !d.plain(body, 0, &nodes) {
		return nil
	}
	return body
}

// document returns the body of the only document.
func (d *decoder) document(dec *yaml.Decoder) *yaml.Node {
	var body *yaml.Node
	for {
		var doc yaml.Node
		err := dec.Decode(&doc)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			d.syntax(err)
			return nil
		}
		if len(doc.Content) == 0 || isEmpty(doc.Content[0]) && doc.Content[0].Value == "" {
			continue
		}
		if body != nil {
			d.problem(placeOf(doc.Content[0]), "a second document starts here", "write one plan per file")
			return nil
		}
		body = doc.Content[0]
	}
	if body == nil {
		d.problem(place{1, 1}, "the file is empty", "write a plan that starts with: format: 1")
	}
	return body
}

// plain refuses what a plan has no use for: anchors, aliases, tags, merge and
// complex keys, and nesting or length without end.
func (d *decoder) plain(n *yaml.Node, depth int, nodes *int) bool {
	what, want := "", "write the value out"
	switch *nodes++; {
	case *nodes > maxNodes:
		what, want = "the file goes on for too long", "write one engine family per plan"
	case depth > maxDepth:
		what, want = "this is nested too deep", "see the plan's description for its shape"
	case n.Kind == yaml.AliasNode || n.Anchor != "":
		what = "anchors and aliases are not used in a plan"
	case n.Style&yaml.TaggedStyle != 0:
		what = "tags and directives are not used in a plan"
	}
	if what != "" {
		d.problem(placeOf(n), what, want)
		return false
	}
	for i, c := range n.Content {
		if n.Kind == yaml.MappingNode && i%2 == 0 {
			switch {
			case c.Kind != yaml.ScalarNode && c.Kind != yaml.AliasNode:
				d.problem(placeOf(c), "keys that are not a single word are not used in a plan", "write the value out")
				return false
			case c.Tag == "!!merge":
				d.problem(placeOf(c), "anchors and aliases are not used in a plan", "write the value out")
				return false
			}
		}
		if !d.plain(c, depth+1, nodes) {
			return false
		}
	}
	return true
}

// place is a line and a column, both from 1, the column in characters.
type place struct{ line, column int }

func placeOf(n *yaml.Node) place {
	if n == nil {
		return place{1, 1}
	}
	return place{max(n.Line, 1), max(n.Column, 1)}
}

var (
	yamlLine = regexp.MustCompile(`^(?:yaml: )?(?:line (\d+): )?`)
	// The library's parser, unlike its scanner, counts lines from 0.
	fromZero = regexp.MustCompile(`^did not find expected (<document start>|node content|'-' indicator|key|',' or '[\]}]')`)
)

// syntax records an error of the YAML library, which names the line alone.
func (d *decoder) syntax(err error) {
	what, at := err.Error(), place{1, 1}
	if m := yamlLine.FindStringSubmatch(what); m != nil {
		what = what[len(m[0]):]
		if line, err := strconv.Atoi(m[1]); err == nil {
			at.line = max(line, 1)
			if fromZero.MatchString(what) {
				at.line = min(at.line+1, d.lines)
			}
		}
	}
	d.problem(at, "this is not YAML: "+oneLine(what), "look at the indentation and the quotes")
}

// badByte finds the first byte that is not UTF-8, or is a control character.
func badByte(data []byte) (place, bool) {
	at := place{1, 1}
	for len(data) > 0 {
		r, n := utf8.DecodeRune(data)
		if r == utf8.RuneError && n == 1 || r < ' ' && r != '\n' && r != '\r' && r != '\t' || r == 0x7f {
			return at, true
		}
		at.column++
		if r == '\n' {
			at = place{at.line + 1, 1}
		}
		data = data[n:]
	}
	return at, false
}
