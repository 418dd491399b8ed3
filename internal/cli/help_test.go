// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"os"
	"strings"
	"testing"

	"github.com/spf13/cobra"
)

// Every command says in one line what it is for, and its help ends with an
// example that names it.
func TestEveryCommandHasAnExample(t *testing.T) {
	n := 0
	var walk func(c *cobra.Command)
	walk = func(c *cobra.Command) {
		n++
		if c.Short == "" || strings.TrimSpace(c.Example) == "" {
			t.Errorf("%s: short %q, example %q", c.CommandPath(), c.Short, c.Example)
		}
		name := "witnessmark " + strings.TrimPrefix(strings.TrimPrefix(c.CommandPath(), "witnessmark"), " ")
		if !strings.Contains(c.Example, strings.TrimSpace(name)) {
			t.Errorf("%s: the example does not show it: %s", c.CommandPath(), c.Example)
		}
		for _, sub := range c.Commands() {
			walk(sub)
		}
	}
	walk(newRoot(&app{}))
	if n < 25 {
		t.Errorf("%d commands, want at least 25", n)
	}
}

// The README lists every command of our own with what it is for.
func TestReadmeListsTheCommands(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range newRoot(&app{}).Commands() {
		row := "| `witnessmark " + c.Name() + "` | " + strings.ToLower(c.Short[:1]) + c.Short[1:] + " |"
		if c.IsAvailableCommand() && c.Name() != "completion" && !strings.Contains(string(readme), row) {
			t.Errorf("not in README.md: %s", row)
		}
	}
}
