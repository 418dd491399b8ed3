// SPDX-License-Identifier: Apache-2.0

package record

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/mod/sumdb/note"
)

// manifest is the signed list of what a bundle holds. Its text:
//
//	witnessmark bundle 1
//	<origin>
//	erased <hex>            for every commitment whose data is gone
//	withheld <hex>          for every commitment whose data was not handed over
//	<sha256> <size> <name>  for every file but the manifest, by name
type manifest struct {
	origin   string
	erased   []string
	withheld []string
	files    []fileSum
}

type fileSum struct {
	sum  string // hexadecimal SHA-256
	size int
	name string
}

const manifestHeader = "witnessmark bundle 1"

func newManifest(b Bundle, files map[string][]byte) (manifest, error) {
	name, err := KeyName(b.Chain.Newest())
	if err != nil {
		return manifest{}, err
	}
	m := manifest{origin: Origin(name, b.Entries[0].Subject)}
	named, _ := AllRefs(b.Entries)
	for _, c := range named {
		digits, err := c.Hex()
		if err != nil {
			return manifest{}, err
		}
		_, here := b.Blobs[c]
		switch {
		case here:
		case slices.Contains(b.Withheld, c):
			m.withheld = append(m.withheld, digits)
		default:
			m.erased = append(m.erased, digits)
		}
	}
	slices.Sort(m.erased)
	slices.Sort(m.withheld)
	for _, n := range slices.Sorted(maps.Keys(files)) {
		m.files = append(m.files, sumOf(n, files[n]))
	}
	return m, nil
}

func sumOf(name string, data []byte) fileSum {
	sum := sha256.Sum256(data)
	return fileSum{sum: hex.EncodeToString(sum[:]), size: len(data), name: name}
}

func (m manifest) text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n%s\n", manifestHeader, m.origin)
	for _, d := range m.erased {
		fmt.Fprintf(&b, "erased %s\n", d)
	}
	for _, d := range m.withheld {
		fmt.Fprintf(&b, "withheld %s\n", d)
	}
	for _, f := range m.files {
		fmt.Fprintf(&b, "%s %d %s\n", f.sum, f.size, f.name)
	}
	return b.String()
}

func (m manifest) sign(k Key) ([]byte, error) {
	s, err := k.Signer()
	if err != nil {
		return nil, err
	}
	msg, err := note.Sign(&note.Note{Text: m.text()}, s)
	if err != nil {
		return nil, fmt.Errorf("record: manifest: %w", err)
	}
	return msg, nil
}

// parseManifest reads the text that a manifest signs: nothing but what text
// writes is accepted.
func parseManifest(text string) (manifest, error) {
	lines := strings.Split(text, "\n")
	if len(lines) < 3 || lines[0] != manifestHeader || lines[len(lines)-1] != "" {
		return manifest{}, invalid("manifest: no manifest of a version known here")
	}
	m := manifest{origin: lines[1]}
	for _, l := range lines[2 : len(lines)-1] {
		f := strings.Split(l, " ")
		switch {
		case len(f) == 2 && f[0] == "erased" && isHex(f[1]):
			m.erased = append(m.erased, f[1])
		case len(f) == 2 && f[0] == "withheld" && isHex(f[1]):
			m.withheld = append(m.withheld, f[1])
		case len(f) == 3 && isHex(f[0]):
			size, err := strconv.Atoi(f[1])
			if err != nil {
				return manifest{}, invalid("manifest: size %q", f[1])
			}
			m.files = append(m.files, fileSum{sum: f[0], size: size, name: f[2]})
		default:
			return manifest{}, invalid("manifest: line %q", l)
		}
	}
	if m.text() != text {
		return manifest{}, invalid("manifest: not spelt as this program spells it")
	}
	return m, nil
}
