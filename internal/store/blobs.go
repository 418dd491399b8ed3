// SPDX-License-Identifier: Apache-2.0

package store

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sync"

	"witnessmark/record"
)

// fileBlobs keeps blobs in a folder:
//
//	ab/<hex>          salt and data; the name is the SHA-256 of the file
//	ab/<hex>.erased   an empty file: this was here and was erased
//	sheets/<hex>      a public document by its content
//	reports/<subject>/<name>
//	tmp/              files being written
type fileBlobs struct {
	dir  string
	rand io.Reader
	mu   sync.Mutex // between a put and an erasure in this process
}

func newFileBlobs(dir string, rand io.Reader) (*fileBlobs, error) {
	b := &fileBlobs{dir: dir, rand: rand}
	return b, makeDir(b.tmp())
}

func (b *fileBlobs) tmp() string { return filepath.Join(b.dir, "tmp") }

func (b *fileBlobs) path(c record.Commitment) (string, error) {
	digits, err := c.Hex()
	if err != nil {
		return "", err
	}
	return filepath.Join(b.dir, digits[:2], digits), nil
}

// PutBlob implements [Blobs].
func (b *fileBlobs) PutBlob(_ context.Context, blob record.Blob) (record.Commitment, error) {
	if blob.Salt == nil {
		blob.Salt = make([]byte, record.SaltSize)
		if _, err := io.ReadFull(b.rand, blob.Salt); err != nil {
			return "", because("salt", err)
		}
	}
	c, err := record.Commit(blob.Salt, blob.Data)
	if err != nil {
		return "", err
	}
	path, err := b.path(c)
	if err != nil {
		return "", err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if exists(path + ".erased") {
		return "", fmt.Errorf("store: %s: %w", c, ErrErased)
	}
	if _, err := b.read(c, path); err == nil {
		return c, nil
	}
	whole := append(slices.Clip(blob.Salt), blob.Data...)
	return c, because("keep "+string(c), writeDurably(b.tmp(), path, whole, 0o600))
}

// Blob implements [Blobs].
func (b *fileBlobs) Blob(_ context.Context, c record.Commitment) (record.Blob, error) {
	path, err := b.path(c)
	if err != nil {
		return record.Blob{}, err
	}
	return b.read(c, path)
}

func (b *fileBlobs) read(c record.Commitment, path string) (record.Blob, error) {
	whole, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		if exists(path + ".erased") {
			return record.Blob{}, fmt.Errorf("store: %s: %w", c, ErrErased)
		}
		return record.Blob{}, fmt.Errorf("store: %s: %w", c, ErrNotFound)
	}
	if err != nil {
		return record.Blob{}, because("read "+string(c), err)
	}
	if len(whole) < record.SaltSize {
		return record.Blob{}, fmt.Errorf("store: %s: %w", c, ErrDamaged)
	}
	blob := record.Blob{Salt: whole[:record.SaltSize:record.SaltSize], Data: whole[record.SaltSize:]}
	if got, err := record.Commit(blob.Salt, blob.Data); err != nil || got != c {
		return record.Blob{}, fmt.Errorf("store: %s: %w", c, ErrDamaged)
	}
	return blob, nil
}

// Erase implements [Blobs]. The mark goes to disk before the blob goes off it.
func (b *fileBlobs) Erase(_ context.Context, subject string, cs ...record.Commitment) error {
	if err := record.CheckSubject(subject); err != nil {
		return err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, c := range cs {
		path, err := b.path(c)
		if err != nil {
			return err
		}
		if err := b.erase(path); err != nil {
			return because("erase "+string(c), err)
		}
	}
	reports := filepath.Join(b.dir, "reports", filepath.FromSlash(subject))
	if err := os.RemoveAll(reports); err != nil {
		return because("erase reports of "+subject, err)
	}
	if parent := filepath.Dir(reports); exists(parent) {
		return because("erase reports of "+subject, syncDir(parent))
	}
	return nil
}

func (b *fileBlobs) erase(path string) error {
	if err := writeDurably(b.tmp(), path+".erased", nil, 0o600); err != nil {
		return err
	}
	if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return syncDir(filepath.Dir(path))
}

// PutSheet implements [Blobs].
func (b *fileBlobs) PutSheet(ctx context.Context, data []byte) (record.ContentHash, error) {
	h := record.HashContent(data)
	if kept, err := b.Sheet(ctx, h); err == nil && bytes.Equal(kept, data) {
		return h, nil
	}
	return h, because("keep "+string(h), writeDurably(b.tmp(), b.sheetPath(h), data, 0o600))
}

// Sheet implements [Blobs].
func (b *fileBlobs) Sheet(_ context.Context, h record.ContentHash) ([]byte, error) {
	if _, err := h.Hex(); err != nil {
		return nil, err
	}
	data, err := os.ReadFile(b.sheetPath(h))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("store: %s: %w", h, ErrNotFound)
	}
	if err != nil {
		return nil, because("read "+string(h), err)
	}
	if record.HashContent(data) != h {
		return nil, fmt.Errorf("store: %s: %w", h, ErrDamaged)
	}
	return data, nil
}

// Sheets implements [Blobs].
func (b *fileBlobs) Sheets(context.Context) ([]record.ContentHash, error) {
	files, err := os.ReadDir(filepath.Join(b.dir, "sheets"))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, because("list sheets", err)
	}
	var out []record.ContentHash
	for _, f := range files {
		h := record.ContentHash("sheet:" + f.Name())
		if _, err := h.Hex(); err == nil {
			out = append(out, h)
		}
	}
	return out, nil
}

func (b *fileBlobs) sheetPath(h record.ContentHash) string {
	digits, _ := h.Hex() // checked by the callers
	return filepath.Join(b.dir, "sheets", digits)
}

// PutReport implements [Blobs].
func (b *fileBlobs) PutReport(_ context.Context, subject, name string, data []byte) error {
	path, err := b.reportPath(subject, name)
	if err != nil {
		return err
	}
	return because("keep report of "+subject, writeDurably(b.tmp(), path, data, 0o600))
}

// Report implements [Blobs].
func (b *fileBlobs) Report(_ context.Context, subject, name string) ([]byte, error) {
	path, err := b.reportPath(subject, name)
	if err != nil {
		return nil, err
	}
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("store: report %s of %s: %w", name, subject, ErrNotFound)
	}
	return data, because("read report of "+subject, err)
}

func (b *fileBlobs) reportPath(subject, name string) (string, error) {
	if err := record.CheckSubject(subject); err != nil {
		return "", err
	}
	if err := record.CheckPerson(name); err != nil { // the same letters
		return "", fmt.Errorf("store: report name %q: %w", name, record.ErrInvalid)
	}
	return filepath.Join(b.dir, "reports", filepath.FromSlash(subject), name), nil
}

func exists(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}
