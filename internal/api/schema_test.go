// SPDX-License-Identifier: Apache-2.0

package api_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"testing"

	"witnessmark/internal/api"
)

var update = flag.Bool("update", false, "write docs/openapi.json anew")

// raw is JSON as it is, where it is JSON.
func raw(data []byte) any {
	if json.Valid(data) {
		return json.RawMessage(data)
	}
	return string(data)
}

// The committed description is the one that the program gives.
func TestCommittedDescription(t *testing.T) {
	const file = "../../docs/openapi.json"
	got, err := api.Schema()
	if err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s is not what the program gives: look at the difference, then run this test with -update", file)
	}
}
