// SPDX-License-Identifier: Apache-2.0

package engine

import (
	"bytes"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
)

// Written returns every value of [Sheet.Values] as the sheet writes it, by its
// path: "18.0 mm", or "min 0.030 mm, max 0.060 mm, confidence 0.80". What a
// value rests on is left out. A part that only carries a basis has no text.
func (s *Sheet) Written() map[string]string {
	file, err := parser.ParseBytes(bytes.TrimPrefix(s.Bytes(), []byte("\ufeff")), 0)
	if err != nil {
		return map[string]string{} // it loaded, so it parses
	}
	w := writer{at: map[place]string{}}
	for _, doc := range file.Docs {
		if doc.Body != nil {
			ast.Walk(&w, doc.Body)
		}
	}
	out := make(map[string]string, len(s.refs))
	for _, r := range s.refs {
		if text := w.at[place{r.Line, r.Column}]; text != "" {
			out[r.Path] = text
		}
	}
	return out
}

// writer gathers what stands at each place.
type writer struct{ at map[place]string }

func (w *writer) Visit(n ast.Node) ast.Visitor {
	switch n := n.(type) {
	case *ast.MappingNode:
		if text, ok := writtenMapping(n); ok {
			w.at[placeOf(n)] = text
		}
	case *ast.MappingValueNode:
		w.first(placeOf(n.Key), "") // a key is no value
	case ast.ScalarNode:
		w.first(placeOf(n), n.GetToken().Value)
	}
	return w
}

// first keeps a text unless the place has one: outer nodes come first.
func (w *writer) first(at place, text string) {
	if _, taken := w.at[at]; !taken {
		w.at[at] = text
	}
}

// writtenMapping writes a quantity that is a mapping; ok is false for one that
// is something else.
func writtenMapping(n *ast.MappingNode) (text string, ok bool) {
	var parts []string
	for _, v := range n.Values {
		key := v.Key.GetToken().Value
		value, scalar := v.Value.(ast.ScalarNode)
		switch {
		case !scalar:
			return "", false
		case key == "source" || key == "checked":
		case key == "value":
			parts = append(parts, value.GetToken().Value)
		case key == "min" || key == "max" || key == "confidence" || key == "quantity":
			parts = append(parts, key+" "+value.GetToken().Value)
		default:
			return "", false
		}
	}
	return strings.Join(parts, ", "), len(parts) > 0
}
