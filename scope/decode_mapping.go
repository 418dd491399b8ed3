// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/goccy/go-yaml/ast"
)

// list fills a slice. An element that has an id is known by it in paths; two
// of one id are a problem.
func (d *decoder) list(v reflect.Value, n ast.Node, path string) {
	seq, ok := n.(*ast.SequenceNode)
	if !ok {
		d.problem(placeOf(n), last(path)+" is "+shape(n), "write a list")
		return
	}
	out := reflect.MakeSlice(v.Type(), len(seq.Values), len(seq.Values))
	for i, e := range seq.Values {
		name := elementName(e, i)
		p := path + "." + name
		if first, twice := d.at[p]; twice {
			d.problem(placeOf(e), fmt.Sprintf("%s has the %s twice", last(path), name),
				fmt.Sprintf("give it another id; the first is on line %d", first.line))
			p = fmt.Sprintf("%s.%s#%d", path, name, i+1)
		}
		d.decode(out.Index(i), e, p)
	}
	v.Set(out)
}

func elementName(n ast.Node, i int) string {
	if m, ok := n.(*ast.MappingNode); ok {
		for _, kv := range m.Values {
			if kv.Key.GetToken().Value == "id" {
				if _, ok := kv.Value.(ast.ScalarNode); ok && !isEmpty(kv.Value) {
					return "id " + kv.Value.GetToken().Value
				}
			}
		}
	}
	return strconv.Itoa(i + 1)
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
	out := make([]field, 0, len(m.Values))
	for _, kv := range m.Values {
		key := kv.Key.GetToken().Value
		if slices.ContainsFunc(out, func(f field) bool { return f.key == key }) {
			d.problem(placeOf(kv.Key), fmt.Sprintf("the key %q is here twice", key), "keep one of them")
			continue
		}
		out = append(out, field{key, placeOf(kv.Key), kv.Value})
	}
	return out
}

// structure fills a struct, key by key.
func (d *decoder) structure(v reflect.Value, n ast.Node, path string) {
	if _, ok := n.(*ast.MappingNode); !ok {
		d.fields(n, path) // says so
		return
	}
	known := structKeys(v.Type())
	seen := map[string]bool{}
	for _, f := range d.fields(n, path) {
		k, ok := known[f.key]
		if !ok {
			d.unknown(f, path, keysOf(known))
			continue
		}
		seen[f.key] = true
		d.decode(v.FieldByIndex(k.index), f.value, join(path, f.key))
	}
	for key, k := range known {
		if k.required && !seen[key] {
			d.problem(placeOf(n), fmt.Sprintf("%s has no %q", nameOf(path), key), "add the key "+key)
		}
	}
}

// unknown records a key that is not known here, and the nearest that is.
func (d *decoder) unknown(f field, path string, keys []string) {
	want := "the keys here are " + strings.Join(keys, ", ")
	if near := nearest(f.key, keys); near != "" {
		want = "did you mean " + near + "?"
	}
	d.problem(f.at, fmt.Sprintf("%s has no key %q", nameOf(path), f.key), want)
}

// structKey is one key that a struct takes.
type structKey struct {
	index    []int
	required bool
}

var keysByType sync.Map // reflection is slow, and a plan has a thousand entries

// structKeys reads the yaml tags of a struct.
func structKeys(t reflect.Type) map[string]structKey {
	if kept, ok := keysByType.Load(t); ok {
		return kept.(map[string]structKey)
	}
	keys := map[string]structKey{}
	for i := range t.NumField() {
		name, option, _ := strings.Cut(t.Field(i).Tag.Get("yaml"), ",")
		if name != "" && name != "-" {
			keys[name] = structKey{t.Field(i).Index, option == "required"}
		}
	}
	keysByType.Store(t, keys)
	return keys
}

func keysOf(m map[string]structKey) []string {
	var keys []string
	for k := range m {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b string) int { return slices.Compare(m[a].index, m[b].index) })
	return keys
}
