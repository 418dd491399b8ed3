// SPDX-License-Identifier: Apache-2.0

package engine

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"
)

// list fills a slice. An element that has an id or a number is known by it in
// paths, which must not repeat.
func (d *decoder) list(v reflect.Value, n ast.Node, path string, b Basis) {
	seq, ok := n.(*ast.SequenceNode)
	if !ok {
		d.problem(placeOf(n), last(path)+" is "+shape(n), "write a list")
		return
	}
	out := reflect.MakeSlice(v.Type(), len(seq.Values), len(seq.Values))
	for i, e := range seq.Values {
		name := d.elementName(e, i)
		p := path + "." + name
		if _, twice := d.at[p]; twice {
			d.problem(placeOf(e), fmt.Sprintf("%s has %s twice", last(path), name), "give every entry its own")
			p = fmt.Sprintf("%s.%s#%d", path, name, i+1)
		}
		d.decode(out.Index(i), e, p, b)
	}
	v.Set(out)
}

func (d *decoder) elementName(n ast.Node, i int) string {
	if m, ok := n.(*ast.MappingNode); ok {
		for _, kv := range m.Values {
			if k := kv.Key.String(); k == "id" || k == "number" {
				if s, ok := kv.Value.(ast.ScalarNode); ok && !isEmpty(kv.Value) {
					return fmt.Sprint(s.GetValue())
				}
			}
		}
	}
	return strconv.Itoa(i + 1)
}

// table fills a map from names to values.
func (d *decoder) table(v reflect.Value, n ast.Node, path string, b Basis) {
	v.Set(reflect.MakeMap(v.Type()))
	for _, f := range d.fields(n, path) {
		e := reflect.New(v.Type().Elem()).Elem()
		d.decode(e, f.value, path+"."+f.key, b)
		v.SetMapIndex(reflect.ValueOf(f.key), e)
	}
}

// field is one key of a mapping.
type field struct {
	key   string
	at    place
	value ast.Node
}

// fields lists the keys of a mapping, each once.
func (d *decoder) fields(n ast.Node, path string) []field {
	m, ok := n.(*ast.MappingNode)
	if !ok {
		what := last(path)
		if path == "" {
			what = "the file"
		}
		d.problem(placeOf(n), what+" is "+shape(n), "write keys and values, one to a line")
		return nil
	}
	var out []field
	seen := map[string]bool{}
	for _, kv := range m.Values {
		key := kv.Key.GetToken().Value
		if seen[key] {
			d.problem(placeOf(kv.Key), fmt.Sprintf("the key %q is here twice", key), "keep one of them")
			continue
		}
		seen[key] = true
		out = append(out, field{key, placeOf(kv.Key), kv.Value})
	}
	return out
}

// structure fills a struct, key by key.
func (d *decoder) structure(v reflect.Value, n ast.Node, path string, b Basis) {
	if _, ok := n.(*ast.MappingNode); !ok {
		d.fields(n, path) // says so
		return
	}
	fs := d.fields(n, path)
	b, fs = d.basis(fs, path, b)
	known := structKeys(v.Type())
	seen := map[string]bool{}
	for _, f := range fs {
		k, ok := known[f.key]
		if !ok {
			d.unknown(f, path, keysOf(known))
			continue
		}
		seen[f.key] = true
		d.decode(v.FieldByIndex(k.index), f.value, join(path, f.key), b)
	}
	for _, key := range keysOf(known) {
		if known[key].required && !seen[key] {
			d.problem(placeOf(n), fmt.Sprintf("%s has no %q", nameOf(path), key), "add the key "+key)
		}
	}
	if f := v.FieldByName("Basis"); f.IsValid() && f.Type() == reflect.TypeFor[Basis]() {
		f.Set(reflect.ValueOf(b))
		d.ref(path, placeOf(n), b)
	}
}

func (d *decoder) ref(path string, at place, b Basis) {
	d.refs = append(d.refs, Ref{Path: path, Line: at.line, Column: at.column, Basis: b})
}

// unknown records a key that is not known here, and the nearest that is.
func (d *decoder) unknown(f field, path string, keys []string) {
	want := "the keys here are " + strings.Join(keys, ", ")
	if near := nearest(f.key, keys); near != "" {
		want = "did you mean " + near + "?"
	}
	d.problem(f.at, fmt.Sprintf("%s has no key %q", nameOf(path), f.key), want)
}

// basis takes source and checked out of the keys of a mapping. What they say
// holds for all below; a check made against one source says nothing about
// another.
func (d *decoder) basis(fs []field, path string, b Basis) (Basis, []field) {
	var rest []field
	for _, f := range fs {
		if f.key == "source" {
			text, _ := d.scalar(f.value, join(path, "source"))
			d.at[join(path, "source")] = placeOf(f.value)
			id, locator, _ := strings.Cut(text, " ")
			if id != b.Source {
				b.Checked, b.CheckedBy = false, ""
			}
			b.Source, b.Locator = id, strings.TrimSpace(locator)
			d.cited = append(d.cited, citation{id, placeOf(f.value)})
		}
	}
	for _, f := range fs {
		switch f.key {
		case "source":
		case "checked":
			d.at[join(path, "checked")] = placeOf(f.value)
			text, _ := d.scalar(f.value, join(path, "checked"))
			b.Checked, b.CheckedBy = text != "false" && text != "", text
			if text == "true" || text == "false" {
				b.CheckedBy = ""
			}
			if b.Checked && b.Source == "" {
				d.problem(placeOf(f.value), "this was checked, but no source is named", "add source: with an entry of sources")
			}
		default:
			rest = append(rest, f)
		}
	}
	return b, rest
}
