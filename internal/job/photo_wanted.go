// SPDX-License-Identifier: Apache-2.0

package job

import (
	"slices"
	"strconv"
	"strings"

	"witnessmark/engine"
)

// PhotoAsk is a photo that the engine sheet asks for at one step.
type PhotoAsk struct {
	Why  string // what it is to show
	Have bool
}

// PhotosAsked are the photos that the sheet asks for with a kind of entry, at
// one position or, for 0, anywhere. of is as the sheet names it: wear,
// witness_mark, debris.
func PhotosAsked(a Assessment, b Basis, of string, position int) []PhotoAsk {
	if b.Sheet == nil {
		return nil
	}
	var out []PhotoAsk
	for _, want := range b.Sheet.PhotosWanted {
		if want.Of != of {
			continue
		}
		missing := slices.ContainsFunc(a.Obstacles, func(o Obstacle) bool {
			return o.Code == PhotoMissing && o.Of == want.ID && missingAt(o.Items, position)
		})
		why := want.Why
		if why == "" {
			why = plainWord(of)
		}
		out = append(out, PhotoAsk{why, !missing})
	}
	return out
}

// photoPages are the pages of a job on which the sheet's photos are taken.
var photoPages = map[string]string{"arrival": "arrival", "debris": "debris", "operation": "strip", "note": "note",
	"witness_mark": "bolts", "wear": "wear/", "journal": "wear/", "shell_fitted": "shells/"}

// photoPage is the page that takes the first photo that is missing.
func photoPage(b Basis, o Obstacle) string {
	if b.Sheet == nil || len(o.Items) == 0 {
		return ""
	}
	i := slices.IndexFunc(b.Sheet.PhotosWanted, func(w engine.PhotoWanted) bool { return w.ID == o.Of })
	if i < 0 {
		return ""
	}
	page := photoPages[b.Sheet.PhotosWanted[i].Of]
	if !strings.HasSuffix(page, "/") {
		return page
	}
	if _, n, ok := strings.Cut(o.Items[0], "position "); ok {
		return page + n
	}
	return page + "1"
}

// missingAt reports whether a list of missing photos has one of the position.
func missingAt(items []string, position int) bool {
	if position == 0 {
		return len(items) > 0
	}
	at := "position " + strconv.Itoa(position)
	return slices.ContainsFunc(items, func(s string) bool {
		return strings.HasSuffix(s, at) || !strings.Contains(s, "position ")
	})
}
