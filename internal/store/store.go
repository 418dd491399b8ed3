// SPDX-License-Identifier: Apache-2.0

// Package store keeps the logs, the blobs beside them and the little that can
// be derived from neither.
//
// Start with [Init] and [Open], which return a [Folder]: a data folder with its
// [Store], its configuration and its keys. What a store must do is written down
// as tests in package storetest.
package store

import (
	"context"
	"errors"
	"time"

	"witnessmark/record"
)

// Store keeps logs and what belongs to them. It is safe for concurrent use, by
// several processes too.
type Store interface {
	Logs
	Blobs
	Accounts
	// Close gives everything back. Nothing else may be called after it.
	Close() error
}

// Logs are append-only: there is no way to change or take out an entry.
type Logs interface {
	// Append keeps p, answered once it is safely on disk. The first entry makes
	// the log. existed says that p was there before: then the kept entry comes
	// back whatever guard says. A guard may be asked more than once. A nil guard is record.UnchangedSinceSeen.
	// Errors: record.ErrInvalid, record.ErrIDReused, *record.ConflictError,
	// whatever guard returns, or that it could not be kept.
	Append(ctx context.Context, person string, p record.Proposal, guard record.Guard) (e record.Entry, existed bool, err error)
	// AppendSeal keeps an entry of kind record.KindSeal, which Append and
	// AppendAll refuse: only Folder.Seal makes them.
	AppendSeal(ctx context.Context, person string, p record.Proposal) (record.Entry, error)
	// AppendAll keeps all of ps or none. Each is guarded with those before it
	// in the log. Entries that were there before are returned in their place.
	AppendAll(ctx context.Context, person string, ps []record.Proposal, guard record.Guard) ([]record.Entry, error)
	// Entries returns the log's entries with a sequence number above after. An
	// unknown subject has none.
	Entries(ctx context.Context, subject string, after int64) ([]record.Entry, error)
	// Leaves returns the leaf hashes as they were when the entries were kept.
	Leaves(ctx context.Context, subject string) ([]record.Hash, error)
	// Subjects lists the logs whose subject begins with prefix, by subject.
	Subjects(ctx context.Context, prefix string) ([]SubjectInfo, error)
	// ChangesAfter returns at most limit entries of any log that were kept
	// after the given change, in the order in which they were.
	ChangesAfter(ctx context.Context, change int64, limit int) ([]Change, error)
	// LastChange returns the number of the newest change, 0 if there is none.
	// It is cheap: live pages ask it often. It sees other processes' entries.
	LastChange(ctx context.Context) (int64, error)
}

// SubjectInfo is what is known of a log without reading it.
type SubjectInfo struct {
	Subject string
	Size    int64     // number of entries
	First   time.Time // received time of the first entry
	Last    time.Time // and of the last one
	Change  int64     // the newest change in it
}

// Change is an entry with its place in the order of all logs together.
type Change struct {
	Number int64
	Entry  record.Entry
}

// Blobs are files beside the logs.
type Blobs interface {
	// PutBlob keeps data under a salt and returns the commitment for an entry,
	// once it is safely on disk. Without a salt it takes a random one; with one
	// a repeat gives the same commitment and keeps one copy.
	PutBlob(ctx context.Context, b record.Blob) (record.Commitment, error)
	// Blob returns what the commitment stands for, checked against it.
	// Errors: ErrErased, ErrNotFound, ErrDamaged.
	Blob(ctx context.Context, c record.Commitment) (record.Blob, error)
	// Erase deletes the blobs with their salts, and every stored report of the
	// subject. It appends nothing. What is erased stays erased: putting the
	// same blob again is refused with ErrErased.
	Erase(ctx context.Context, subject string, cs ...record.Commitment) error

	// PutSheet keeps a public document by its content.
	PutSheet(ctx context.Context, data []byte) (record.ContentHash, error)
	// Sheet returns it, checked. Errors: ErrNotFound, ErrDamaged.
	Sheet(ctx context.Context, h record.ContentHash) ([]byte, error)
	// Sheets lists all.
	Sheets(ctx context.Context) ([]record.ContentHash, error)

	// PutReport keeps a report of the subject until it is erased or replaced.
	PutReport(ctx context.Context, subject, name string, data []byte) error
	// Report returns it. Error: ErrNotFound.
	Report(ctx context.Context, subject, name string) ([]byte, error)
}

// Accounts is the little that entries don't hold: secrets, sessions, settings.
type Accounts interface {
	// SetCredential keeps the hash of a person's PIN; nil takes it away.
	SetCredential(ctx context.Context, person string, hash []byte) error
	// Credential returns it. Error: ErrNotFound.
	Credential(ctx context.Context, person string) ([]byte, error)

	// SaveSession keeps data under a secret token until expiry. Only the
	// token's hash is stored.
	SaveSession(ctx context.Context, token string, data []byte, expiry time.Time) error
	// Session returns the data of a session not yet expired. Error: ErrNotFound.
	Session(ctx context.Context, token string) ([]byte, error)
	// DeleteSession forgets a session, if there is one.
	DeleteSession(ctx context.Context, token string) error
	// SessionList returns all sessions not yet expired, newest expiry first.
	SessionList(ctx context.Context) ([]SessionInfo, error)
	// DeleteSessionHash forgets a session named by its hash.
	DeleteSessionHash(ctx context.Context, hash string) error

	// Setting returns a setting's value. Error: ErrNotFound.
	Setting(ctx context.Context, key string) (string, error)
	// SetSetting sets it.
	SetSetting(ctx context.Context, key, value string) error
	// Settings returns all whose key begins with prefix.
	Settings(ctx context.Context, prefix string) (map[string]string, error)

	// AddFailure counts one more failed log-in under key and returns the count.
	AddFailure(ctx context.Context, key string) (Failures, error)
	// FailuresOf returns the count without adding to it.
	FailuresOf(ctx context.Context, key string) (Failures, error)
	// ClearFailures starts again from none.
	ClearFailures(ctx context.Context, key string) error
}

// SessionInfo is a session without its token.
type SessionInfo struct {
	Hash   string
	Data   []byte
	Expiry time.Time
}

// Failures counts failed log-ins.
type Failures struct {
	Count int
	Last  time.Time // zero if there were none
}

var (
	// ErrNotFound says that there is no such thing.
	ErrNotFound = errors.New("not found")
	// ErrErased says that it was there and was erased.
	ErrErased = errors.New("erased")
	// ErrDamaged says that what is on disk is not what was kept.
	ErrDamaged = errors.New("damaged")
	// ErrLocked says that another server runs on the data folder.
	ErrLocked = errors.New("another server runs on this folder")
	// ErrNewer says that a newer version of the program wrote the data.
	ErrNewer = errors.New("written by a newer version of this program")
	// ErrNoKey says that the folder has no private key to seal with.
	ErrNoKey = errors.New("no private key in this folder")
)
