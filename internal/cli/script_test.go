// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"witnessmark": func() { os.Exit(Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) },
	})
}

// TestScript runs the stories of testdata/script, one file each.
func TestScript(t *testing.T) {
	testscript.Run(t, testscript.Params{Dir: "testdata/script"})
}
