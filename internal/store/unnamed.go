// SPDX-License-Identifier: Apache-2.0

package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"witnessmark/record"
)

// RemoveUnnamed deletes blobs that were kept before a moment and that no entry
// of any log names: photos whose entry never came. It returns how many. The
// moment should lie far back: an entry follows its photo, by days where a
// program sends both.
func (f *Folder) RemoveUnnamed(ctx context.Context, before time.Time) (int, error) {
	old, err := f.db.keptBefore(before)
	if err != nil || len(old) == 0 {
		return 0, err
	}
	// Twice: what is named while the logs are read for the first time is seen
	// the second time, right before anything goes.
	for range 2 {
		if err := f.leaveNamed(ctx, old); err != nil || len(old) == 0 {
			return 0, err
		}
	}
	n := 0
	for c, path := range old {
		if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return n, because(fmt.Sprintf("remove %s, which no entry names", c), err)
		}
		n++
	}
	return n, nil
}

// leaveNamed takes from a list of blobs those that an entry names.
func (f *Folder) leaveNamed(ctx context.Context, blobs map[record.Commitment]string) error {
	subjects, err := f.Subjects(ctx, "")
	if err != nil {
		return err
	}
	for _, s := range subjects {
		entries, err := f.Entries(ctx, s.Subject, 0)
		if err != nil {
			return err
		}
		named, _ := record.AllRefs(entries)
		for _, c := range named {
			delete(blobs, c)
		}
	}
	return nil
}

// keptBefore lists the blobs whose files were written before a moment.
func (b *fileBlobs) keptBefore(before time.Time) (map[record.Commitment]string, error) {
	paths, err := filepath.Glob(filepath.Join(b.dir, "[0-9a-f][0-9a-f]", "*"))
	if err != nil {
		return nil, because("list blobs", err)
	}
	out := map[record.Commitment]string{}
	for _, path := range paths {
		c := record.Commitment("blob:" + filepath.Base(path))
		if _, err := c.Hex(); err != nil {
			continue // a mark of what was erased
		}
		info, err := os.Stat(path)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, because("list blobs", err)
		}
		if info.ModTime().Before(before) {
			out[c] = path
		}
	}
	return out, nil
}
