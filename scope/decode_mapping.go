// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"

	"go.yaml.in/yaml/v3"
)

// list fills a slice. An element that has an id is known by it in paths; two
// of one id are a problem.
func (d *decoder) list(v reflect.Value, n *yaml.Node, path string) {
	if n.Kind != yaml.SequenceNode {
		d.problem(placeOf(n), last(path)+" is "+shape(n), "write a list")
		return
	}
	out := reflect.MakeSlice(v.Type(), len(n.Content), len(n.Content))
	var seen map[string]int // lines, by name
	for i, e := range n.Content {
		name := elementName(e, i)
		p := d.join(path, name)
		if first, twice := seen[name]; twice {
			d.problem(placeOf(e), fmt.Sprintf("%s has the %s twice", last(path), name),
				fmt.Sprintf("give it another id; the first is on line %d", first))
			p = fmt.Sprintf("%s.%s#%d", path, name, i+1)
		} else if e.Kind == yaml.MappingNode {
			if seen == nil {
				seen = make(map[string]int, len(n.Content))
			}
			seen[name] = placeOf(e).line
		}
		d.decode(out.Index(i), e, p)
	}
	v.Set(out)
}

// join is the path of a key; empty while no paths are kept.
func (d *decoder) join(path, key string) string {
	if d.at == nil {
		return ""
	}
	return join(path, key)
}

func hasKey(n *yaml.Node, key string) bool {
	for k := 0; n.Kind == yaml.MappingNode && k+1 < len(n.Content); k += 2 {
		if n.Content[k].Value == key {
			return true
		}
	}
	return false
}

func elementName(n *yaml.Node, i int) string {
	for k := 0; n.Kind == yaml.MappingNode && k+1 < len(n.Content); k += 2 {
		if v := n.Content[k+1]; n.Content[k].Value == "id" && v.Kind == yaml.ScalarNode && !isEmpty(v) {
			return "id " + v.Value
		}
	}
	return strconv.Itoa(i + 1)
}

// field is one key of a mapping.
type field struct {
	key   string
	at    place
	value *yaml.Node
}

// fields lists the keys of a mapping, each once.
func (d *decoder) fields(n *yaml.Node, path string) []field {
	if n.Kind != yaml.MappingNode {
		what := last(path)
		if path == "" {
			what = "the file"
		}
		d.problem(placeOf(n), what+" is "+shape(n), "write keys and values, one to a line")
		return nil
	}
	out := make([]field, 0, len(n.Content)/2)
	for i := 0; i+1 < len(n.Content); i += 2 {
		key := n.Content[i]
		if slices.ContainsFunc(out, func(f field) bool { return f.key == key.Value }) {
			d.problem(placeOf(key), fmt.Sprintf("the key %q is here twice", key.Value), "keep one of them")
			continue
		}
		out = append(out, field{key.Value, placeOf(key), n.Content[i+1]})
	}
	return out
}

// structure fills a struct, key by key.
func (d *decoder) structure(v reflect.Value, n *yaml.Node, path string) {
	if n.Kind != yaml.MappingNode {
		d.fields(n, path) // says so
		return
	}
	known := structKeys(v.Type())
	var seen uint64 // by the key's number
	for _, f := range d.fields(n, path) {
		k, ok := known[f.key]
		if !ok {
			d.unknown(f, path, keysOf(known))
			continue
		}
		seen |= 1 << k.number
		d.decode(v.Field(k.number), f.value, d.join(path, f.key))
	}
	for key, k := range known {
		if k.required && seen&(1<<k.number) == 0 {
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
	number   int // of the field; no struct has more than 64
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
			keys[name] = structKey{i, option == "required"}
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
	slices.SortFunc(keys, func(a, b string) int { return m[a].number - m[b].number })
	return keys
}
