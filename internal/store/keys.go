// SPDX-License-Identifier: Apache-2.0

package store

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"witnessmark/record"
)

// keyFiles are the files in keys/:
//
//	private   the key in use, mode 0600
//	chain     the public keys, oldest first, with their rotations
//	<name>    other secrets, 32 random bytes each, mode 0600
type keyFiles struct{ dir string }

// save writes the chain first: a private key without its public part in the
// chain could sign what nobody can check, the other way round it is told.
func (k keyFiles) save(key record.Key, chain record.Chain) error {
	if err := makeDir(k.dir); err != nil {
		return err
	}
	if err := writeDurably(k.dir, filepath.Join(k.dir, "chain"), chain.Marshal(), 0o600); err != nil {
		return err
	}
	return writeDurably(k.dir, filepath.Join(k.dir, "private"), []byte(key.Secret+"\n"), 0o600)
}

// Chain returns the workshop's public keys.
func (f *Folder) Chain() (record.Chain, error) {
	data, err := os.ReadFile(filepath.Join(f.keys.dir, "chain"))
	if errors.Is(err, fs.ErrNotExist) {
		return record.Chain{}, fmt.Errorf("store: keys/chain: %w", ErrNotFound)
	}
	if err != nil {
		return record.Chain{}, because("read keys/chain", err)
	}
	return record.ParseChain(data)
}

// Key returns the key in use. It refuses a file that others may read, and a
// key that isn't the newest of the chain. Error: ErrNoKey if there is none.
func (f *Folder) Key() (record.Key, error) {
	path := filepath.Join(f.keys.dir, "private")
	data, err := readSecret(path)
	if errors.Is(err, fs.ErrNotExist) {
		return record.Key{}, fmt.Errorf("store: %s: %w", path, ErrNoKey)
	}
	if err != nil {
		return record.Key{}, err
	}
	k, err := record.ParseKey(string(data))
	if err != nil {
		return record.Key{}, fmt.Errorf("store: %s: %w", path, err)
	}
	chain, err := f.Chain()
	if err != nil {
		return record.Key{}, err
	}
	if chain.Newest() != k.Verifier {
		return record.Key{}, fmt.Errorf("store: %s: %w: it is not the newest key of keys/chain", path, ErrDamaged)
	}
	return k, nil
}

func readSecret(path string) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, because("read "+path, err)
	}
	if info.Mode().Perm()&0o077 != 0 {
		return nil, fmt.Errorf("store: %s: others may read it (mode %#o); make it 0600 and think about a new key", path, info.Mode().Perm())
	}
	data, err := os.ReadFile(path)
	return data, because("read "+path, err)
}

// Rotate puts a new key in the old one's place. The chain leads from one to
// the other; seals of the old key stay good, new ones are by the new key. The
// old private key is deleted.
func (f *Folder) Rotate(_ context.Context, at time.Time) (record.Chain, error) {
	old, err := f.Key()
	if err != nil {
		return record.Chain{}, err
	}
	chain, err := f.Chain()
	if err != nil {
		return record.Chain{}, err
	}
	next, err := record.GenerateKey(f.rand, f.Config.WorkshopID)
	if err != nil {
		return record.Chain{}, err
	}
	led, err := chain.Rotate(old, next, at)
	if err != nil {
		return record.Chain{}, err
	}
	return led, because("keep the new key", f.keys.rotate(next, led))
}

// rotate keeps the new private key aside before the chain names it, so that a
// power cut between the two loses neither: see finish.
func (k keyFiles) rotate(next record.Key, chain record.Chain) error {
	aside := filepath.Join(k.dir, "private.next")
	if err := writeDurably(k.dir, aside, []byte(next.Secret+"\n"), 0o600); err != nil {
		return err
	}
	if err := writeDurably(k.dir, filepath.Join(k.dir, "chain"), chain.Marshal(), 0o600); err != nil {
		return err
	}
	return k.finish()
}

// finish puts a key left aside in place if the chain names it already. One
// that the chain doesn't name is left alone: somebody may be at it just now.
func (k keyFiles) finish() error {
	aside := filepath.Join(k.dir, "private.next")
	secret, err := os.ReadFile(aside)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	data, err := os.ReadFile(filepath.Join(k.dir, "chain"))
	if err != nil {
		return err
	}
	next, errK := record.ParseKey(string(secret))
	chain, errC := record.ParseChain(data)
	if errK != nil || errC != nil || chain.Newest() != next.Verifier {
		return nil
	}
	if err := os.Rename(aside, filepath.Join(k.dir, "private")); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return syncDir(k.dir)
}

// Secret returns the 32 random bytes kept under name, made when first asked
// for: such as the pepper of the PINs. It is backed up with the keys only.
func (f *Folder) Secret(name string) ([]byte, error) {
	if record.CheckPerson(name) != nil || name == "private" || name == "chain" { // the same letters
		return nil, fmt.Errorf("store: secret name %q: %w", name, record.ErrInvalid)
	}
	path := filepath.Join(f.keys.dir, name)
	data, err := readSecret(path)
	if err == nil || !errors.Is(err, fs.ErrNotExist) {
		return data, err
	}
	data = make([]byte, 32)
	if _, err := io.ReadFull(f.rand, data); err != nil {
		return nil, because("make secret "+name, err)
	}
	return data, because("make secret "+name, writeDurably(f.keys.dir, path, data, 0o600))
}
