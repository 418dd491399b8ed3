// SPDX-License-Identifier: Apache-2.0

package job

import "fmt"

// ToolReserved promises a special tool to the job over some days, both
// included. It is in hand from the first of them on only once it is borrowed.
type ToolReserved struct {
	Tool string `json:"tool"` // as the plan names it, or its id in the register
	From string `json:"from"`
	To   string `json:"to"`
	Of   string `json:"of,omitempty"` // who lends it
}

func (b *ToolReserved) check() error {
	if err := firstError(checkText("tool", b.Tool), checkDate("from", b.From), checkDate("to", b.To), checkLength("lender", b.Of)); err != nil {
		return err
	}
	if b.To < b.From {
		return fmt.Errorf("reserved to %s, before it begins on %s: exchange the two, or correct one", b.To, b.From)
	}
	return nil
}

func (b *ToolReserved) apply(s *State, at At) {
	t := s.special(b.Tool)
	t.Reserved = &Noted[ToolReserved]{At: at, Body: *b}
	t.Borrowed, t.Returned = nil, nil
}

func (b *ToolReserved) words(PositionNamer) string {
	w := "Reserved: " + b.Tool + ", from " + b.From + " to " + b.To
	if b.Of != "" {
		w += ", of " + b.Of
	}
	return w + "."
}

// ToolBorrowed says that a special tool is in hand.
type ToolBorrowed struct {
	Tool string `json:"tool"`
	Of   string `json:"of,omitempty"`
	Due  string `json:"due_back,omitempty"`
}

func (b *ToolBorrowed) check() error {
	return firstError(checkText("tool", b.Tool), checkLength("lender", b.Of), checkMaybeDate("due back", b.Due))
}

func (b *ToolBorrowed) apply(s *State, at At) {
	t := s.special(b.Tool)
	t.Borrowed, t.Returned = &Noted[ToolBorrowed]{At: at, Body: *b}, nil
}

func (b *ToolBorrowed) words(PositionNamer) string {
	w := "In hand: " + b.Tool
	if b.Of != "" {
		w += ", borrowed of " + b.Of
	}
	if b.Due != "" {
		w += ", due back " + b.Due
	}
	return w + "."
}

// ToolGivenBack says that a special tool went back.
type ToolGivenBack struct {
	Tool   string `json:"tool"`
	Remark string `json:"remark,omitempty"`
}

func (b *ToolGivenBack) check() error {
	return firstError(checkText("tool", b.Tool), checkLength("remark", b.Remark))
}

func (b *ToolGivenBack) apply(s *State, at At) {
	s.special(b.Tool).Returned = &Noted[ToolGivenBack]{At: at, Body: *b}
}

func (b *ToolGivenBack) words(PositionNamer) string {
	w := "Given back: " + b.Tool + "."
	if b.Remark != "" {
		w += " " + b.Remark
	}
	return w
}
