// SPDX-License-Identifier: Apache-2.0

// Package plans holds the access plans that come with the program. They are
// invented for demonstration and say so.
package plans

import (
	"embed"
	"fmt"
	"strings"

	"witnessmark/scope"
)

//go:embed *.yaml
var files embed.FS

// Names of the plans, without .yaml.
const (
	V8 = "invented-v8-34" // goes with the engine sheet of the same name
)

// Names lists the plans.
func Names() []string { return []string{V8} }

// Named loads a plan by its name, with or without .yaml.
func Named(name string) (*scope.Plan, error) {
	data, err := Bytes(name)
	if err != nil {
		return nil, err
	}
	return scope.Load(strings.TrimSuffix(name, ".yaml")+".yaml", data)
}

// Bytes returns the text of a plan.
func Bytes(name string) ([]byte, error) {
	data, err := files.ReadFile(strings.TrimSuffix(name, ".yaml") + ".yaml")
	if err != nil {
		return nil, fmt.Errorf("plans: no plan %q among %s", name, strings.Join(Names(), ", "))
	}
	return data, nil
}

// ForFamily loads the plan of an engine family; ok is false if there is none.
func ForFamily(family string) (plan *scope.Plan, ok bool, err error) {
	for _, name := range Names() {
		p, err := Named(name)
		if err != nil {
			return nil, false, err
		}
		if p.Family == family {
			return p, true, nil
		}
	}
	return nil, false, nil
}
