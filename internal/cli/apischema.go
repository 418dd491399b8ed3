// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"github.com/spf13/cobra"

	"witnessmark/internal/api"
)

func newAPISchemaCommand(a *app) *cobra.Command {
	return example(&cobra.Command{
		Use:   "api-schema",
		Short: "Print the description of the REST interface, OpenAPI 3.1",
		Long: `Print the description of the REST interface that "witnessmark serve" has under
/api/v1, as OpenAPI 3.1 in JSON: every operation, who may use it, what it takes
and what it answers.`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			schema, err := api.Schema()
			if err != nil {
				return couldNot(err)
			}
			_, err = a.out.Write(schema)
			return couldNot(err)
		},
	}, "  witnessmark api-schema > openapi.json")
}
