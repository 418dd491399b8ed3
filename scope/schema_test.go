// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"bytes"
	"encoding/json"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/govalues/decimal"
	"github.com/santhosh-tekuri/jsonschema/v6"
)

func compiled(t testing.TB) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("plan.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	return c.MustCompile("plan.schema.json")
}

func accepts(s *jsonschema.Schema, text string) error {
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
	for _, plan := range []string{small, v8(t)} {
		if err := accepts(s, plan); err != nil {
			t.Error(err)
		}
	}
	for _, m := range mistakes {
		if m.schema && accepts(s, m.apply(t, small)) == nil {
			t.Errorf("%s: the loader refuses it, the schema accepts it", m.name)
		}
	}
	for _, c := range []struct{ old, new string }{
		{"format: 1\n", "family: X1\ntitle: A shed\nedition: 2026-01\ninvented: true\nsource: a book\n"},
		{"labour_rate: 60", "labour_rate: 60.50 EUR/h"},
		{"labour_rate: 60", "labour_rate: EUR 60"},
		{"labour_rate: 60", `labour_rate: "60,50"`},
		{"tax_percent: 19", "tax_percent: 8.1 %"},
		{"currency: EUR\n", ""},
		{"id: roof, title", "id: roof, tools: [1], title"},
		{"strip: 1 h", "strip: 0"},
		{"strip: 1 h", `strip: "1,5 h"`},
		{"strip: 1 h", "strip: 90 min"},
		{"value: 30 %", "value: 0.3"},
		{"built_until: 2020-06", "built_until: 2020-06-15"},
		{"quantity: 12", "quantity: 8.5"},
		{"likely: 2, most: 1 week", "likely: 2.5 days"},
		{"alternatives: log", "alternatives: [log]"},
		{"supersedes: [old_beam, older_beam]", "supersedes: 4711"},
	} {
		text := strings.Replace(small, c.old, c.new, 1)
		if text == small {
			t.Errorf("no %q in the plan", c.old)
		}
		if _, err := Load("x.yaml", []byte(text)); err != nil {
			t.Errorf("%s: loader: %v", c.new, err)
		}
		if err := accepts(s, text); err != nil {
			t.Errorf("%s: schema: %v", c.new, err)
		}
	}
}

// Every key of every struct is in the schema, required in both or in neither.
func TestSchemaHasEveryKey(t *testing.T) {
	var root map[string]any
	if err := json.Unmarshal(Schema(), &root); err != nil {
		t.Fatal(err)
	}
	compare(t, root, root, reflect.TypeFor[Plan](), "plan")
}

func compare(t *testing.T, root, node map[string]any, typ reflect.Type, path string) {
	for typ.Kind() == reflect.Pointer || typ.Kind() == reflect.Slice {
		if typ.Kind() == reflect.Slice {
			node = resolve(root, node["items"])
		}
		typ = typ.Elem()
	}
	if either, ok := node["oneOf"].([]any); ok && typ == reflect.TypeFor[Disturbance]() {
		node = resolve(root, either[1])
	}
	if typ.Kind() != reflect.Struct || slices.Contains([]reflect.Type{reflect.TypeFor[Price](), reflect.TypeFor[Percent](),
		reflect.TypeFor[Date](), reflect.TypeFor[decimal.Decimal]()}, typ) {
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
			compare(t, root, resolve(root, props[key]), typ.Field(k.number).Type, path+"."+key)
		}
	}
	for key := range props {
		got = append(got, key)
	}
	list, _ := node["required"].([]any)
	for _, r := range list {
		gotRequired = append(gotRequired, r.(string))
	}
	for _, l := range [][]string{want, got, wantRequired, gotRequired} {
		slices.Sort(l)
	}
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
