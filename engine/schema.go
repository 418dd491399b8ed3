// SPDX-License-Identifier: Apache-2.0

package engine

import (
	_ "embed"
	"slices"
)

//go:embed sheet.schema.json
var schema []byte

// Schema returns the JSON Schema of format 1, for editors. It accepts every
// sheet that [Load] accepts in the usual spelling of units, and refuses what a
// schema can see; Load sees more.
func Schema() []byte { return slices.Clone(schema) }
