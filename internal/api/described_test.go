// SPDX-License-Identifier: Apache-2.0

package api_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"strings"
	"sync"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"witnessmark/internal/api"
)

// described holds every JSON answer against the schema that the description
// gives for it, with a validator that is not ours.
type described struct {
	testing.TB
	next http.RoundTripper
}

func (d described) RoundTrip(r *http.Request) (*http.Response, error) {
	res, err := d.next.RoundTrip(r)
	if err != nil {
		return nil, err
	}
	body, err := io.ReadAll(res.Body)
	res.Body.Close()
	res.Body = io.NopCloser(bytes.NewReader(body))
	if err != nil {
		return res, nil // half an answer is for the caller
	}
	if err := conforms(r, res, body); err != nil {
		d.Errorf("%s %s: %v\n%s", r.Method, r.URL.Path, err, body)
	}
	return res, nil
}

type document struct {
	value    any
	compiler *jsonschema.Compiler
	mu       sync.Mutex // the compiler is for one at a time
	mux      *http.ServeMux
}

var description = sync.OnceValues(func() (*document, error) {
	data, err := api.Schema()
	if err != nil {
		return nil, err
	}
	value, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	d := &document{value: value, compiler: jsonschema.NewCompiler(), mux: http.NewServeMux()}
	for _, row := range api.Rows() {
		d.mux.HandleFunc(row.Method+" "+api.Prefix+row.Path, func(http.ResponseWriter, *http.Request) {})
	}
	return d, d.compiler.AddResource("openapi.json", value)
})

func conforms(r *http.Request, res *http.Response, body []byte) error {
	d, err := description()
	if err != nil {
		return err
	}
	_, pattern := d.mux.Handler(r)
	_, path, found := strings.Cut(pattern, " "+api.Prefix)
	kind, _, _ := strings.Cut(res.Header.Get("Content-Type"), ";")
	if !found || len(body) == 0 || !strings.HasSuffix(kind, "json") || kind == "application/openapi+json" {
		return nil
	}
	escape := strings.NewReplacer("~", "~0", "/", "~1", "{", "%7B", "}", "%7D", "+", "%2B")
	d.mu.Lock()
	s, err := d.compiler.Compile(fmt.Sprintf("openapi.json#/paths/%s/%s/responses/%d/content/%s/schema",
		escape.Replace(path), strings.ToLower(r.Method), res.StatusCode, escape.Replace(kind)))
	d.mu.Unlock()
	if err != nil {
		return fmt.Errorf("the description does not know this answer: %w", err)
	}
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(body))
	if err != nil {
		return err
	}
	return s.Validate(v)
}

// Every kind of entry has its body described, or another way to be sent.
func TestEveryKindIsDescribed(t *testing.T) {
	for _, k := range kinds() {
		_, described := api.BodyKinds()[k]
		_, elsewhere := api.OwnWay()[k]
		if described == elsewhere {
			t.Errorf("%s: described %v, sent another way %v", k, described, elsewhere)
		}
	}
}

// The description names every operation of the table and no other.
func TestDescriptionIsTheTable(t *testing.T) {
	data, err := api.Schema()
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		OpenAPI string
		Paths   map[string]map[string]struct {
			OperationID string
			Security    []map[string][]string
		}
	}
	if err := json.Unmarshal(data, &doc); err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(doc.OpenAPI, "3.1") {
		t.Errorf("OpenAPI %s", doc.OpenAPI)
	}
	n := 0
	for _, p := range doc.Paths {
		n += len(p)
	}
	if n != len(api.Rows()) {
		t.Errorf("%d operations are described, %d are in the table", n, len(api.Rows()))
	}
	for _, row := range api.Rows() {
		op := doc.Paths[row.Path][strings.ToLower(row.Method)]
		if op.OperationID != row.ID || (row.Roles != nil) != (len(op.Security) > 0) {
			t.Errorf("%s %s: described as %+v", row.Method, row.Path, op)
		}
	}
}
