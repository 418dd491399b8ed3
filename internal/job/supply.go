// SPDX-License-Identifier: Apache-2.0

package job

// PartTrack is what is on record of one part, by the name under which it was
// recorded.
type PartTrack struct {
	Part     string
	Title    string
	Ordered  []Noted[PartOrdered]
	Promised []Noted[PartPromised]
	Back     *Noted[PartBackOrdered]
	Arrived  []Noted[PartArrived]
	Checked  []Noted[PartChecked]
	Returned []Noted[PartReturned]
}

// SpecialTool is what is on record of one special tool of a job.
type SpecialTool struct {
	Tool     string
	Reserved *Noted[ToolReserved]
	Borrowed *Noted[ToolBorrowed]
	Returned *Noted[ToolGivenBack]
}

// ProofKey names a thing that an operation disturbed.
type ProofKey struct{ Operation, Thing string }

func (s *State) ordered(part string) *PartTrack {
	if s.Supply == nil {
		s.Supply = map[string]*PartTrack{}
	}
	if s.Supply[part] == nil {
		s.Supply[part] = &PartTrack{Part: part}
	}
	return s.Supply[part]
}

func (s *State) special(tool string) *SpecialTool {
	if s.Special == nil {
		s.Special = map[string]*SpecialTool{}
	}
	if s.Special[tool] == nil {
		s.Special[tool] = &SpecialTool{Tool: tool}
	}
	return s.Special[tool]
}

func (t *PartTrack) name(title string) {
	if title != "" {
		t.Title = title
	}
}

// Supplier is who it was last ordered from.
func (t *PartTrack) Supplier() string {
	for i := len(t.Ordered) - 1; i >= 0; i-- {
		if s := t.Ordered[i].Body.Supplier; s != "" {
			return s
		}
	}
	return ""
}

// Seqs are the entries about it.
func (t *PartTrack) Seqs() []int64 {
	var out []int64
	for _, x := range t.Ordered {
		out = append(out, x.At.Seq)
	}
	for _, x := range t.Promised {
		out = append(out, x.At.Seq)
	}
	if t.Back != nil {
		out = append(out, t.Back.At.Seq)
	}
	for _, x := range t.Arrived {
		out = append(out, x.At.Seq)
	}
	for _, x := range t.Checked {
		out = append(out, x.At.Seq)
	}
	for _, x := range t.Returned {
		out = append(out, x.At.Seq)
	}
	return out
}

func (t *PartTrack) many() (ordered, arrived, returned float64) {
	for _, x := range t.Ordered {
		ordered += x.Body.Quantity
	}
	for _, x := range t.Arrived {
		arrived += x.Body.Quantity
	}
	for _, x := range t.Returned {
		returned += x.Body.Quantity
	}
	return ordered, arrived, returned
}
