// SPDX-License-Identifier: Apache-2.0

package job

// PartArrived says that a part came.
type PartArrived struct {
	Part     string   `json:"part"`
	Quantity float64  `json:"quantity"`
	On       string   `json:"on,omitempty"`     // date; empty: the day of the entry
	Number   string   `json:"number,omitempty"` // seen on it, typed or scanned
	Photos   []string `json:"photos,omitempty"`
}

func (b *PartArrived) check() error {
	return firstError(checkText("part", b.Part), checkQuantity(b.Quantity), checkMaybeDate("arrived on", b.On), checkLength("number", b.Number),
		checkCommitments("photo", b.Photos))
}

func (b *PartArrived) apply(s *State, at At) {
	t := s.ordered(b.Part)
	t.Arrived = append(t.Arrived, Noted[PartArrived]{At: at, Body: *b})
	if b.Number != "" {
		t.Checked = append(t.Checked, Noted[PartChecked]{At: at, Body: PartChecked{Part: b.Part, Seen: b.Number}})
	}
	s.addPhotos(at, b.Photos)
}

func (b *PartArrived) words(PositionNamer) string {
	w := "Arrived: " + quantity(b.Quantity) + " × " + b.Part
	if b.On != "" {
		w += ", on " + b.On
	}
	if b.Number != "" {
		w += ", number " + b.Number
	}
	return w + "."
}

// PartChecked holds the number on a part against the one expected. A number
// that differs is a question until it is checked again, or somebody says why
// it is right.
type PartChecked struct {
	Part     string `json:"part"`
	Seen     string `json:"seen"`               // typed or scanned
	Expected string `json:"expected,omitempty"` // empty: that of the order
	Right    string `json:"right_because,omitempty"`
}

func (b *PartChecked) check() error {
	return firstError(checkText("part", b.Part), checkText("number seen", b.Seen), checkLength("expected", b.Expected), checkLength("reason", b.Right))
}

func (b *PartChecked) apply(s *State, at At) {
	t := s.ordered(b.Part)
	t.Checked = append(t.Checked, Noted[PartChecked]{At: at, Body: *b})
}

func (b *PartChecked) words(PositionNamer) string {
	w := "Number seen on " + b.Part + ": " + b.Seen
	if b.Expected != "" {
		w += ", expected " + b.Expected
	}
	w += "."
	if b.Right != "" {
		w += " Right because: " + b.Right
	}
	return w
}
