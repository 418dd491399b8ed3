// SPDX-License-Identifier: Apache-2.0

package engine

import (
	"reflect"
	"slices"
	"strings"

	"github.com/goccy/go-yaml/ast"
)

// structKey is one key that a struct takes.
type structKey struct {
	index    []int
	required bool
}

// structKeys reads the yaml tags of a struct.
func structKeys(t reflect.Type) map[string]structKey {
	keys := map[string]structKey{}
	for i := range t.NumField() {
		name, option, _ := strings.Cut(t.Field(i).Tag.Get("yaml"), ",")
		if name != "" && name != "-" {
			keys[name] = structKey{t.Field(i).Index, option == "required"}
		}
	}
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

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

// last returns the end of a path; for an entry of a list the list's name too.
func last(path string) string {
	i := strings.LastIndexByte(path, '.')
	name := path[i+1:]
	if i > 0 && name != "" && strings.Trim(name, "0123456789") == "" {
		return last(path[:i]) + " entry " + name
	}
	return name
}

// nameOf is how a person is told of a path.
func nameOf(path string) string {
	if path == "" {
		return "the sheet"
	}
	return path
}

// spoken names a limit by its key, and by the key above where the key alone
// says too little.
func spoken(path string) string {
	name := last(path)
	switch name {
	case "new", "in_service", "limit":
		if i := strings.LastIndexByte(path, '.'); i >= 0 {
			return last(path[:i])
		}
	}
	return name
}

func isEmpty(n ast.Node) bool {
	if n == nil {
		return true
	}
	_, null := n.(*ast.NullNode)
	return null
}

// shape says what was found in the place of something else.
func shape(n ast.Node) string {
	switch n.(type) {
	case *ast.MappingNode, *ast.MappingValueNode:
		return "a mapping"
	case *ast.SequenceNode:
		return "a list"
	}
	return "a single value"
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// nearest returns the key that is at most two slips away, or "".
func nearest(key string, keys []string) string {
	best, found := 3, ""
	for _, k := range keys {
		if n := slips(key, k); n < best {
			best, found = n, k
		}
	}
	return found
}

// slips counts the letters to add, drop or change to turn a into b
// (Levenshtein distance), for short words.
func slips(a, b string) int {
	if len(a) > 64 {
		return len(a)
	}
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, diagonal+1, row[j]+1)
		}
	}
	return row[len(b)]
}
