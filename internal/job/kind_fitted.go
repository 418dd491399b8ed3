// SPDX-License-Identifier: Apache-2.0

package job

import "fmt"

// ShellFitted says that both shells are in, and what was looked at.
type ShellFitted struct {
	Position    int      `json:"position"`
	Upper       Shell    `json:"upper"`
	Lower       Shell    `json:"lower"`
	OwnRodCap   bool     `json:"own_rod_and_cap"`
	Marks       bool     `json:"marks_facing"`
	Tangs       bool     `json:"tangs_seated"`
	NotSwapped  bool     `json:"upper_and_lower_not_swapped"`
	OilHoles    bool     `json:"oil_holes_aligned"`
	BacksDry    bool     `json:"backs_dry"`
	Lubricated  bool     `json:"faces_and_bolts_lubricated"`
	Lubricant   string   `json:"lubricant,omitempty"` // the product's name
	Photos      []string `json:"photos,omitempty"`
	Remark      string   `json:"remark,omitempty"`
	RefittedOld bool     `json:"refitted_old,omitempty"` // the old shells went back
}

// Shell is one half, as bought.
type Shell struct {
	ID    string `json:"id,omitempty"` // the workshop's mark on it, such as U07
	Part  string `json:"part,omitempty"`
	Batch string `json:"batch,omitempty"`
}

func (b *ShellFitted) check() error {
	for _, t := range []string{b.Upper.ID, b.Upper.Part, b.Upper.Batch, b.Lower.ID, b.Lower.Part, b.Lower.Batch, b.Lubricant, b.Remark} {
		if err := checkLength("shell", t); err != nil {
			return err
		}
	}
	return firstError(checkPosition(b.Position), checkCommitments("photo", b.Photos))
}

func (b *ShellFitted) apply(s *State, at At) {
	p := s.position(b.Position)
	if p.Shells != nil && (p.Shells.Body.Upper != b.Upper || p.Shells.Body.Lower != b.Lower) {
		p.ShellsSince = at.Seq
	}
	p.Shells = &Noted[ShellFitted]{At: at, Body: *b}
	s.Fittings = append(s.Fittings, *p.Shells)
	s.addPhotos(at, b.Photos)
}

// Missing lists what was not confirmed.
func (b *ShellFitted) Missing() []string {
	var m []string
	for _, c := range []struct {
		ok   bool
		what string
	}{
		{b.OwnRodCap, "own rod and cap"}, {b.Marks, "facing marks"}, {b.Tangs, "tangs seated"},
		{b.NotSwapped, "upper and lower not swapped"}, {b.OilHoles, "oil holes aligned"},
		{b.BacksDry, "backs dry"}, {b.Lubricated, "faces and bolts lubricated"},
	} {
		if !c.ok {
			m = append(m, c.what)
		}
	}
	if b.Lubricated && b.Lubricant == "" {
		m = append(m, "name of the lubricant")
	}
	return m
}

func (b *ShellFitted) words(name PositionNamer) string {
	w := fmt.Sprintf("Position %s: shells fitted, upper %s, lower %s.", name(b.Position), b.Upper.words(), b.Lower.words())
	if m := b.Missing(); len(m) > 0 {
		return w + " Not confirmed: " + list(m) + "."
	}
	return w + " All seven looked at; lubricated with " + b.Lubricant + "."
}

func (s Shell) words() string {
	if s.ID == "" && s.Part == "" {
		return "not named"
	}
	w := s.ID
	if s.Part != "" {
		w += " (" + s.Part
		if s.Batch != "" {
			w += ", batch " + s.Batch
		}
		w += ")"
	}
	return w
}

// PartFitted is any other part that went in.
type PartFitted struct {
	Part     string   `json:"part"`
	Title    string   `json:"title"`
	Batch    string   `json:"batch,omitempty"`
	Quantity float64  `json:"quantity"` // litres and tubes need not be whole
	Position int      `json:"position,omitempty"`
	Photos   []string `json:"photos,omitempty"`
}

func (b *PartFitted) check() error {
	if b.Position != 0 {
		if err := checkPosition(b.Position); err != nil {
			return err
		}
	}
	return firstError(checkQuantity(b.Quantity), checkText("title", b.Title), checkLength("part", b.Part), checkLength("batch", b.Batch), checkCommitments("photo", b.Photos))
}

func (b *PartFitted) apply(s *State, at At) {
	s.Parts = append(s.Parts, Noted[PartFitted]{At: at, Body: *b})
	s.addPhotos(at, b.Photos)
}

func (b *PartFitted) words(name PositionNamer) string {
	w := "Fitted: " + quantity(b.Quantity) + " × " + b.Title
	if b.Part != "" {
		w += ", " + b.Part
	}
	if b.Batch != "" {
		w += ", batch " + b.Batch
	}
	if b.Position != 0 {
		w += ", position " + name(b.Position)
	}
	return w + "."
}

// OldParts says what became of the parts that came out.
type OldParts struct {
	Parts  string `json:"parts"`
	Fate   string `json:"fate"` // shown, kept, returned, scrapped
	Remark string `json:"remark,omitempty"`
}

func (b *OldParts) check() error {
	return firstError(checkText("parts", b.Parts), checkOneOf("fate", b.Fate, "shown", "kept", "returned", "scrapped"),
		checkLength("remark", b.Remark))
}

func (b *OldParts) apply(s *State, at At) {
	s.OldParts = append(s.OldParts, Noted[OldParts]{At: at, Body: *b})
}

func (b *OldParts) words(PositionNamer) string {
	return "Old parts " + map[string]string{"shown": "shown to the owner", "kept": "kept",
		"returned": "returned to the owner", "scrapped": "scrapped"}[b.Fate] + ": " + b.Parts + "."
}
