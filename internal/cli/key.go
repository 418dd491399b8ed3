// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/internal/store"
	"witnessmark/record"
)

// keyResult is what `key show` and `key rotate` print.
type keyResult struct {
	Workshop    string   `json:"workshop"`
	Key         string   `json:"key"` // the public key in use
	Fingerprint string   `json:"fingerprint"`
	Earlier     []string `json:"earlier_keys"` // oldest first
	Private     bool     `json:"private_key_here"`
}

func newKeyCommand(a *app) *cobra.Command {
	c := example(&cobra.Command{
		Use:   "key",
		Short: "Show or renew the key that the workshop seals with",
		Args:  cobra.NoArgs,
		RunE:  func(c *cobra.Command, _ []string) error { return c.Help() },
	}, "  witnessmark key show > workshop.pub")
	c.AddCommand(newKeyShowCommand(a), newKeyRotateCommand(a))
	return c
}

func newKeyShowCommand(a *app) *cobra.Command {
	return example(&cobra.Command{
		Use:   "show",
		Short: "Print the public key with which anyone can verify",
		Args:  cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return a.withFolder(c.Context(), func(f *store.Folder) error { return a.showKey(f) })
		},
	}, "  witnessmark key show > workshop.pub\n  witnessmark key show --json")
}

func newKeyRotateCommand(a *app) *cobra.Command {
	return example(&cobra.Command{
		Use:   "rotate",
		Short: "Put a new key in the old one's place",
		Long: `Put a new key in the old one's place. The old key signs the new one, so that
bundles under either can be verified with both. The old private key is deleted.
Make a backup afterwards: the old ones hold the old key.`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return a.withShop(c.Context(), func(s *shop.Shop) error {
				p, err := a.who(c.Context(), s, "key_renewed")
				if err != nil {
					return err
				}
				return a.withFolder(c.Context(), func(f *store.Folder) error { return a.rotateKey(c.Context(), s, f, p.ID) })
			})
		},
	}, "  witnessmark key rotate --as 'Odda Brenk'")
}

func (a *app) showKey(f *store.Folder) error {
	chain, err := f.Chain()
	if err != nil {
		return couldNotf("data folder %s: its public keys can't be read: %w", f.Dir, err)
	}
	_, err = f.Key()
	if err != nil && !errors.Is(err, store.ErrNoKey) {
		a.say("The private key can't be used: %v", err)
	}
	r := newKeyResult(f, chain)
	r.Private = err == nil
	return couldNot(a.emit(r, func(w io.Writer) { fmt.Fprintln(w, r.Key) }))
}

func (a *app) rotateKey(ctx context.Context, s *shop.Shop, f *store.Folder, person string) error {
	chain, err := f.Rotate(ctx, s.Now())
	if err != nil {
		return keyError(f.Dir, err)
	}
	body := job.KeyRenewed{Key: chain.Newest(), Was: chain.Keys[len(chain.Keys)-2]}
	if _, _, err := s.Append(ctx, person, shop.Input{Subject: record.Workshop, Kind: "key_renewed", Body: body}); err != nil {
		return couldNotf("the new key holds, but the workshop's record could not say so: %w", err)
	}
	r := newKeyResult(f, chain)
	r.Private = true
	a.say("There is a new key. Make a backup now, and give the new public key to whom you gave the old one.")
	return couldNot(a.emit(r, func(w io.Writer) { fmt.Fprintln(w, r.Key) }))
}

func newKeyResult(f *store.Folder, c record.Chain) keyResult {
	return keyResult{Workshop: f.Config.WorkshopID, Key: c.Newest(), Fingerprint: record.Fingerprint(c.Newest()),
		Earlier: append([]string{}, c.Keys[:len(c.Keys)-1]...)}
}

// withFolder opens the data folder alone, beside a server that may run on it.
func (a *app) withFolder(ctx context.Context, f func(*store.Folder) error) error {
	folder, err := store.Open(ctx, a.folder(), store.Options{NeedSaw: shop.NeedSaw})
	if err != nil {
		return openError(a.folder(), err)
	}
	return errors.Join(plainly(f(folder)), couldNot(folder.Close()))
}
