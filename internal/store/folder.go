// SPDX-License-Identifier: Apache-2.0

package store

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"github.com/gofrs/flock"

	"witnessmark/record"
)

// Options say how a folder is opened. The zero value is the command line's.
type Options struct {
	Clock   func() time.Time // the received time of entries; nil: time.Now
	Rand    io.Reader        // salts, keys; nil: crypto/rand
	NeedSaw []string         // kinds that must name what they saw
	Server  bool             // lock the folder against other servers
}

func (o Options) withDefaults() Options {
	if o.Clock == nil {
		o.Clock = time.Now
	}
	if o.Rand == nil {
		o.Rand = rand.Reader
	}
	return o
}

// Folder is an open data folder:
//
//	witnessmark.db   logs and accounts
//	blobs/           personal data, photos, sheets, reports
//	keys/            the workshop's keys, mode 0700, files 0600
//	config.yaml      what a person may edit
//	lock             held by the server that runs on it
//	backups/         the database as it was before each change of its schema
//
// Only a server locks it: the command line reads and writes beside.
type Folder struct {
	Store
	Dir    string
	Config Config

	db   *sqliteStore
	keys keyFiles
	lock *flock.Flock
	rand io.Reader
}

// Init makes a data folder with a new key. dir may be there if it is empty.
func Init(ctx context.Context, dir string, c Config, o Options) (*Folder, error) {
	o = o.withDefaults()
	c = c.withDefaults()
	if err := c.Check(); err != nil {
		return nil, err
	}
	if err := mustBeEmpty(dir); err != nil {
		return nil, err
	}
	if err := layOut(dir, c, o); err != nil {
		return nil, because("make "+dir, err)
	}
	return Open(ctx, dir, o)
}

func mustBeEmpty(dir string) error {
	files, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return because("make "+dir, makeDir(dir))
	case err != nil:
		return because("read "+dir, err)
	case len(files) > 0:
		return fmt.Errorf("store: %s is not empty: %w", dir, fs.ErrExist)
	}
	return nil
}

// layOut writes config.yaml last: a folder without it counts as not made.
func layOut(dir string, c Config, o Options) error {
	if _, err := newFileBlobs(filepath.Join(dir, "blobs"), o.Rand); err != nil {
		return err
	}
	keys := keyFiles{dir: filepath.Join(dir, "keys")}
	k, err := record.GenerateKey(o.Rand, c.WorkshopID)
	if err != nil {
		return err
	}
	if err := keys.save(k, record.NewChain(k)); err != nil {
		return err
	}
	text, err := c.marshal()
	if err != nil {
		return err
	}
	return writeDurably(dir, filepath.Join(dir, "config.yaml"), text, 0o600)
}

// Open opens a data folder. Errors: ErrNotFound (no data folder), ErrLocked,
// ErrNewer, ErrReadOnly, ErrDamaged and others.
func Open(ctx context.Context, dir string, o Options) (*Folder, error) {
	o = o.withDefaults()
	c, err := readConfig(filepath.Join(dir, "config.yaml"))
	if err != nil {
		return nil, err
	}
	f := &Folder{
		Dir:    dir,
		Config: c,
		keys:   keyFiles{dir: filepath.Join(dir, "keys")},
		lock:   flock.New(filepath.Join(dir, "lock"), flock.SetPermissions(0o600)),
		rand:   o.Rand,
	}
	if o.Server {
		if err := f.takeLock(); err != nil {
			return nil, err
		}
	}
	if err := f.keys.finish(); err != nil {
		return nil, errors.Join(because("open keys", err), f.lock.Close())
	}
	if err := f.openStore(ctx, o); err != nil {
		return nil, errors.Join(err, f.lock.Close())
	}
	return f, nil
}

func (f *Folder) takeLock() error {
	ok, err := f.lock.TryLock()
	if err != nil {
		return because("lock "+f.Dir, err)
	}
	if !ok {
		return fmt.Errorf("store: %s: %w", f.Dir, ErrLocked)
	}
	return nil
}

func (f *Folder) openStore(ctx context.Context, o Options) error {
	blobs, err := newFileBlobs(filepath.Join(f.Dir, "blobs"), o.Rand)
	if err != nil {
		return because("open blobs", err)
	}
	path, err := filepath.Abs(f.dbPath())
	if err != nil {
		return because("open", err)
	}
	// The driver would make the file readable by everybody.
	if err := touch(path); err != nil {
		return because("open", err)
	}
	f.db, err = openSQLite(ctx, path, blobs, o, f.beforeMigration(o))
	f.Store = f.db
	return err
}

func touch(path string) error {
	if exists(path) {
		return nil
	}
	db, err := os.OpenFile(path, os.O_CREATE|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	return errors.Join(db.Close(), syncDir(filepath.Dir(path)))
}

// beforeMigration keeps a copy of an existing database, and sees to it that no
// server runs that knows only the old schema.
func (f *Folder) beforeMigration(o Options) func(context.Context, int64) error {
	return func(ctx context.Context, version int64) error {
		if !o.Server {
			if err := f.takeLock(); err != nil {
				return err
			}
			defer f.lock.Unlock()
		}
		if version == 0 {
			return nil
		}
		name := fmt.Sprintf("witnessmark-schema%d-%s.db", version, o.Clock().UTC().Format("20060102T150405Z"))
		path := filepath.Join(f.Dir, "backups", name)
		if err := makeDir(filepath.Dir(path)); err != nil {
			return because("copy the database", err)
		}
		return because("copy the database", copyDatabase(ctx, f.dbPath(), path))
	}
}

func (f *Folder) dbPath() string { return filepath.Join(f.Dir, "witnessmark.db") }

// Close gives the folder back.
func (f *Folder) Close() error {
	return errors.Join(f.Store.Close(), f.lock.Close())
}
