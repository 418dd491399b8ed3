// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"witnessmark/engine"
)

// positionName is the position with its cylinder: "4 (B2)".
func positionName(n int, cylinder string) string {
	if cylinder == "" {
		return strconv.Itoa(n)
	}
	return fmt.Sprintf("%d (%s)", n, cylinder)
}

// count says "1 bolt" or "3 bolts".
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

func noteName(seq int64) string { return "entry-" + strconv.FormatInt(seq, 10) }

// positions says "position 4", "positions 4, 6 and 7" or "positions 1 to 8".
func positions(ns []int) string {
	if len(ns) == 1 {
		return "position " + strconv.Itoa(ns[0])
	}
	return "positions " + list(runs(ns))
}

// runs puts three and more numbers that follow each other into one word: 1 to
// 4, 6, 7.
func runs(ns []int) []string {
	var out []string
	for len(ns) > 0 {
		n := 1
		for n < len(ns) && ns[n] == ns[n-1]+1 {
			n++
		}
		if n > 2 {
			out = append(out, strconv.Itoa(ns[0])+" to "+strconv.Itoa(ns[n-1]))
		} else {
			n = 1
			out = append(out, strconv.Itoa(ns[0]))
		}
		ns = ns[n:]
	}
	return out
}

// places lists the places of a sentence; those named by one word and a number
// share the word: throws 1 to 4.
func places(names []string) string {
	var noun string
	var ns []int
	for i, name := range names {
		word, rest, _ := strings.Cut(name, " ")
		number, _, _ := strings.Cut(rest, " (") // its cylinder
		n, err := strconv.Atoi(number)
		if err != nil || i > 0 && word != noun {
			return list(names)
		}
		noun, ns = word, append(ns, n)
	}
	if len(ns) < 2 {
		return list(names)
	}
	return noun + "s " + list(runs(ns))
}

// sentence starts with a capital and ends with a full stop.
func sentence(s string) string {
	s = strings.TrimSpace(s)
	if s == "" {
		return ""
	}
	if !strings.HasSuffix(s, ".") && !strings.HasSuffix(s, "?") {
		s += "."
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// photoless lists what a wanted photo is missing for.
func (a *assessor) photoless(want engine.PhotoWanted) []string {
	have := a.photographed(want)
	switch want.Each {
	case "position":
		return a.eachPosition(func(n int) []string {
			if slices.ContainsFunc(have, func(p photographed) bool { return p.position == n }) {
				return nil
			}
			return []string{"position " + strconv.Itoa(n)}
		})
	case "shell":
		return a.eachPosition(func(n int) []string {
			var missing []string
			for _, half := range []string{Upper, Lower} {
				if !slices.Contains(have, photographed{n, half}) {
					missing = append(missing, half+" shell of position "+strconv.Itoa(n))
				}
			}
			return missing
		})
	}
	if len(have) == 0 {
		return []string{plainWord(want.Of)}
	}
	return nil
}

func (a *assessor) eachPosition(missing func(n int) []string) []string {
	var out []string
	for _, p := range a.b.Sheet.Positions() {
		out = append(out, missing(p.Number)...)
	}
	return out
}

// photographed is a place that has a photo.
type photographed struct {
	position int
	half     string
}

func (a *assessor) photographed(want engine.PhotoWanted) []photographed {
	var out []photographed
	add := func(photos []string, position int, half string) {
		if len(photos) > 0 {
			out = append(out, photographed{position, half})
		}
	}
	switch want.Of {
	case "arrival":
		if a.s.Arrival != nil {
			add(a.s.Arrival.Body.Photos, 0, "")
		}
	case "witness_mark":
		for k, b := range a.s.Bolts {
			add(b.Photos, k.Position, "")
		}
	case "debris":
		for _, d := range a.s.Debris {
			add(d.Body.Photos, 0, "")
		}
	case "operation":
		for _, o := range a.s.Operations {
			add(o.Body.Photos, o.Body.Position, "")
		}
	case "note":
		for _, n := range a.s.Notes {
			add(n.Body.Photos, n.Body.Position, "")
		}
	}
	for n, p := range a.s.Positions {
		out = append(out, p.photographed(want.Of, n)...)
	}
	return out
}

func (p *Position) photographed(of string, n int) []photographed {
	var out []photographed
	switch {
	case of == "wear":
		for _, w := range p.Wear {
			if len(w.Body.Photos) > 0 {
				out = append(out, photographed{n, w.Body.Half})
			}
		}
	case of == "journal":
		for _, j := range p.Journal {
			if len(j.Body.Photos) > 0 {
				out = append(out, photographed{n, ""})
			}
		}
	case of == "shell_fitted" && p.Shells != nil && len(p.Shells.Body.Photos) > 0:
		out = append(out, photographed{n, ""})
	}
	return out
}
