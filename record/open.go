// SPDX-License-Identifier: Apache-2.0

package record

import (
	"bytes"
	"strings"
)

// opened is a bundle as read, with what was found wrong on the way.
type opened struct {
	Bundle
	files      map[string][]byte
	canonical  bool
	chainErr   error
	entriesErr error // the first line that can't be read
	entriesBad int64 // and its number
}

func openBundle(data []byte) (opened, error) {
	files, canonical, err := readZip(data)
	if err != nil {
		return opened{}, err
	}
	o := opened{files: files, canonical: canonical}
	o.Sheets = map[ContentHash][]byte{}
	o.Blobs = map[Commitment]Blob{}
	o.Files = map[string][]byte{}
	o.readEntries()
	o.Leaves = parseLeaves(files["leaves.txt"])
	o.Chain, o.chainErr = ParseChain(files["keys/chain"])
	for name, data := range files {
		folder, rest, _ := strings.Cut(name, "/")
		switch folder {
		case "sheets":
			o.Sheets[ContentHash(sheetPrefix+strings.TrimSuffix(rest, ".yaml"))] = data
		case "blobs":
			if !strings.HasSuffix(rest, ".salt") {
				o.Blobs[Commitment(blobPrefix+rest)] = Blob{Salt: files[name+".salt"], Data: data}
			}
		case "files":
			o.Files[rest] = data
		}
	}
	return o, nil
}

// readEntries reads lines up to the first that can't be read: after it nothing
// is where it was.
func (o *opened) readEntries() {
	data := o.files["entries.jsonl"]
	for n := int64(1); len(data) > 0; n++ {
		line, rest, ended := bytes.Cut(data, []byte("\n"))
		e, err := ParseLine(line)
		if err == nil && !ended {
			err = invalid("the last line has no end")
		}
		if err != nil {
			o.entriesErr, o.entriesBad = err, n
			return
		}
		o.Entries = append(o.Entries, e)
		data = rest
	}
}

// trustedLeaves returns the leaf hashes only if the manifest vouches for them,
// so that a changed list can't blame a good entry.
func (o opened) trustedLeaves() []Hash {
	for _, k := range o.Chain.Keys {
		text, err := o.manifestBy(k)
		if err != nil {
			continue
		}
		m, err := parseManifest(text)
		if err != nil {
			continue
		}
		for _, f := range m.files {
			if f == sumOf("leaves.txt", o.files["leaves.txt"]) {
				return o.Leaves
			}
		}
	}
	return nil
}

// manifestText returns the manifest's text if the newest key has signed it.
func (o opened) manifestText(chain Chain) (string, error) { return o.manifestBy(chain.Newest()) }

func (o opened) manifestBy(vkey string) (string, error) {
	return OpenNote(string(o.files["manifest"]), vkey)
}
