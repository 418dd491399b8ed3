// SPDX-License-Identifier: Apache-2.0

package api

// Row is a row of the table, for tests.
type Row struct {
	Method, Path, ID string
	Roles            []string // nil: anybody
}

// Rows is the table of operations.
func Rows() []Row {
	var out []Row
	for _, o := range operations {
		out = append(out, Row{o.method, o.path, o.id, o.role})
	}
	return out
}

// BodyKinds are the kinds whose body is described, OwnWay those that are sent
// another way.
func BodyKinds() map[string]any { return bodies }

// OwnWay says where other kinds are sent.
func OwnWay() map[string]string { return ownWay }

// TokenLife is how long a token counts.
const TokenLife = tokenLife
