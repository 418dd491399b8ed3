// SPDX-License-Identifier: Apache-2.0

package engine

import (
	"encoding"
	"fmt"

	"github.com/goccy/go-yaml/ast"

	"witnessmark/units"
)

// quantity reads one quantity of type Q from a scalar.
func quantity[Q units.Quantity](d *decoder, n ast.Node, path string) (q *Q, text string) {
	d.at[path] = placeOf(n)
	if isEmpty(n) {
		d.problem(placeOf(n), last(path)+" is empty", "write a value or leave the key out")
		return nil, ""
	}
	text, ok := d.scalar(n, path)
	if !ok {
		return nil, ""
	}
	q = new(Q)
	if err := any(q).(encoding.TextUnmarshaler).UnmarshalText([]byte(text)); err != nil {
		d.unreadable(n, path, err)
		return nil, text
	}
	return q, text
}

func (v *Value[Q]) decodeNode(d *decoder, n ast.Node, path string, b Basis) {
	v.Path = path
	m, ok := n.(*ast.MappingNode)
	if !ok {
		v.set(quantity[Q](d, n, path))
		v.Basis = b
		d.ref(path, placeOf(n), b)
		return
	}
	b, fs := d.basis(d.fields(m, path), path, b)
	v.Basis = b
	d.ref(path, placeOf(n), b)
	given := false
	for _, f := range fs {
		if f.key != "value" {
			d.unknown(f, path, []string{"value", "source", "checked"})
			continue
		}
		given = true
		v.set(quantity[Q](d, f.value, join(path, "value")))
	}
	if !given {
		d.problem(placeOf(n), last(path)+` has no "value"`, "add the key value")
	}
}

func (v *Value[Q]) set(q *Q, text string) {
	if q != nil {
		v.V, v.Text = *q, text
	}
}

func (l *LimitOf[Q]) decodeNode(d *decoder, n ast.Node, path string, b Basis) {
	if _, ok := n.(*ast.MappingNode); !ok {
		d.problem(placeOf(n), last(path)+" is "+shape(n), "write min, max or both, such as {min: …, max: …}")
		return
	}
	b, fs := d.basis(d.fields(n, path), path, b)
	for _, f := range l.ends(d, fs, path) {
		d.unknown(f, path, []string{"min", "max", "confidence", "source", "checked"})
	}
	l.finish(d, n, path, b)
	if !d.has(join(path, "min")) && !d.has(join(path, "max")) {
		d.problem(placeOf(n), last(path)+" has no limit", "write min, max or both")
	}
}

// ends takes min, max and confidence, and returns the other keys.
func (l *LimitOf[Q]) ends(d *decoder, fs []field, path string) (rest []field) {
	for _, f := range fs {
		p := join(path, f.key)
		switch f.key {
		case "min":
			l.Min, l.MinText = quantity[Q](d, f.value, p)
		case "max":
			l.Max, l.MaxText = quantity[Q](d, f.value, p)
		case "confidence":
			if c, _ := quantity[Number](d, f.value, p); c != nil {
				l.Confidence = (*float64)(c)
				d.confidence(*l.Confidence, p)
			}
		default:
			rest = append(rest, f)
		}
	}
	return rest
}

// confidence holds a confidence against [0.5, 1): below a half, a value could
// both fit and not fit.
func (d *decoder) confidence(c float64, path string) {
	if c >= 0.5 && c < 1 {
		return
	}
	want := "write 0.80 for 80 %"
	if c >= 50 && c < 100 {
		want = fmt.Sprintf("write %g for %g %%", c/100, c)
	}
	d.problemAt(path, fmt.Sprintf("confidence %g is not from 0.5 to below 1", c), want)
}

// finish names the limit, and holds its ends against each other.
func (l *LimitOf[Q]) finish(d *decoder, n ast.Node, path string, b Basis) {
	l.Path, l.Basis = path, b
	d.ref(path, placeOf(n), b)
	if lo, hi := l.Range(); lo > hi {
		d.problemAt(join(path, "max"), fmt.Sprintf("%s max %s is below min %s", spoken(path), l.MaxText, l.MinText),
			"write the smaller first")
	}
}

func (m *Nominal[Q]) decodeNode(d *decoder, n ast.Node, path string, b Basis) {
	if _, ok := n.(*ast.MappingNode); !ok {
		m.Value, m.Text = quantity[Q](d, n, path)
		m.finish(d, n, path, b)
		return
	}
	b, fs := d.basis(d.fields(n, path), path, b)
	for _, f := range m.ends(d, fs, path) {
		if f.key != "value" {
			d.unknown(f, path, []string{"value", "min", "max", "confidence", "source", "checked"})
			continue
		}
		m.Value, m.Text = quantity[Q](d, f.value, join(path, "value"))
	}
	m.finish(d, n, path, b)
	if !m.Given() {
		d.problem(placeOf(n), last(path)+" has no value", "write value, or min and max")
	}
	if lo, hi := m.Range(); m.Value != nil && lo <= hi && (float64(*m.Value) < lo || float64(*m.Value) > hi) {
		d.problemAt(join(path, "value"), fmt.Sprintf("%s %s is outside its own limits, %s", spoken(path), m.Text, m.LimitOf),
			"correct the value or the limits")
	}
}

func (a *AnyLimit) decodeNode(d *decoder, n ast.Node, path string, b Basis) {
	m, ok := n.(*ast.MappingNode)
	if !ok {
		d.problem(placeOf(n), last(path)+" is "+shape(n), "write quantity, and min, max or both")
		return
	}
	a.Quantity = "length"
	rest := &ast.MappingNode{BaseNode: m.BaseNode, Start: m.Start, End: m.End, IsFlowStyle: m.IsFlowStyle}
	for _, kv := range m.Values {
		if kv.Key.GetToken().Value == "quantity" {
			a.Quantity, _ = d.scalar(kv.Value, join(path, "quantity"))
			d.at[join(path, "quantity")] = placeOf(kv.Value)
			continue
		}
		rest.Values = append(rest.Values, kv)
	}
	read, ok := quantities[a.Quantity]
	if !ok {
		d.problemAt(join(path, "quantity"), fmt.Sprintf("quantity is %q", a.Quantity), "write one of "+quantityNames)
		return
	}
	a.Bounds = read(d, rest, path, b)
}

func limitAs[Q units.Quantity](d *decoder, n ast.Node, path string, b Basis) Bounds {
	var l LimitOf[Q]
	l.decodeNode(d, n, path, b)
	return l.Bounds()
}
