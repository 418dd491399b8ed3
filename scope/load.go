// SPDX-License-Identifier: Apache-2.0

package scope

import (
	_ "embed"
	"fmt"
	"reflect"
	"slices"

	"go.yaml.in/yaml/v3"
)

//go:embed plan.schema.json
var schema []byte

// Schema returns the JSON Schema of format 1, for editors. It accepts every
// plan that [Load] accepts in the usual spelling, and refuses what a schema can
// see; Load sees more.
func Schema() []byte { return slices.Clone(schema) }

// Load reads a plan. The name is for messages only. The error is a *[Problems]
// with everything that was found wrong; what may be used but deserves a look
// comes from [Plan.Warnings].
func Load(name string, data []byte) (plan *Plan, err error) {
	d := &decoder{file: name}
	defer func() {
		// YAML libraries have been seen to panic on broken text.
		if r := recover(); r != nil {
			d.problem(place{1, 1}, fmt.Sprintf("this is not YAML: %v", r), "look at the indentation and the quotes")
			plan, err = nil, d.err()
		}
	}()
	root := d.parse(data)
	if root == nil {
		return nil, d.err()
	}
	p := d.plan(root)
	if len(d.problems)+len(d.warnings) > 0 { // again, with the place of every value
		d = &decoder{file: name, at: make(map[string]place, len(data)/12)}
		p = d.plan(root)
	}
	if err := d.err(); err != nil {
		return nil, err
	}
	p.raw, p.Hash = slices.Clone(data), HashOf(data)
	p.warnings = sorted(d.warnings)
	return p, nil
}

func (d *decoder) plan(root *yaml.Node) *Plan {
	p := &Plan{Format: 1}
	d.decode(reflect.ValueOf(p).Elem(), root, "")
	d.check(p)
	return p
}

func (d *decoder) err() error {
	if len(d.problems) == 0 {
		return nil
	}
	return &Problems{sorted(d.problems)}
}
