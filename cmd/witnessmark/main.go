// SPDX-License-Identifier: Apache-2.0

// Command witnessmark turns opening the bottom of an engine into measured
// decisions and a record that proves what was done.
package main

import (
	"os"

	"witnessmark/internal/cli"
)

func main() {
	os.Exit(cli.Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
