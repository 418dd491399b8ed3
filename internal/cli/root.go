// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"os"

	"github.com/spf13/cobra"
)

// newRoot lists every command.
func newRoot(a *app) *cobra.Command {
	root := &cobra.Command{
		Use:           "witnessmark",
		Short:         "Measured decisions and a sealed record for the bottom end of an engine",
		SilenceUsage:  true,
		SilenceErrors: true,
		Example:       "  witnessmark demo\n  witnessmark decide --value 0.058 --u 0.003 --max 0.060",
	}
	p := root.PersistentFlags()
	p.BoolVar(&a.json, "json", false, "print one JSON value, unrounded, on standard output")
	p.StringVar(&a.dir, "dir", os.Getenv("WITNESSMARK_DIR"), "data folder (or WITNESSMARK_DIR; witnessmark-data unless either names one)")
	p.StringVar(&a.person, "as", "", "the person who does this")
	root.AddCommand(
		newDemoCommand(a),
		newServeCommand(a),
		newJobCommand(a),
		newReadCommand(a),
		newCheckCommand(a),
		newReportCommand(a), newPaperCommand(a),
		newSealCommand(a),
		newBundleCommand(a), newEraseCommand(a),
		newVerifyCommand(a),
		newKeyCommand(a),
		newBackupCommand(a),
		newRestoreCommand(a),
		newChecksCommand(a),
		newDecideCommand(a),
		newStudyCommand(a),
		newExcessCommand(a),
		newPairCommand(a), newShellsCommand(a), newStockCommand(a), newStudiesCommand(a),
		newEndFloatCommand(a),
		newOilCommand(a),
		newFilmCommand(a),
		newPreloadCommand(a),
		newTraceCommand(a),
		newBacklashCommand(a),
		newScopeCommand(a),
		newDatesCommand(a),
		newSheetCommand(a),
		newAPISchemaCommand(a),
		newVersionCommand(a),
	)
	describeBuiltIns(root)
	return root
}
