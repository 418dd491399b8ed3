// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestSheetCheckExitCodes(t *testing.T) {
	broken := filepath.Join(t.TempDir(), "broken.yaml")
	if err := os.WriteFile(broken, []byte("format: [\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args string
		code int
	}{
		{"sheet check ../../sheets/invented-v8-34.yaml", 0},
		{"sheet check ../../sheets/invented-inline4-19.yaml", 0},
		{"sheet check " + broken, exitNo},
		{"sheet check", exitUsage},
		{"sheet check " + filepath.Dir(broken), exitCouldNot},
		{"sheet check " + broken + ".none", exitCouldNot},
	} {
		for _, flags := range []string{"", " --json"} {
			var out, errw bytes.Buffer
			code := Main(strings.Fields(c.args+flags), strings.NewReader(""), &out, &errw)
			if code != c.code {
				t.Errorf("%s%s: exit %d, want %d: %s", c.args, flags, code, c.code, errw.String())
			}
			if flags != "" && code <= exitNo && !json.Valid(out.Bytes()) {
				t.Errorf("%s%s: no JSON: %s", c.args, flags, out.String())
			}
		}
	}
}
