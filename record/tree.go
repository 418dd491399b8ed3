// SPDX-License-Identifier: Apache-2.0

package record

import (
	"fmt"

	"golang.org/x/mod/sumdb/tlog"
)

// Hash is a SHA-256 sum: a leaf, a node or a root.
type Hash = tlog.Hash

// Tree is the Merkle tree of a log after RFC 6962, section 2.1. The zero Tree
// is the empty log. It isn't safe for concurrent use.
type Tree struct {
	n      int64
	stored []Hash // in the order of tlog.StoredHashIndex
}

// TreeOf returns the tree over the entries' lines.
func TreeOf(entries []Entry) *Tree {
	t := &Tree{stored: make([]Hash, 0, 2*len(entries))}
	for _, e := range entries {
		t.AppendLeaf(e.Leaf())
	}
	return t
}

// Root returns the root hash over the entries' lines; for none SHA-256("").
func Root(entries []Entry) Hash { return TreeOf(entries).Root() }

// AppendLeaf adds one leaf hash, as [Entry.Leaf] gives it.
func (t *Tree) AppendLeaf(leaf Hash) {
	hashes, err := tlog.StoredHashesForRecordHash(t.n, leaf, t)
	if err != nil {
		panic("record: tree lost its own hashes: " + err.Error()) // ReadHashes never fails for what was stored
	}
	t.stored = append(t.stored, hashes...)
	t.n++
}

// Size returns the number of leaves.
func (t *Tree) Size() int64 { return t.n }

// Root returns the root hash over all leaves.
func (t *Tree) Root() Hash {
	h, _ := t.RootAt(t.n)
	return h
}

// RootAt returns the root hash over the first n leaves, 0 ≤ n ≤ Size.
func (t *Tree) RootAt(n int64) (Hash, error) {
	if n < 0 || n > t.n {
		return Hash{}, fmt.Errorf("record: no root of %d entries in a log of %d", n, t.n)
	}
	return tlog.TreeHash(n, t)
}

// Inclusion returns the proof that leaf index (from 0) stands in the tree of
// the first size leaves (RFC 6962, section 2.1.1).
func (t *Tree) Inclusion(index, size int64) ([]Hash, error) {
	if index < 0 || index >= size || size > t.n {
		return nil, fmt.Errorf("record: no inclusion proof of leaf %d in %d of %d", index, size, t.n)
	}
	return tlog.ProveRecord(size, index, t)
}

// Consistency returns the proof that the tree of the first size leaves extends
// the one of the first old leaves, 1 ≤ old ≤ size (RFC 6962, section 2.1.2).
func (t *Tree) Consistency(old, size int64) ([]Hash, error) {
	if old < 1 || old > size || size > t.n {
		return nil, fmt.Errorf("record: no consistency proof from %d to %d of %d", old, size, t.n)
	}
	return tlog.ProveTree(size, old, t)
}

// ReadHashes implements tlog.HashReader.
func (t *Tree) ReadHashes(indexes []int64) ([]Hash, error) {
	out := make([]Hash, len(indexes))
	for i, x := range indexes {
		if x < 0 || x >= int64(len(t.stored)) {
			return nil, fmt.Errorf("record: no hash %d in the tree", x)
		}
		out[i] = t.stored[x]
	}
	return out, nil
}

// CheckInclusion returns nil if proof shows that leaf is number index (from 0)
// of the tree with the given size and root.
func CheckInclusion(proof []Hash, index int64, leaf Hash, size int64, root Hash) error {
	if index < 0 || index >= size {
		return fmt.Errorf("record: leaf %d is outside a tree of %d", index, size)
	}
	if err := tlog.CheckRecord(proof, size, root, index, leaf); err != nil {
		return fmt.Errorf("record: leaf %d of %d: %w", index, size, err)
	}
	return nil
}

// CheckConsistency returns nil if proof shows that the tree of size and root
// extends the tree of oldSize and oldRoot.
func CheckConsistency(proof []Hash, oldSize int64, oldRoot Hash, size int64, root Hash) error {
	if oldSize < 1 || oldSize > size {
		return fmt.Errorf("record: a tree of %d can't extend one of %d", size, oldSize)
	}
	if err := tlog.CheckTree(proof, size, root, oldSize, oldRoot); err != nil {
		return fmt.Errorf("record: from %d to %d: %w", oldSize, size, err)
	}
	return nil
}
