// SPDX-License-Identifier: Apache-2.0

package report

import (
	"strings"

	"witnessmark/internal/draw"
)

// wrap breaks a text into lines no wider than w. Line breaks in the text stay;
// a word wider than a line is broken where it must be.
func wrap(text string, w float64, t type_) []string {
	var out []string
	for para := range strings.SplitSeq(strings.TrimRight(strings.ReplaceAll(text, "\r\n", "\n"), "\n \t"), "\n") {
		out = append(out, wrapLine(draw.Printable(para), w, t)...)
	}
	return out
}

func wrapLine(text string, w float64, t type_) []string {
	var out []string
	line, full, space := "", 0.0, wide(" ", t)
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' }) {
		more := wide(word, t)
		if line != "" && full+space+more <= w {
			line, full = line+" "+word, full+space+more
			continue
		}
		if line != "" {
			out = append(out, line)
		}
		line, full = word, more
		for full > w {
			head, tail := chop(line, w, t)
			out = append(out, head)
			line, full = tail, wide(tail, t)
		}
	}
	return append(out, line)
}

// chop breaks a word so that its head fits; at least one character goes.
func chop(word string, w float64, t type_) (head, tail string) {
	width, at := 0.0, 0
	for i, r := range word {
		width += wide(string(r), t)
		if width > w && i > 0 {
			break
		}
		at = i + len(string(r))
		if r == '-' || r == '/' {
			// A word is better broken at its own joints, if that leaves enough.
			if rest := wide(word[at:], t); width > w*0.6 && rest > 0 {
				return word[:at], word[at:]
			}
		}
	}
	return word[:at], word[at:]
}

// clip is a text on one line of width w, with … where something is left out.
func clip(text string, w float64, t type_) string {
	text = draw.Printable(text)
	if wide(text, t) <= w {
		return text
	}
	head, _ := chop(text, w-wide("…", t), t)
	return strings.TrimRight(head, " ") + "…"
}

// clipped wraps a text into at most n lines, the last with … where something
// is left out.
func clipped(text string, w float64, t type_, n int) []string {
	lines := wrap(text, w, t)
	if len(lines) <= n {
		return lines
	}
	lines = lines[:n]
	lines[n-1] = clip(lines[n-1]+" …", w, t)
	if !strings.HasSuffix(lines[n-1], "…") {
		lines[n-1] += "…"
	}
	return lines
}

func wide(text string, t type_) float64 { return draw.TextWidth(text, t.size, t.bold) }
