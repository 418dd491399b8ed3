// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"strings"

	"go.yaml.in/yaml/v3"
)

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
	return strings.TrimPrefix(name, "id ")
}

// nameOf is how a person is told of a path.
func nameOf(path string) string {
	if path == "" {
		return "the plan"
	}
	return strings.ReplaceAll(strings.ReplaceAll(path, ".id ", " "), ".", " ")
}

func isEmpty(n *yaml.Node) bool {
	return n == nil || n.Kind == yaml.ScalarNode && n.Tag == "!!null"
}

// shape says what was found in the place of something else.
func shape(n *yaml.Node) string {
	switch n.Kind {
	case yaml.MappingNode:
		return "a mapping"
	case yaml.SequenceNode:
		return "a list"
	}
	return "a single value"
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// nearest returns the word that is at most two slips away, or "".
func nearest(word string, words []string) string {
	best, found := 3, ""
	for _, k := range words {
		if n := slips(word, k); n < best && n < len(word) {
			best, found = n, k
		}
	}
	return found
}

// slips counts the letters to add, drop or change to turn a into b
// (Levenshtein distance), for short words.
func slips(a, b string) int {
	if max(len(a), len(b)) > 64 || len(a) > len(b)+2 || len(b) > len(a)+2 {
		return 64
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
