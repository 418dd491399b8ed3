// SPDX-License-Identifier: Apache-2.0

package report

import (
	"cmp"
	"errors"
	"slices"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// Bag is an operation whose bag may be marked.
type Bag struct{ Operation, Title string }

// Bags are the operations of the plan, and others on record.
func Bags(p *shop.Planned) []Bag {
	var out []Bag
	for _, o := range p.Operations {
		out = append(out, Bag{o.ID, o.Title})
	}
	for _, o := range p.State.Operations {
		if !slices.ContainsFunc(out, func(x Bag) bool { return x.Operation == o.Body.Operation }) {
			out = append(out, Bag{o.Body.Operation, cmp.Or(o.Body.Title, o.Body.Operation)})
		}
	}
	return out
}

// Stickers are labels for the bags of operations, the bins of parts, and other
// names, one a line. It returns an error where nothing of it is known.
func Stickers(p *shop.Planned, bags, bins []string, other string) ([]Sticker, error) {
	v := p.View()
	about := strings.TrimSpace("Job " + v.Number + " · " + v.Vehicle)
	var out []Sticker
	add := func(kind, item, title string, more ...string) {
		out = append(out, Sticker{Code: job.Label{Job: p.ID, Kind: kind, Item: item}.Text(), Title: title, Lines: append([]string{about}, more...)})
	}
	for _, o := range Bags(p) {
		if !slices.Contains(bags, o.Operation) {
			continue
		}
		var things []string
		for _, x := range p.Operations {
			if x.ID == o.Operation {
				for _, t := range x.Things {
					things = append(things, t.Title)
				}
			}
		}
		add(job.LabelBag, o.Operation, o.Title, strings.Join(things, ", "))
	}
	for _, x := range p.Parts {
		if slices.Contains(bins, x.Part) {
			add(job.LabelBin, x.Part, x.Title, x.Part)
		}
	}
	for _, name := range strings.FieldsFunc(other, func(r rune) bool { return r == '\n' || r == '\r' || r == ';' }) {
		if name = strings.TrimSpace(name); name != "" && len(name) <= 80 {
			add(job.LabelPlace, name, name)
		}
	}
	if len(out) == 0 {
		return nil, errors.New("no label is chosen: tick a bag or a bin, or write a name")
	}
	return out, nil
}
