// SPDX-License-Identifier: Apache-2.0

// Package sheets holds the engine sheets that come with the program. Both are
// invented for demonstration and say so.
package sheets

import (
	"embed"
	"fmt"
	"strings"

	"witnessmark/engine"
)

//go:embed *.yaml
var files embed.FS

// Names of the sheets, without .yaml.
const (
	V8      = "invented-v8-34"
	Inline4 = "invented-inline4-19"
)

// Names lists the sheets.
func Names() []string { return []string{V8, Inline4} }

// Named loads a sheet by its name, with or without .yaml.
func Named(name string) (*engine.Sheet, error) {
	file := strings.TrimSuffix(name, ".yaml") + ".yaml"
	data, err := files.ReadFile(file)
	if err != nil {
		return nil, fmt.Errorf("sheets: no sheet %q among %s", name, strings.Join(Names(), ", "))
	}
	return engine.Load(file, data)
}

// All loads every sheet, in the order of [Names].
func All() ([]*engine.Sheet, error) {
	var all []*engine.Sheet
	for _, name := range Names() {
		s, err := Named(name)
		if err != nil {
			return nil, err
		}
		all = append(all, s)
	}
	return all, nil
}
