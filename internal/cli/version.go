// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"fmt"
	"io"
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"
)

// versionResult is what `version` prints.
type versionResult struct {
	Version  string `json:"version"`
	Revision string `json:"revision,omitempty"`
	Modified bool   `json:"modified"`
	Go       string `json:"go"`
	Platform string `json:"platform"`
}

func newVersionCommand(a *app) *cobra.Command {
	return example(&cobra.Command{
		Use:   "version",
		Short: "Say which version of the program this is",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			v := version()
			return couldNot(a.emit(v, func(w io.Writer) {
				fmt.Fprintf(w, "witnessmark %s, %s, %s\n", programVersion(), v.Go, v.Platform)
			}))
		},
	}, "  witnessmark version\n  witnessmark version --json")
}

func version() versionResult {
	v := versionResult{Version: "devel", Go: runtime.Version(), Platform: runtime.GOOS + "/" + runtime.GOARCH}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return v
	}
	if info.Main.Version != "" && info.Main.Version != "(devel)" {
		v.Version = info.Main.Version
	}
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			v.Revision = s.Value
		case "vcs.modified":
			v.Modified = s.Value == "true"
		}
	}
	return v
}

// programVersion is the version as a handover keeps it.
func programVersion() string {
	v := version()
	if v.Version == "devel" && len(v.Revision) >= 12 {
		return v.Version + "-" + v.Revision[:12]
	}
	return v.Version
}
