// SPDX-License-Identifier: Apache-2.0

package film

// Grid is the mesh of the field method: Around nodes round the bearing, Across
// over the half width (the full width where the shape is not symmetric).
type Grid struct{ Around, Across int }

// DefaultGrid is the mesh of the field method where none is named.
var DefaultGrid = Grid{Around: 96, Across: 8}
