// SPDX-License-Identifier: Apache-2.0

package store

import (
	"errors"
	"fmt"
	"io/fs"
	"syscall"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

var (
	// ErrFull says that the disk is full: nothing was kept.
	ErrFull = errors.New("the disk is full")
	// ErrReadOnly says that the folder or disk can't be written: nothing was kept.
	ErrReadOnly = errors.New("the folder can't be written")
	// ErrDisk says that the operating system could not read or write: a disk
	// that fails, or a limit on the size of files.
	ErrDisk = errors.New("the disk can't be read or written")
	// ErrBusy says that another process held the data for too long.
	ErrBusy = errors.New("another program holds the data")
)

// because wraps err with what was being done and, where the cause is one that
// a person can do something about, with the error that names it.
func because(doing string, err error) error {
	if err == nil {
		return nil
	}
	if cause := causeOf(err); cause != nil && !errors.Is(err, cause) {
		return fmt.Errorf("store: %s: %w: %w", doing, cause, err)
	}
	return fmt.Errorf("store: %s: %w", doing, err)
}

func causeOf(err error) error {
	var se *sqlite.Error
	switch {
	case errors.As(err, &se):
		return causeOfCode(se.Code() & 0xff)
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EDQUOT), errors.Is(err, syscall.EFBIG): // EFBIG: the limit of the process
		return ErrFull
	case errors.Is(err, syscall.EROFS), errors.Is(err, fs.ErrPermission):
		return ErrReadOnly
	case errors.Is(err, syscall.EIO):
		return ErrDisk
	}
	return nil
}

func causeOfCode(code int) error {
	switch code {
	case sqlite3.SQLITE_FULL:
		return ErrFull
	case sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM:
		return ErrReadOnly
	case sqlite3.SQLITE_IOERR:
		return ErrDisk
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED:
		return ErrBusy
	case sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB:
		return ErrDamaged
	}
	return nil
}

// isTaken says that an id or a place in a log was taken by another entry.
func isTaken(err error) bool {
	var se *sqlite.Error
	return errors.As(err, &se) && (se.Code() == sqlite3.SQLITE_CONSTRAINT_UNIQUE || se.Code() == sqlite3.SQLITE_CONSTRAINT_PRIMARYKEY)
}
