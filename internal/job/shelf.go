// SPDX-License-Identifier: Apache-2.0

package job

// ShelfBatch is a batch of shells as the command line and the interface for
// programs list it: each wall with its uncertainty, mm.
type ShelfBatch struct {
	BatchAdded
	Shells []ShelfShell `json:"shells"`
	Grades []ShelfGrade `json:"grades"`
	Pairs  [][2]string  `json:"pairs" doc:"upper and lower that stay together"`
}

// ShelfShell is one measured half shell.
type ShelfShell struct {
	ID       string  `json:"id"`
	Half     string  `json:"half" enum:"upper,lower"`
	Grade    string  `json:"grade,omitempty"`
	WallMM   float64 `json:"wall_mm"`
	U        float64 `json:"standard_uncertainty_mm"`
	Job      string  `json:"job,omitempty" doc:"that has or had it, or keeps it"`
	Position int     `json:"position,omitempty"`
	Free     bool    `json:"free"`
}

// ShelfGrade is shells known by their grade alone.
type ShelfGrade struct {
	Grade  string  `json:"grade"`
	Half   string  `json:"half" enum:"upper,lower"`
	WallMM float64 `json:"wall_mm"`
	Count  int     `json:"count"`
}

// Listed returns b with the walls as the instruments of the register read them.
func (b Batch) Listed(tools Register) ShelfBatch {
	out := ShelfBatch{BatchAdded: b.BatchAdded, Shells: []ShelfShell{}, Grades: []ShelfGrade{}, Pairs: append([][2]string{}, b.Pairs...)}
	for _, x := range b.Shells {
		sh := ShelfShell{ID: x.ID, Half: x.Half, Grade: x.Grade, Free: x.OnShelf("")}
		if m, ok := x.Wall(tools); ok {
			sh.WallMM, sh.U = m.Value, m.StandardUncertainty()
		}
		if x.Use != nil {
			sh.Job, sh.Position = x.Use.Job, x.Use.Position
		}
		out.Shells = append(out.Shells, sh)
	}
	for _, g := range b.Grades {
		out.Grades = append(out.Grades, ShelfGrade{g.Body.Grade, g.Body.Half, g.Body.Wall.Value, g.Left})
	}
	return out
}
