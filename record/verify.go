// SPDX-License-Identifier: Apache-2.0

package record

import (
	"bytes"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
)

// Verification says what holds and what doesn't. Nothing is changed by it.
type Verification struct {
	OK       bool
	Origin   string // workshop id / job id
	Subject  string
	Entries  int64       // number of entries
	Sealed   int64       // how many of them the newest seal covers
	Seals    []SealCheck // oldest first
	Erased   []Commitment
	Withheld []Commitment
	FirstBad int64     // the record can't be relied on from this entry on; 0 = none
	Problems []Problem // what is wrong; empty if OK
}

// SealCheck is a seal with what came out of checking it.
type SealCheck struct {
	Seal
	OK bool
}

// Problem is one thing that is wrong.
type Problem struct {
	Where string // "entry 41", "seal 2", "manifest", "sheets/….yaml"
	Seq   int64  // the entry from which on it matters, 0 if none
	What  string // a plain sentence
}

func (p Problem) String() string { return p.Where + ": " + p.What }

func (v *Verification) add(where string, seq int64, format string, args ...any) {
	v.Problems = append(v.Problems, Problem{Where: where, Seq: seq, What: fmt.Sprintf(format, args...)})
	if seq > 0 && (v.FirstBad == 0 || seq < v.FirstBad) {
		v.FirstBad = seq
	}
}

// String gives one sentence a person can act on.
func (v Verification) String() string {
	switch {
	case v.OK && v.Sealed == 0:
		return fmt.Sprintf("%s: %d entries, not sealed.", v.Origin, v.Entries)
	case v.OK:
		return fmt.Sprintf("%s: %d entries, sealed to entry %d, all as they were kept.", v.Origin, v.Entries, v.Sealed)
	case v.FirstBad > 0:
		return fmt.Sprintf("%s: the record does not match its seal from entry %d on.", v.Origin, v.FirstBad)
	default:
		return fmt.Sprintf("%s: this is not what was handed over: %s.", v.Origin, v.Problems[0])
	}
}

// VerifyLog holds a log against its own seals: one subject, sequence numbers
// without gaps, each seal's root over the entries before it, each seal an
// extension of the one before, by keys of the chain in their order. leaves may
// be nil; with the leaf hashes as a store kept them, a changed entry is named
// exactly and not only by the seal it falls under.
func VerifyLog(entries []Entry, leaves []Hash, chain Chain) Verification {
	var v Verification
	if err := chain.Check(); err != nil {
		v.add("keys", 0, "%v", err)
		return v
	}
	v.log(entries, leaves, chain)
	v.OK = len(v.Problems) == 0
	return v
}

// log wants a chain that was checked.
func (v *Verification) log(entries []Entry, leaves []Hash, chain Chain) {
	name, _ := KeyName(chain.Newest())
	v.Entries = int64(len(entries))
	if len(entries) == 0 {
		v.add("entries", 1, "there are none")
		return
	}
	v.Subject = entries[0].Subject
	v.Origin = Origin(name, v.Subject)
	v.sequence(entries, leaves)
	v.seals(entries, chain)
}

func (v *Verification) sequence(entries []Entry, leaves []Hash) {
	ids := make(map[string]bool, len(entries))
	for i, e := range entries {
		n := int64(i) + 1
		where := fmt.Sprintf("entry %d", n)
		switch {
		case leaves != nil && i < len(leaves) && e.Leaf() != leaves[i]:
			v.add(where, n, "it is not as it was kept")
		case e.Seq != n:
			v.add(where, n, "number %d stands in its place", e.Seq)
		case e.Subject != v.Subject:
			v.add(where, n, "it belongs to %s", e.Subject)
		case ids[e.ID]:
			v.add(where, n, "its id was used before")
		}
		ids[e.ID] = true
	}
	if leaves != nil && len(leaves) != len(entries) {
		v.add("entries", int64(min(len(leaves), len(entries)))+1, "there are %d, %d were kept", len(entries), len(leaves))
	}
}

func (v *Verification) seals(entries []Entry, chain Chain) {
	tree := TreeOf(entries)
	var old Seal
	key := 0
	for i, e := range entries {
		if e.Kind != KindSeal {
			continue
		}
		seq := int64(i) + 1
		where := fmt.Sprintf("seal %d", len(v.Seals)+1)
		s, err := ParseSeal(e)
		if err == nil {
			err = checkSeal(s, old, seq, v.Origin, chain, key)
		}
		if err != nil {
			v.Seals = append(v.Seals, SealCheck{Seal: s})
			v.add(where, seq, "%v", err)
			continue
		}
		if root, err := tree.RootAt(s.Size); err != nil || root != s.Root {
			v.Seals = append(v.Seals, SealCheck{Seal: s})
			v.add(where, v.sinceSeal(old), "entries 1 to %d are not those it was set on", s.Size)
			continue
		}
		v.Seals = append(v.Seals, SealCheck{Seal: s, OK: true})
		v.Sealed, old, key = s.Size, s, slices.Index(chain.Keys, s.Key)
	}
}

// sinceSeal names the entry from which on the log may differ when a seal
// fails: one already named, else the first that the seal before doesn't cover.
func (v *Verification) sinceSeal(old Seal) int64 {
	if v.FirstBad > 0 {
		return v.FirstBad
	}
	return old.Size + 1
}

func checkSeal(s, old Seal, seq int64, origin string, chain Chain, oldKey int) error {
	if s.Size != seq-1 {
		return fmt.Errorf("it covers %d entries but stands at %d", s.Size, seq)
	}
	if k := slices.Index(chain.Keys, s.Key); k < oldKey {
		return fmt.Errorf("its key is not one of the workshop's, or one given up before")
	}
	if err := s.Verify(origin); err != nil {
		return err
	}
	if old.Size == 0 {
		if s.OldSize != 0 {
			return fmt.Errorf("it names a seal before it, and there is none")
		}
		return nil
	}
	return s.Extends(old)
}

// VerifyBundle reads a bundle and verifies it against a public key of the
// workshop (any of its chain). It accepts exactly the bytes that
// [WriteBundle] wrote. The bundle comes back as far as it could be read.
func VerifyBundle(data []byte, vkey string) (Bundle, Verification) {
	var v Verification
	o, err := openBundle(data)
	if err != nil {
		v.add("bundle", 0, "%v", err)
		return o.Bundle, v
	}
	v.bundle(o, vkey)
	v.OK = len(v.Problems) == 0
	return o.Bundle, v
}

// ReadBundle returns what a bundle holds without verifying any signature. An
// error means that it can't be read as one.
func ReadBundle(data []byte) (Bundle, error) {
	o, err := openBundle(data)
	if err == nil && o.entriesErr != nil {
		err = o.entriesErr
	}
	return o.Bundle, err
}

func (v *Verification) bundle(o opened, vkey string) {
	if _, err := KeyName(vkey); err != nil {
		v.add("key", 0, "%v", err)
		return
	}
	if !o.canonical {
		v.add("bundle", 0, "the file is not spelt as it was written")
	}
	if o.entriesErr != nil {
		v.add(fmt.Sprintf("entry %d", o.entriesBad), o.entriesBad, "%v", o.entriesErr)
	}
	chain := o.Chain
	if o.chainErr != nil {
		v.add("keys/chain", 0, "%v", o.chainErr)
	} else if !chain.Has(vkey) {
		v.add("keys/chain", 0, "the key given is not one of the workshop's keys that this was sealed under")
	}
	if len(v.Problems) > 0 && !chain.Has(vkey) {
		chain = Chain{Format: 1, Keys: []string{vkey}}
	}
	v.log(o.Entries, o.trustedLeaves(), chain)
	m := v.manifest(o, chain)
	v.blobs(o, m)
	v.sealFiles(o)
	v.sheets(o)
}

// manifest checks the signed list against the files and returns it.
func (v *Verification) manifest(o opened, chain Chain) manifest {
	text, err := o.manifestText(chain)
	if err != nil {
		v.add("manifest", 0, "%v", err)
		return manifest{}
	}
	m, err := parseManifest(text)
	if err != nil {
		v.add("manifest", 0, "%v", err)
		return manifest{}
	}
	if m.origin != v.Origin {
		v.add("manifest", 0, "it belongs to %s", m.origin)
	}
	listed := map[string]bool{"manifest": true}
	for _, f := range m.files {
		listed[f.name] = true
		data, ok := o.files[f.name]
		if !ok {
			v.add(f.name, 0, "it is missing")
		} else if sumOf(f.name, data) != f {
			v.add(f.name, v.blame(f.name), "it is not as it was handed over")
		}
	}
	for name := range o.files {
		if !listed[name] {
			v.add(name, 0, "it does not belong to the bundle")
		}
	}
	return m
}

// blame names the entry for changed entries that nothing else has named.
func (v *Verification) blame(file string) int64 {
	if file == "entries.jsonl" && v.FirstBad == 0 {
		return v.Sealed + 1
	}
	return 0
}

func (v *Verification) blobs(o opened, m manifest) {
	named, _ := AllRefs(o.Entries)
	isNamed := map[Commitment]bool{}
	for _, c := range named {
		isNamed[c] = true
		digits := strings.TrimPrefix(string(c), blobPrefix)
		_, here := o.Blobs[c]
		switch {
		case here:
		case slices.Contains(m.erased, digits):
			v.Erased = append(v.Erased, c)
		case slices.Contains(m.withheld, digits):
			v.Withheld = append(v.Withheld, c)
		default:
			v.add("blobs/"+digits, 0, "it is missing")
		}
	}
	for c, b := range o.Blobs {
		got, err := Commit(b.Salt, b.Data)
		if err != nil || got != c || !isNamed[c] {
			v.add(strings.Replace(string(c), blobPrefix, "blobs/", 1), 0, "no entry stands for this")
		}
	}
}

func (v *Verification) sealFiles(o opened) {
	n := 0
	for i, s := range seals(o.Entries) {
		n++
		if !bytes.Equal(o.files[sealName(i)], []byte(s.Note)) {
			v.add(sealName(i), 0, "it is not the seal that entry %d holds", s.Seq)
		}
	}
	for name := range o.files {
		if strings.HasPrefix(name, "seals/") {
			n--
		}
	}
	if n != 0 {
		v.add("seals", 0, "there are more seals than entries that hold one, or fewer")
	}
}

func (v *Verification) sheets(o opened) {
	_, named := AllRefs(o.Entries)
	for _, h := range named {
		if _, ok := o.Sheets[h]; !ok {
			v.add(strings.Replace(string(h), sheetPrefix, "sheets/", 1)+".yaml", 0, "it is missing")
		}
	}
	for h, data := range o.Sheets {
		if HashContent(data) != h {
			v.add("sheets/"+strings.TrimPrefix(string(h), sheetPrefix)+".yaml", 0, "it is not the sheet that the entries name")
		}
	}
}

func parseLeaves(data []byte) []Hash {
	var out []Hash
	for l := range strings.Lines(string(data)) {
		b, err := hex.DecodeString(strings.TrimSuffix(l, "\n"))
		if err != nil || len(b) != 32 {
			return nil
		}
		out = append(out, Hash(b))
	}
	return out
}
