// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"bytes"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// Bounds on what is read: a plan of 500 operations and 200 pieces of work
// has some 130 kB and 32 000 tokens, and is nested six deep.
const (
	maxBytes  = 512 << 10
	maxTokens = 100_000
	maxDepth  = 32
)

// parse turns the bytes into one mapping node, or records why it cannot.
func (d *decoder) parse(data []byte) ast.Node {
	if len(data) > maxBytes {
		d.problem(place{1, 1}, "the file has more than 512 kB", "write one engine family per plan")
		return nil
	}
	if at, ok := badByte(data); ok {
		d.problem(at, "a byte here is not text", "save the file as plain UTF-8 text")
		return nil
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff")) // some editors write one
	tokens := lexer.Tokenize(string(data))
	if len(tokens) > maxTokens {
		d.problem(placeOfToken(tokens[maxTokens]), "the file goes on for too long", "write one engine family per plan")
		return nil
	}
	if !d.plain(tokens) {
		return nil
	}
	file, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		d.syntax(err)
		return nil
	}
	return d.document(file)
}

// document returns the body of the only document.
func (d *decoder) document(file *ast.File) ast.Node {
	var body ast.Node
	for _, doc := range file.Docs {
		if doc.Body == nil {
			continue
		}
		if body != nil {
			d.problem(placeOf(doc.Body), "a second document starts here", "write one plan per file")
			return nil
		}
		body = doc.Body
	}
	if body == nil {
		d.problem(place{1, 1}, "the file is empty", "write a plan that starts with: format: 1")
	}
	return body
}

// plain refuses what a plan has no use for before the parser sees it:
// anchors, aliases, tags, merge and complex keys, and nesting without end.
func (d *decoder) plain(tokens token.Tokens) bool {
	depth, line, entries := 0, 0, 0
	for _, t := range tokens {
		if t.Position.Line != line {
			line, entries = t.Position.Line, 0
		}
		what := ""
		switch t.Type {
		case token.AnchorType, token.AliasType, token.MergeKeyType:
			what = "anchors and aliases are not used in a plan"
		case token.TagType, token.DirectiveType:
			what = "tags and directives are not used in a plan"
		case token.MappingKeyType:
			what = "keys that start with '?' are not used in a plan"
		case token.SequenceStartType, token.MappingStartType:
			depth++
		case token.SequenceEndType, token.MappingEndType:
			depth--
		case token.SequenceEntryType:
			entries++
		case token.InvalidType:
			d.problem(placeOfToken(t), "this is not YAML: "+oneLine(t.Error), "put quotes round text that has special characters")
			return false
		}
		if what != "" {
			d.problem(placeOfToken(t), what, "write the value out")
			return false
		}
		if depth > maxDepth || entries > maxDepth || t.Position.Column > 8*maxDepth && t.Type == token.SequenceEntryType {
			d.problem(placeOfToken(t), "this is nested too deep", "see the plan's description for its shape")
			return false
		}
	}
	return true
}

// place is a line and a column, both from 1, the column in characters.
type place struct{ line, column int }

func placeOf(n ast.Node) place {
	switch n := n.(type) {
	case *ast.MappingNode:
		if !n.IsFlowStyle && len(n.Values) > 0 {
			return placeOf(n.Values[0].Key)
		}
		return placeOfToken(n.Start)
	case *ast.MappingValueNode:
		return placeOf(n.Key)
	case nil:
		return place{1, 1}
	}
	return placeOfToken(n.GetToken())
}

func placeOfToken(t *token.Token) place {
	if t == nil || t.Position == nil {
		return place{1, 1}
	}
	return place{max(t.Position.Line, 1), max(t.Position.Column, 1)}
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
