// SPDX-License-Identifier: Apache-2.0

package record

import (
	"fmt"
	"io"
	"slices"
	"strings"
)

// Bundle is a log with all that belongs to it, to be handed to somebody else.
//
// Inside the zip, in the order of their names:
//
//	blobs/<hex>, blobs/<hex>.salt   personal data and photos
//	entries.jsonl                   the lines, each with a newline
//	keys/chain                      the workshop's public keys
//	leaves.txt                      the leaf hash of each line, to name what was changed
//	manifest                        a signed note over the sums of all other files
//	seals/NNN.note                  the seals, also held by their entries
//	sheets/<hex>.yaml               engine sheets by content hash
//	files/...                       report and others
//
// Files are stored, not compressed, with no time: the same content and key
// give the same bytes.
type Bundle struct {
	Entries  []Entry
	Leaves   []Hash // as the store kept them; nil to compute them from the entries
	Sheets   map[ContentHash][]byte
	Blobs    map[Commitment]Blob
	Withheld []Commitment      // named by entries, kept by the workshop, not handed over
	Files    map[string][]byte // report.html and others: plain names, "/" between folders
	Chain    Chain
}

// maxBundle is the largest bundle that is read, in bytes.
const maxBundle = 4 << 30

// WriteBundle writes b as a zip with a manifest signed by k, which must be the
// newest key of the chain. Personal data named by entries but found neither in
// Blobs nor in Withheld is listed as erased.
func WriteBundle(w io.Writer, b Bundle, k Key) error {
	files, err := b.files()
	if err != nil {
		return err
	}
	if b.Chain.Newest() != k.Verifier {
		return invalid("a bundle is signed with the newest key of its chain")
	}
	m, err := newManifest(b, files)
	if err != nil {
		return err
	}
	signed, err := m.sign(k)
	if err != nil {
		return err
	}
	files["manifest"] = signed
	return writeZip(w, files)
}

// files lays out everything but the manifest.
func (b Bundle) files() (map[string][]byte, error) {
	if len(b.Entries) == 0 {
		return nil, invalid("a bundle needs entries")
	}
	if err := b.Chain.Check(); err != nil {
		return nil, err
	}
	files := map[string][]byte{
		"entries.jsonl": joinLines(b.Entries),
		"leaves.txt":    joinLeaves(b.leaves()),
		"keys/chain":    b.Chain.Marshal(),
	}
	for i, s := range seals(b.Entries) {
		files[sealName(i)] = []byte(s.Note)
	}
	for h, data := range b.Sheets {
		digits, err := h.Hex()
		if err != nil {
			return nil, err
		}
		files["sheets/"+digits+".yaml"] = data
	}
	for c, blob := range b.Blobs {
		digits, err := c.Hex()
		if err != nil {
			return nil, err
		}
		files["blobs/"+digits] = blob.Data
		files["blobs/"+digits+".salt"] = blob.Salt
	}
	for name, data := range b.Files {
		if !isFileName(name) {
			return nil, invalid("file name %q can't stand in a bundle", name)
		}
		files["files/"+name] = data
	}
	return files, nil
}

func (b Bundle) leaves() []Hash {
	if b.Leaves != nil {
		return b.Leaves[:min(len(b.Leaves), len(b.Entries))] // entries may have come since the entries were read
	}
	out := make([]Hash, 0, len(b.Entries))
	for _, e := range b.Entries {
		out = append(out, e.Leaf())
	}
	return out
}

func seals(entries []Entry) []Seal {
	var out []Seal
	for _, e := range entries {
		if s, err := ParseSeal(e); err == nil {
			out = append(out, s)
		}
	}
	return out
}

func sealName(i int) string { return fmt.Sprintf("seals/%03d.note", i+1) }

func joinLines(entries []Entry) []byte {
	var out []byte
	for _, e := range entries {
		out = append(append(out, e.Raw...), '\n')
	}
	return out
}

func joinLeaves(leaves []Hash) []byte {
	var b strings.Builder
	for _, h := range leaves {
		fmt.Fprintf(&b, "%x\n", h[:])
	}
	return []byte(b.String())
}

// isFileName allows folders and lower-case names, nothing that climbs out.
func isFileName(s string) bool {
	return len(s) <= 200 && !slices.ContainsFunc(strings.Split(s, "/"), func(part string) bool {
		return !isName(part) || strings.ToLower(part) != part
	})
}
