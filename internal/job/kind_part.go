// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"math"
	"strconv"
)

// PartOrdered says that a part was ordered. The part is named by its id in the
// plan, or by its number where the job has no plan.
type PartOrdered struct {
	Part     string  `json:"part"`
	Title    string  `json:"title,omitempty"`
	Number   string  `json:"number,omitempty"` // that is expected on it; empty: Part
	Quantity float64 `json:"quantity"`
	Supplier string  `json:"supplier,omitempty"`
	On       string  `json:"on"` // date
	Promised string  `json:"promised,omitempty"`
}

func (b *PartOrdered) check() error {
	return firstError(checkText("part", b.Part), checkLength("title", b.Title), checkLength("number", b.Number), checkQuantity(b.Quantity),
		checkLength("supplier", b.Supplier), checkDate("ordered on", b.On), checkMaybeDate("promised", b.Promised))
}

func (b *PartOrdered) apply(s *State, at At) {
	t := s.ordered(b.Part)
	t.name(b.Title)
	t.Ordered = append(t.Ordered, Noted[PartOrdered]{At: at, Body: *b})
	if b.Promised != "" {
		t.Promised = append(t.Promised, Noted[PartPromised]{At: at, Body: PartPromised{Part: b.Part, For: b.Promised}})
	}
}

func (b *PartOrdered) words(PositionNamer) string {
	w := "Ordered " + b.On + ": " + quantity(b.Quantity) + " × " + partTitle(b.Title, b.Part)
	if b.Supplier != "" {
		w += ", from " + b.Supplier
	}
	if b.Promised != "" {
		w += ", promised for " + b.Promised
	}
	return w + "."
}

// PartPromised is the day for which the supplier promised a part.
type PartPromised struct {
	Part string `json:"part"`
	For  string `json:"for"` // date
}

func (b *PartPromised) check() error {
	return firstError(checkText("part", b.Part), checkDate("promised for", b.For))
}

func (b *PartPromised) apply(s *State, at At) {
	t := s.ordered(b.Part)
	t.Promised = append(t.Promised, Noted[PartPromised]{At: at, Body: *b})
}

func (b *PartPromised) words(PositionNamer) string {
	return "Promised for " + b.For + ": " + b.Part + "."
}

// PartBackOrdered says that the supplier is short of a part, and of how many.
type PartBackOrdered struct {
	Part   string  `json:"part"`
	Short  float64 `json:"short"`
	Until  string  `json:"until,omitempty"` // date for which the rest is promised
	Remark string  `json:"remark,omitempty"`
}

func (b *PartBackOrdered) check() error {
	return firstError(checkText("part", b.Part), checkQuantity(b.Short), checkMaybeDate("until", b.Until), checkLength("remark", b.Remark))
}

func (b *PartBackOrdered) apply(s *State, at At) {
	t := s.ordered(b.Part)
	t.Back = &Noted[PartBackOrdered]{At: at, Body: *b}
	if b.Until != "" {
		t.Promised = append(t.Promised, Noted[PartPromised]{At: at, Body: PartPromised{Part: b.Part, For: b.Until}})
	}
}

func (b *PartBackOrdered) words(PositionNamer) string {
	w := "On back order: " + b.Part + ", " + quantity(b.Short) + " short"
	if b.Until != "" {
		w += ", promised for " + b.Until
	}
	w += "."
	if b.Remark != "" {
		w += " " + b.Remark
	}
	return w
}

// PartReturned says that a part went back to the supplier.
type PartReturned struct {
	Part     string  `json:"part"`
	Quantity float64 `json:"quantity"`
	Why      string  `json:"why"` // not_needed, wrong, damaged
	Remark   string  `json:"remark,omitempty"`
}

// ReturnReasons are what PartReturned.Why may be.
var ReturnReasons = []string{"not_needed", "wrong", "damaged"}

func (b *PartReturned) check() error {
	return firstError(checkText("part", b.Part), checkQuantity(b.Quantity), checkOneOf("why", b.Why, ReturnReasons...), checkLength("remark", b.Remark))
}

func (b *PartReturned) apply(s *State, at At) {
	t := s.ordered(b.Part)
	t.Returned = append(t.Returned, Noted[PartReturned]{At: at, Body: *b})
}

func (b *PartReturned) words(PositionNamer) string {
	w := "Returned: " + quantity(b.Quantity) + " × " + b.Part + ", " + plainWord(b.Why) + "."
	if b.Remark != "" {
		w += " " + b.Remark
	}
	return w
}

func partTitle(title, part string) string {
	if title == "" {
		return part
	}
	return title + " (" + part + ")"
}

// quantity says how many without needless digits.
func quantity(q float64) string { return strconv.FormatFloat(q, 'f', -1, 64) }

func checkQuantity(q float64) error {
	if !(q > 0) || q > 10_000 || math.IsInf(q, 0) {
		return fmt.Errorf("quantity %s: write how many, more than 0 and at most 10000", quantity(q))
	}
	return nil
}

func checkMaybeDate(what, got string) error {
	if got == "" {
		return nil
	}
	return checkDate(what, got)
}
