// SPDX-License-Identifier: Apache-2.0

package store

import (
	"archive/zip"
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// Restore fills dir, which must be absent or empty, from a backup. Every file
// is held against its sum, byte for byte, and then everything against itself,
// as [Folder.Check] does. If anything is wrong dir is left as it was found.
func Restore(ctx context.Context, path, dir string, o Options) (info BackupInfo, err error) {
	z, err := zip.OpenReader(path)
	if errors.Is(err, fs.ErrNotExist) {
		return info, fmt.Errorf("store: restore: %s: %w", path, ErrNotFound)
	}
	if err != nil {
		return info, fmt.Errorf("store: restore: %s: %w: %w", path, ErrDamaged, err)
	}
	defer z.Close()
	sums, err := readSums(&z.Reader)
	if err != nil {
		return info, fmt.Errorf("store: restore: %s: %w", path, err)
	}
	if err := mustBeEmpty(dir); err != nil {
		return info, err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, emptyAgain(dir))
		}
	}()
	for _, f := range z.File {
		if f.Name == sumsName {
			continue
		}
		n, err := restoreFile(f, dir, sums[f.Name])
		if err != nil {
			return info, because("restore "+f.Name, err)
		}
		info.Files++
		info.Bytes += n
		info.Keys = info.Keys || f.Name == "keys/private"
	}
	return info, checkRestored(ctx, dir, o)
}

// readSums returns the sum lines by name. The names must be exactly those of
// the zip, each once, and lie in the data folder.
func readSums(z *zip.Reader) (map[string]string, error) {
	text, err := fs.ReadFile(z, sumsName)
	if err != nil {
		return nil, fmt.Errorf("%w: no %s in it", ErrDamaged, sumsName)
	}
	lines := strings.Split(strings.TrimSuffix(string(text), "\n"), "\n")
	if lines[0] != backupHeader {
		return nil, fmt.Errorf("%w: it begins with %q", ErrNewer, lines[0])
	}
	sums := map[string]string{}
	for _, l := range lines[1:] {
		name := l[strings.LastIndexByte(l, ' ')+1:]
		if !isDataFile(name) || sums[name] != "" {
			return nil, fmt.Errorf("%w: it lists %q", ErrDamaged, name)
		}
		sums[name] = l + "\n"
	}
	seen := map[string]bool{}
	for _, f := range z.File {
		if f.Name != sumsName && (sums[f.Name] == "" || seen[f.Name]) {
			return nil, fmt.Errorf("%w: %q does not belong in it", ErrDamaged, f.Name)
		}
		seen[f.Name] = true
	}
	if len(z.File) != len(sums)+1 {
		return nil, fmt.Errorf("%w: files are missing", ErrDamaged)
	}
	return sums, nil
}

func isDataFile(name string) bool {
	if !filepath.IsLocal(name) || strings.Contains(name, `\`) || !fs.ValidPath(name) {
		return false
	}
	top, _, _ := strings.Cut(name, "/")
	return slices.Contains([]string{"witnessmark.db", "config.yaml", "keys", "blobs"}, top)
}

// restoreFile writes one file and holds it against its sum line. It takes no
// more than the line says, so a small backup can't fill the disk.
func restoreFile(f *zip.File, dir, want string) (int64, error) {
	path := filepath.Join(dir, filepath.FromSlash(f.Name))
	if err := makeDir(filepath.Dir(path)); err != nil {
		return 0, err
	}
	in, err := f.Open()
	if err != nil {
		return 0, err
	}
	defer in.Close()
	out, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return 0, err
	}
	sum := sha256.New()
	n, err := io.Copy(io.MultiWriter(out, sum), io.LimitReader(in, int64(f.UncompressedSize64)))
	if err := errors.Join(err, out.Sync(), out.Close(), syncDir(filepath.Dir(path))); err != nil {
		return n, err
	}
	if got := sumLine(sum, n, f.Name); got != want {
		return n, fmt.Errorf("%w: it is %s, listed as %s", ErrDamaged, bytes.TrimSpace([]byte(got)), strings.TrimSpace(want))
	}
	return n, nil
}

func checkRestored(ctx context.Context, dir string, o Options) error {
	f, err := Open(ctx, dir, o)
	if err != nil {
		return err
	}
	defer f.Close()
	all, err := f.Check(ctx)
	if err != nil {
		return err
	}
	for _, v := range all {
		if !v.OK {
			return fmt.Errorf("store: restore: %w: %s", ErrDamaged, v)
		}
	}
	return nil
}

func emptyAgain(dir string) error {
	files, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, f := range files {
		if err := os.RemoveAll(filepath.Join(dir, f.Name())); err != nil {
			return err
		}
	}
	return nil
}
