// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"context"
	"errors"
	"fmt"
	"strings"
	_ "time/tzdata" // the workshop's time zone, wherever the program runs

	"witnessmark/internal/shop"
	"witnessmark/internal/store"
	"witnessmark/record"
)

// defaultDir is the data folder when neither --dir nor WITNESSMARK_DIR names
// one.
const defaultDir = "witnessmark-data"

func (a *app) folder() string {
	if a.dir == "" {
		return defaultDir
	}
	return a.dir
}

// withShop opens the data folder beside a server that may be running on it,
// and gives it back after f.
func (a *app) withShop(ctx context.Context, f func(s *shop.Shop) error) error {
	folder, s, err := openShop(ctx, a.folder(), store.Options{})
	if err != nil {
		return err
	}
	return errors.Join(plainly(f(s)), couldNot(folder.Close()))
}

func openShop(ctx context.Context, dir string, o store.Options) (*store.Folder, *shop.Shop, error) {
	o.NeedSaw = shop.NeedSaw
	folder, err := store.Open(ctx, dir, o)
	if err != nil {
		return nil, nil, openError(dir, err)
	}
	s, err := shop.New(shop.Options{Folder: folder, Program: programVersion(), Clock: o.Clock, Rand: o.Rand})
	if err != nil {
		return nil, nil, couldNot(errors.Join(err, folder.Close()))
	}
	return folder, s, nil
}

// told is an error in words for a person; the cause behind it is kept for
// what asks for it, and not printed.
type told struct {
	words string
	cause error
}

func (t *told) Error() string { return t.words }
func (t *told) Unwrap() error { return t.cause }

// openError says what to do about a data folder that doesn't open.
func openError(dir string, err error) error {
	switch {
	case errors.Is(err, store.ErrNotFound):
		return couldNot(&told{"data folder " + dir + ": there is none. Name it with --dir or WITNESSMARK_DIR; \"witnessmark serve\" makes a new one.", err})
	case errors.Is(err, store.ErrLocked):
		return couldNot(&told{"data folder " + dir + ": another server runs on it. Stop that one first.", err})
	case errors.Is(err, store.ErrNewer):
		return couldNot(&told{"data folder " + dir + ": it was written by a newer version of this program. Use that one.", err})
	case errors.Is(err, store.ErrReadOnly):
		return couldNotf("data folder %s: it can't be written by this user, and a workshop's data folder must be. Give this user the right to write there, or name another with --dir: %w", dir, err)
	case errors.Is(err, store.ErrFull):
		return couldNotf("data folder %s: its disk is full, or the quota used up; the program needs a little room to start. Make room there: %w", dir, err)
	case errors.Is(err, store.ErrDamaged):
		return couldNotf("data folder %s: what is on the disk is not what was kept there. Copy the folder as it is, and restore the last backup into a new one with \"witnessmark restore\": %w", dir, err)
	case errors.Is(err, store.ErrDisk):
		return couldNotf("data folder %s: the operating system could not read or write there, and a sound disk lets it. Look at the disk; the last backup opens elsewhere with \"witnessmark restore\": %w", dir, err)
	case errors.Is(err, store.ErrBusy):
		return couldNotf("data folder %s: another program held its database for longer than ten seconds. Wait until it is done, then start this again: %w", dir, err)
	}
	return couldNotf("data folder %s: %w", dir, err)
}

// who is the person named by --as, if the role may write this kind of entry.
func (a *app) who(ctx context.Context, s *shop.Shop, kind string) (shop.Person, error) {
	if a.person == "" {
		people, err := people(ctx, s)
		if err != nil {
			return shop.Person{}, err
		}
		return shop.Person{}, usagef("--as is missing: say who does this, one of %s", people)
	}
	p, err := s.Person(ctx, a.person)
	if errors.Is(err, shop.ErrNotFound) {
		people, err := people(ctx, s)
		if err != nil {
			return shop.Person{}, err
		}
		return shop.Person{}, usagef("--as %q: nobody of that name or id is in the workshop; it has %s", a.person, people)
	}
	if err != nil {
		return shop.Person{}, couldNot(err)
	}
	if err := shop.May(p.Role, kind); err != nil {
		return shop.Person{}, couldNotf("--as %s: %w", a.person, err)
	}
	return p, nil
}

func people(ctx context.Context, s *shop.Shop) (string, error) {
	all, err := s.People(ctx)
	if err != nil {
		return "", couldNot(err)
	}
	var names []string
	for _, p := range all {
		if !p.Left {
			names = append(names, fmt.Sprintf("%q (%s, %s)", p.Name, p.ID, p.Role))
		}
	}
	if len(names) == 0 {
		return "nobody yet: \"witnessmark serve\" prints a set-up code for the first manager", nil
	}
	return strings.Join(names, ", "), nil
}

// plainly marks what the shop refused, and takes the packages' names off it.
func plainly(err error) error {
	var refusal *shop.Refusal
	var marked *usageError
	var could *couldNotError
	var conflict *record.ConflictError
	switch {
	case err == nil, errors.Is(err, errNo), errors.As(err, &marked), errors.As(err, &could):
		return err
	case errors.As(err, &refusal):
		return usagef("%s", withoutPackage(refusal.Error()))
	case errors.Is(err, shop.ErrNotFound):
		return usagef("%s", withoutPackage(err.Error()))
	case errors.As(err, &conflict):
		return couldNotf("something else was entered in between: look at it, then do this again: %w", err)
	}
	return couldNot(err)
}

// withoutPackage takes "job: reading: " off the front of an error.
func withoutPackage(msg string) string {
	for _, p := range []string{"shop: ", "job: "} {
		rest, ok := strings.CutPrefix(msg, p)
		if !ok {
			continue
		}
		if kind, more, cut := strings.Cut(rest, ": "); p == "job: " && cut && !strings.Contains(kind, " ") {
			return more
		}
		return rest
	}
	return msg
}

// theJob loads one job.
func theJob(ctx context.Context, s *shop.Shop, id string) (*shop.Loaded, error) {
	l, err := s.Job(ctx, id)
	if errors.Is(err, shop.ErrNotFound) {
		return nil, usagef("job %q: there is no job of that number; \"witnessmark job list\" shows all", id)
	}
	return l, plainly(err)
}
