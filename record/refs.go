// SPDX-License-Identifier: Apache-2.0

package record

import (
	"bytes"
	"encoding/json"
)

// Refs returns the commitments and content hashes that a body names: every
// string in it that is one (names too), in order, each once. So a log can be
// bundled and verified without knowing its kinds.
func Refs(body []byte) ([]Commitment, []ContentHash) {
	if !bytes.Contains(body, []byte(blobPrefix)) && !bytes.Contains(body, []byte(sheetPrefix)) {
		return nil, nil
	}
	var blobs []Commitment
	var sheets []ContentHash
	seen := map[string]bool{}
	d := json.NewDecoder(bytes.NewReader(body))
	d.UseNumber()
	for {
		t, err := d.Token()
		if err != nil {
			return blobs, sheets
		}
		s, ok := t.(string)
		if !ok || seen[s] {
			continue
		}
		seen[s] = true
		if _, err := Commitment(s).Hex(); err == nil {
			blobs = append(blobs, Commitment(s))
		}
		if _, err := ContentHash(s).Hex(); err == nil {
			sheets = append(sheets, ContentHash(s))
		}
	}
}

// AllRefs is [Refs] over a log.
func AllRefs(entries []Entry) ([]Commitment, []ContentHash) {
	var blobs []Commitment
	var sheets []ContentHash
	seenB, seenS := map[Commitment]bool{}, map[ContentHash]bool{}
	for _, e := range entries {
		bs, ss := Refs(e.Body)
		for _, b := range bs {
			if !seenB[b] {
				seenB[b] = true
				blobs = append(blobs, b)
			}
		}
		for _, s := range ss {
			if !seenS[s] {
				seenS[s] = true
				sheets = append(sheets, s)
			}
		}
	}
	return blobs, sheets
}
