// SPDX-License-Identifier: Apache-2.0

package engine

import (
	"bytes"
	"encoding/json"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"witnessmark/units"
)

func compiled(t testing.TB) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("sheet.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("sheet.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func accepts(t testing.TB, s *jsonschema.Schema, text string) error {
	t.Helper()
	data, err := yaml.YAMLToJSON([]byte(text))
	if err != nil {
		return err
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		return err
	}
	return s.Validate(doc)
}

// What the loader accepts the schema accepts; what a schema can see, both
// refuse.
func TestSchemaAgreesWithLoader(t *testing.T) {
	s := compiled(t)
	for _, sheet := range []string{v8(t), inline(t)} {
		if err := accepts(t, s, sheet); err != nil {
			t.Error(err)
		}
	}
	for _, m := range mistakes {
		if m.schema && accepts(t, s, m.apply(t, v8(t))) == nil {
			t.Errorf("%s: the loader refuses it, the schema accepts it", m.name)
		}
	}
}

// changes are right as well: both accept them.
func TestBothAccept(t *testing.T) {
	s := compiled(t)
	for _, c := range []struct{ old, new string }{
		{"thread: M9x1", "thread: 3/8-24 UNF"},
		{"thread: M9x1", "thread: M10"},
		{"use: single", "use: 5 uses"},
		{"grade: 5W-40", "grade: SAE 30"},
		{"width: 18.0 mm", "width: {value: 18.0 mm, source: book p. 9, checked: true}"},
		{"checked: demonstration desk, 2026-01-05", "checked: false"},
		{"heat_cycles: 2", "heat_cycles: {value: 2}"},
		{"limit: {quantity: length, min: 2.0 mm, max: 4.0 mm}", "limit: {min: 2.0 mm}"},
		{"limit: {quantity: length, min: 2.0 mm, max: 4.0 mm}", "limit: {quantity: rotational speed, max: 900 rpm}"},
		{"peak_pressure: 85 bar", "mean_effective_pressure: {value: 11 bar}"},
		{"kind: angle, angle: {value: 90°, min: 85°, max: 95°}", "kind: stretch, stretch: {min: 0.12 mm, max: 0.15 mm}"},
		{"min: 0.030 mm, max: 0.060 mm, confidence: 0.80", "min: \"0,030 mm\", max: 60 µm, confidence: 0.95"},
		{"cure: 2 h", "cure: 90 min"},
	} {
		text := strings.Replace(v8(t), c.old, c.new, 1)
		if text == v8(t) {
			t.Errorf("no %q in the sheet", c.old)
		}
		if _, err := Load("v8.yaml", []byte(text)); err != nil {
			t.Errorf("%s: loader: %v", c.new, err)
		}
		if err := accepts(t, s, text); err != nil {
			t.Errorf("%s: schema: %v", c.new, err)
		}
	}
}

// The schema takes the symbol of every unit that a sheet's quantities have.
func TestSchemaKnowsEveryUnit(t *testing.T) {
	var doc struct {
		Defs map[string]struct{ Pattern string } `json:"$defs"`
	}
	if err := json.Unmarshal(Schema(), &doc); err != nil {
		t.Fatal(err)
	}
	for def, kind := range map[string]units.Kind{
		"length": units.KindLength, "angle": units.KindAngle, "torque": units.KindTorque, "force": units.KindForce,
		"pressure": units.KindPressure, "temperature": units.KindTemperature, "speed": units.KindRotationalSpeed,
		"dynamic": units.KindDynamicViscosity, "kinematic": units.KindKinematicViscosity, "mass": units.KindMass,
		"volume": units.KindVolume, "distance": units.KindDistance,
	} {
		c := jsonschema.NewCompiler()
		c.AddResource("x.json", map[string]any{"pattern": doc.Defs[def].Pattern})
		s := c.MustCompile("x.json")
		for _, u := range kind.Units() {
			for _, text := range []string{"12.5 " + u.Symbol, "0,05 " + u.Symbol} {
				if s.Validate(text) != nil {
					t.Errorf("the schema's %s refuses %q", def, text)
				}
			}
		}
		if s.Validate("12.5") == nil {
			t.Errorf("the schema's %s takes a number without unit", def)
		}
	}
}

// Every key of every struct is in the schema, required in both or in neither.
func TestSchemaHasEveryKey(t *testing.T) {
	var root map[string]any
	if err := json.Unmarshal(Schema(), &root); err != nil {
		t.Fatal(err)
	}
	compare(t, root, root, reflect.TypeFor[Sheet](), "sheet")
}

func compare(t *testing.T, root, node map[string]any, typ reflect.Type, path string) {
	for typ.Kind() == reflect.Pointer || typ.Kind() == reflect.Slice || typ.Kind() == reflect.Map {
		switch typ.Kind() {
		case reflect.Slice:
			node = resolve(root, node["items"])
		case reflect.Map:
			node = resolve(root, node["additionalProperties"])
		}
		typ = typ.Elem()
	}
	_, own := reflect.New(typ).Interface().(nodeDecoder)
	if typ.Kind() != reflect.Struct || own || typ == reflect.TypeFor[Use]() {
		return
	}
	props, _ := node["properties"].(map[string]any)
	var want, got, wantRequired, gotRequired []string
	for key, k := range structKeys(typ) {
		want = append(want, key)
		if k.required {
			wantRequired = append(wantRequired, key)
		}
		if props[key] != nil {
			compare(t, root, resolve(root, props[key]), typ.FieldByIndex(k.index).Type, path+"."+key)
		}
	}
	for key := range props {
		if key != "source" && key != "checked" {
			got = append(got, key)
		}
	}
	list, _ := node["required"].([]any)
	for _, r := range list {
		gotRequired = append(gotRequired, r.(string))
	}
	for _, l := range [][]string{want, got, wantRequired, gotRequired} {
		slices.Sort(l)
	}
	// sources is a key of the sheet itself, beside source and checked.
	if !slices.Equal(want, got) {
		t.Errorf("%s: the loader has the keys %v, the schema %v", path, want, got)
	}
	if !slices.Equal(wantRequired, gotRequired) {
		t.Errorf("%s: the loader requires %v, the schema %v", path, wantRequired, gotRequired)
	}
}

func resolve(root map[string]any, node any) map[string]any {
	m, _ := node.(map[string]any)
	if ref, ok := m["$ref"].(string); ok {
		return resolve(root, root["$defs"].(map[string]any)[strings.TrimPrefix(ref, "#/$defs/")])
	}
	return m
}
