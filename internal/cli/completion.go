// SPDX-License-Identifier: Apache-2.0

package cli

import "github.com/spf13/cobra"

// describeBuiltIns gives the commands that cobra makes by itself an example.
func describeBuiltIns(root *cobra.Command) {
	root.InitDefaultHelpCmd()
	root.InitDefaultCompletionCmd()
	examples := map[string]string{
		"help":       "  witnessmark help read",
		"completion": "  source <(witnessmark completion bash)",
		"bash":       "  source <(witnessmark completion bash)",
		"zsh":        "  source <(witnessmark completion zsh)",
		"fish":       "  witnessmark completion fish | source",
		"powershell": "  witnessmark completion powershell | Out-String | Invoke-Expression",
	}
	for _, c := range root.Commands() {
		if c.Name() != "help" && c.Name() != "completion" {
			continue
		}
		c.Example = examples[c.Name()]
		for _, shell := range c.Commands() {
			shell.Example = examples[shell.Name()]
		}
	}
}
