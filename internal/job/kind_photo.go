// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"fmt"
)

// PhotoMarked draws on a photo: a layer of its own, the photo untouched. The
// latest layer of a photo counts.
type PhotoMarked struct {
	Photo    string `json:"photo"` // commitment
	Marks    []Mark `json:"marks"`
	Position int    `json:"position,omitempty"`
	Remark   string `json:"remark,omitempty"`
}

// Mark is one circle or arrow. Places are parts of the photo's width and
// height, from 0 at the left and top to 1.
type Mark struct {
	Shape string  `json:"shape"` // circle or arrow
	X1    float64 `json:"x1"`    // centre, or where the arrow begins
	Y1    float64 `json:"y1"`
	X2    float64 `json:"x2"` // a point on the circle, or the arrow's head
	Y2    float64 `json:"y2"`
}

func (b *PhotoMarked) check() error {
	if len(b.Marks) == 0 {
		return errors.New("nothing is drawn: draw a circle or an arrow")
	}
	if len(b.Marks) > 50 {
		return fmt.Errorf("%d marks on one photo: 50 at most", len(b.Marks))
	}
	for _, m := range b.Marks {
		if err := checkOneOf("shape", m.Shape, "circle", "arrow"); err != nil {
			return err
		}
		for _, x := range []float64{m.X1, m.Y1, m.X2, m.Y2} {
			if !(x >= 0 && x <= 1) {
				return fmt.Errorf("a mark lies outside the photo, at %g: 0 is left or top, 1 right or bottom", x)
			}
		}
	}
	if b.Position != 0 {
		if err := checkPosition(b.Position); err != nil {
			return err
		}
	}
	return firstError(checkCommitment("photo", b.Photo), checkLength("remark", b.Remark))
}

func (b *PhotoMarked) apply(s *State, at At) {
	if s.Marked == nil {
		s.Marked = map[string]Noted[PhotoMarked]{}
	}
	s.Marked[b.Photo] = Noted[PhotoMarked]{At: at, Body: *b}
}

func (b *PhotoMarked) words(name PositionNamer) string {
	w := "Drawn on a photo: " + count(len(b.Marks), "mark", "marks")
	if b.Position != 0 {
		w += ", position " + name(b.Position)
	}
	if b.Remark != "" {
		return sentence(w + ". " + b.Remark)
	}
	return w + "."
}
