// SPDX-License-Identifier: Apache-2.0

package store

import (
	"archive/zip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// A backup is a zip with the files of the data folder and, last, sums.txt:
// "witnessmark backup 1", then "<sha256> <size> <name>" for every other file.
const (
	backupHeader = "witnessmark backup 1"
	sumsName     = "sums.txt"
)

// BackupInfo says what went into a backup or came out of one.
type BackupInfo struct {
	Files int
	Bytes int64
	Keys  bool // the private key and the other secrets are in it
}

// Backup writes the whole folder to one new file while servers run on. The
// database comes first, as it stands at one moment; blobs are there before the
// entries that name them, so none is missing. The private key and other
// secrets are only put in if withKeys: whoever has them can seal.
//
// A backup cut short has no sums and is refused when it is restored.
func (f *Folder) Backup(ctx context.Context, path string, withKeys bool) (info BackupInfo, err error) {
	out, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return info, because("backup to "+path, err)
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.Remove(path))
		}
	}()
	b := &backup{zip: zip.NewWriter(out), sums: backupHeader + "\n", info: BackupInfo{Keys: withKeys}}
	if err := f.fillBackup(ctx, b, filepath.Dir(path)); err != nil {
		return info, because("backup to "+path, errors.Join(err, out.Close()))
	}
	if err := errors.Join(out.Sync(), out.Close()); err != nil {
		return info, because("backup to "+path, err)
	}
	return b.info, because("backup to "+path, syncDir(filepath.Dir(path)))
}

func (f *Folder) fillBackup(ctx context.Context, b *backup, tmp string) error {
	if err := b.database(ctx, f.db, tmp); err != nil {
		return err
	}
	for _, name := range []string{"config.yaml", "keys/chain"} {
		if err := b.file(name, filepath.Join(f.Dir, filepath.FromSlash(name))); err != nil {
			return err
		}
	}
	if b.info.Keys {
		if err := b.folder(f.Dir, "keys", "chain"); err != nil {
			return err
		}
	}
	if err := b.folder(f.Dir, "blobs", "tmp"); err != nil {
		return err
	}
	return b.finish()
}

type backup struct {
	zip  *zip.Writer
	sums string
	info BackupInfo
}

// database copies it aside first: a zip can't be written while it changes.
func (b *backup) database(ctx context.Context, s *sqliteStore, tmp string) error {
	dir, err := os.MkdirTemp(tmp, ".witnessmark-copy-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, "witnessmark.db")
	if err := copyDatabase(ctx, s.path, path); err != nil {
		return err
	}
	return b.file("witnessmark.db", path)
}

// folder adds everything under root/sub but what is named except.
func (b *backup) folder(root, sub, except string) error {
	return filepath.WalkDir(filepath.Join(root, sub), func(path string, d fs.DirEntry, err error) error {
		if errors.Is(err, fs.ErrNotExist) {
			return nil // erased meanwhile
		}
		if err != nil {
			return err
		}
		name, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		name = filepath.ToSlash(name)
		switch {
		case name == sub+"/"+except && d.IsDir():
			return fs.SkipDir
		case name == sub+"/"+except, d.IsDir(), strings.HasPrefix(d.Name(), "new-"):
			return nil
		}
		if err := b.file(name, path); !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		return nil
	})
}

func (b *backup) file(name, path string) error {
	in, err := os.Open(path)
	if err != nil {
		return err
	}
	defer in.Close()
	w, err := b.zip.CreateHeader(&zip.FileHeader{Name: name, Method: methodFor(name)})
	if err != nil {
		return err
	}
	sum := sha256.New()
	n, err := io.Copy(io.MultiWriter(w, sum), in)
	if err != nil {
		return err
	}
	b.sums += sumLine(sum, n, name)
	b.info.Files++
	b.info.Bytes += n
	return nil
}

// methodFor compresses the database; blobs are mostly photos.
func methodFor(name string) uint16 {
	if strings.HasPrefix(name, "blobs/") {
		return zip.Store
	}
	return zip.Deflate
}

func sumLine(sum hash.Hash, size int64, name string) string {
	return fmt.Sprintf("%s %d %s\n", hex.EncodeToString(sum.Sum(nil)), size, name)
}

func (b *backup) finish() error {
	w, err := b.zip.Create(sumsName)
	if err != nil {
		return err
	}
	if _, err := io.WriteString(w, b.sums); err != nil {
		return err
	}
	return b.zip.Close()
}
