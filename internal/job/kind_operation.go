// SPDX-License-Identifier: Apache-2.0

package job

// OperationDone is one operation of strip or refit.
type OperationDone struct {
	Operation string   `json:"operation"` // id in the plan, or a short name
	Title     string   `json:"title,omitempty"`
	Direction string   `json:"direction"` // strip, refit, or work for what was done in between
	Position  int      `json:"position,omitempty"`
	Photos    []string `json:"photos,omitempty"`
}

func (b *OperationDone) check() error {
	if b.Position != 0 {
		if err := checkPosition(b.Position); err != nil {
			return err
		}
	}
	return firstError(checkText("operation", b.Operation), checkLength("title", b.Title),
		checkOneOf("direction", b.Direction, "strip", "refit", "work"), checkCommitments("photo", b.Photos))
}

func (b *OperationDone) apply(s *State, at At) {
	s.Operations = append(s.Operations, Noted[OperationDone]{At: at, Body: *b})
	s.addPhotos(at, b.Photos)
}

func (b *OperationDone) words(name PositionNamer) string {
	title := b.Title
	if title == "" {
		title = b.Operation
	}
	w := "Stripped: "
	switch b.Direction {
	case "refit":
		w = "Refitted: "
	case "work":
		w = "Done: "
	}
	w += title
	if b.Position != 0 {
		w += ", position " + name(b.Position)
	}
	return w + "."
}
