// SPDX-License-Identifier: Apache-2.0

package record_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// TestVerifiedByOthers has bundles verified by a script that shares nothing
// with this package: hashes by Python, signatures by openssl.
func TestVerifiedByOthers(t *testing.T) {
	for _, tool := range []string{"python3", "openssl"} {
		if _, err := exec.LookPath(tool); err != nil {
			if os.Getenv("WITNESSMARK_REQUIRE_ALL") == "1" {
				t.Fatalf("%s is not installed: apt-get install %s", tool, tool)
			}
			t.Skipf("left out: %s is not installed (apt-get install %s)", tool, tool)
		}
	}
	b, k := testBundle(t)
	file := filepath.Join(t.TempDir(), "bundle.zip")
	byHand := func(data []byte, key string) (string, error) {
		if err := os.WriteFile(file, data, 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command("python3", "../scripts/verify_by_hand.py", file, key).CombinedOutput()
		return string(out), err
	}
	good := zipOf(t, b, k)
	for _, key := range b.Chain.Keys {
		if out, err := byHand(good, key); err != nil || strings.Count(out, "ok    seal over") != 2 {
			t.Errorf("with %s: %v\n%s", key, err, out)
		}
	}
	if out, err := byHand(good, testKey(t, "three").Verifier); err == nil {
		t.Errorf("with another key: accepted\n%s", out)
	}
	if out, err := byHand([]byte(strings.Replace(string(good), "1000 km", "9000 km", 1)), k.Verifier); err == nil {
		t.Errorf("an entry was changed: accepted\n%s", out)
	}
}
