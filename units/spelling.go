// SPDX-License-Identifier: Apache-2.0

package units

import "strings"

// glyphs brings the ways to write one sign to one sign.
var glyphs = strings.NewReplacer(
	"μ", "µ", // Greek mu to the micro sign
	"º", "°", "˚", "°", "℃", "°C", "℉", "°F",
	"²", "2", "^2", "2", "³", "3", "^3", "3", "⁻¹", "^-1", "−", "-",
	"″", `"`, "”", `"`, "“", `"`, "''", `"`,
)

// normalise returns a unit's spelling with one sign for each meaning: every
// product sign is '·', indices are plain digits, a closing full stop is gone.
func normalise(s string) string {
	s = strings.TrimSuffix(glyphs.Replace(s), ".")
	var b strings.Builder
	product := false
	for _, r := range s {
		switch {
		case isSpace(r) || strings.ContainsRune("·⋅∙•.*-‐‑×", r):
			product = true
			continue
		case product:
			b.WriteRune('·')
			product = false
		}
		b.WriteRune(r)
	}
	if product {
		b.WriteRune('·') // a mark left over is part of no unit
	}
	return b.String()
}

// isSpace tells whether r is one of the spaces that people and programs put
// between a number and its unit.
func isSpace(r rune) bool {
	switch r {
	case ' ', '\t', '\r', '\n', '\u00a0', '\u2007', '\u2009', '\u200a', '\u202f', '\ufeff':
		return true
	}
	return false
}

// spelling is what the index is asked for.
type spelling struct {
	kind Kind
	text string
}

// index answers which unit a spelling stands for.
type index struct {
	symbols       map[spelling]Unit // as written in the table, which most are
	exact, folded map[spelling]Unit
}

var spellings = buildIndex()

func buildIndex() index {
	ix := index{symbols: map[spelling]Unit{}, exact: map[spelling]Unit{}, folded: map[spelling]Unit{}}
	for _, e := range table {
		k := e.unit.Kind
		ix.symbols[spelling{k, e.unit.Symbol}] = e.unit
		ix.exact[spelling{k, normalise(e.unit.Symbol)}] = e.unit
		for _, s := range e.exact {
			ix.exact[spelling{k, normalise(s)}] = e.unit
		}
		for _, s := range e.folded {
			ix.folded[spelling{k, fold(s)}] = e.unit
		}
	}
	return ix
}

func fold(s string) string { return glyphs.Replace(strings.ToLower(normalise(s))) }

// LookupUnit returns the unit of the kind that symbol stands for, in any
// spelling that [Parse] takes. It returns a *ParseError when the spelling is
// not known, has two meanings, or belongs to another kind.
func LookupUnit(kind Kind, symbol string) (Unit, error) {
	u, no := lookup(kind, symbol)
	if no != nil {
		return Unit{}, no
	}
	return u, nil
}

func lookup(kind Kind, symbol string) (Unit, *ParseError) {
	symbol = strings.TrimFunc(symbol, isSpace)
	if u, ok := spellings.symbols[spelling{kind, symbol}]; ok {
		return u, nil
	}
	n := normalise(symbol)
	if u, ok := spellings.exact[spelling{kind, n}]; ok {
		return u, nil
	}
	if _, ok := refusedSpellings[spelling{kind, n}]; !ok {
		if u, ok := spellings.folded[spelling{kind, fold(symbol)}]; ok {
			return u, nil
		}
	}
	if why, ok := refusedAs(kind, symbol); ok {
		return Unit{}, why.about(symbol, kind)
	}
	return Unit{}, unknownUnit(kind, symbol)
}

// refusedAs returns why the spelling is refused, as written or in small
// letters; not ok if it is not one of those with two meanings.
func refusedAs(kind Kind, symbol string) (refusal, bool) {
	if why, ok := refusedSpellings[spelling{kind, normalise(symbol)}]; ok {
		return why, true
	}
	why, ok := refusedSpellings[spelling{kind, fold(symbol)}]
	return why, ok
}
