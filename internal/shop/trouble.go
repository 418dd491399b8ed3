// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"net/http"

	"witnessmark/engine"
	"witnessmark/internal/photo"
	"witnessmark/internal/store"
	"witnessmark/record"
	"witnessmark/units"
)

// Trouble is an error in words for whoever asked: where, what was entered,
// what it was held against, what to do next.
type Trouble struct {
	Status    int    `json:"status"` // of HTTP
	Title     string `json:"title"`
	Detail    string `json:"detail"`
	Next      string `json:"next"`
	Reference string `json:"reference,omitempty"` // of an unexpected error, in the log
}

// ErrLogIn says that nobody is logged in.
var ErrLogIn = errors.New("nobody is logged in")

// TroubleOf maps an error to its words and status, for pages and API alike.
// What is not expected has a reference: the error itself belongs into the log
// beside it.
func TroubleOf(err error) Trouble {
	for _, find := range []func(error) (Trouble, bool){faultTrouble, personTrouble, recordTrouble, inputTrouble} {
		if t, ok := find(err); ok {
			return t
		}
	}
	return Trouble{Status: http.StatusInternalServerError, Title: "That did not work", Detail: "The program could not do this. Nothing was lost that it had accepted.",
		Next: "Try again. If it comes back, tell whoever looks after the program the reference.", Reference: reference()}
}

// faultTrouble is about the disk and the database.
func faultTrouble(err error) (Trouble, bool) {
	switch {
	case errors.Is(err, store.ErrFull):
		return Trouble{Status: http.StatusInsufficientStorage, Title: "The disk is full",
			Detail: "What was just sent was not kept: it needs room in the server’s data folder, and the disk or the quota there has none left. All that was kept before is safe.",
			Next:   "Make room on the server’s disk, then send it again: it counts once."}, true
	case errors.Is(err, store.ErrReadOnly):
		return Trouble{Status: http.StatusServiceUnavailable, Title: "The data folder can’t be written",
			Detail: "What was just sent was not kept: the server may not write in its data folder. All that was kept before is safe.",
			Next:   "Give the program’s user the right to write there, then send it again: it counts once."}, true
	case errors.Is(err, store.ErrDisk):
		return Trouble{Status: http.StatusServiceUnavailable, Title: "The disk does not do its work",
			Detail: "What was just sent was not kept: the operating system could not read or write in the server’s data folder. The disk may be failing, or the size of files is limited. All that was kept before is safe as far as the disk is.",
			Next:   "Make a backup now, look at the server’s disk, then send it again: it counts once."}, true
	case errors.Is(err, store.ErrBusy):
		return Trouble{Status: http.StatusServiceUnavailable, Title: "Another program holds the data",
			Detail: "What was just sent was not kept: another program had the database of the data folder for longer than ten seconds.",
			Next:   "Wait until it is done, a backup tool perhaps, then send it again: it counts once."}, true
	case errors.Is(err, store.ErrDamaged):
		return Trouble{Status: http.StatusInternalServerError, Title: "The data on disk is damaged",
			Detail: "What this page asks for was read from the data folder and is not what was kept there: the disk or something else has changed it.",
			Next:   "Enter nothing more. Stop the server, copy the data folder as it is, and restore the last backup into a new folder."}, true
	case errors.Is(err, store.ErrNoKey):
		return Trouble{Status: http.StatusInternalServerError, Title: "Nothing to sign with",
			Detail: "The workshop’s private key is not in the server’s data folder, so nothing can be signed.",
			Next:   "Put keys/private back from a backup that holds it, then ask again."}, true
	}
	return Trouble{}, false
}

// personTrouble is about who asks and what they may.
func personTrouble(err error) (Trouble, bool) {
	var notAllowed *ErrNotAllowed
	switch {
	case errors.Is(err, ErrLogIn):
		return Trouble{Status: http.StatusUnauthorized, Title: "Log in first", Detail: "Nobody is logged in here, or the log-in has run out.", Next: "Log in with name and PIN, then send it again."}, true
	case errors.Is(err, ErrWrongPIN):
		return Trouble{Status: http.StatusUnauthorized, Title: "Name and PIN do not belong together", Detail: "Nobody of the workshop has this name with this PIN.",
			Next: fmt.Sprintf("Try again; after %d wrong PINs a manager has to unlock the name.", MaxFailures)}, true
	case errors.Is(err, ErrLockedOut):
		return Trouble{Status: http.StatusForbidden, Title: "Locked", Detail: "This name is locked after too many wrong PINs.", Next: "A manager can unlock it under People."}, true
	case errors.Is(err, ErrTooSoon):
		return Trouble{Status: http.StatusTooManyRequests, Title: "Too soon", Detail: "That was too soon after a wrong PIN.", Next: "Wait a few seconds, then try again."}, true
	case errors.As(err, &notAllowed):
		return Trouble{Status: http.StatusForbidden, Title: "Not for this role", Detail: Sentence(notAllowed.Error()), Next: "Let somebody do it whose role it is for."}, true
	}
	return Trouble{}, false
}

// recordTrouble is about what is there and what came meanwhile.
func recordTrouble(err error) (Trouble, bool) {
	var conflict *record.ConflictError
	switch {
	case errors.Is(err, ErrErased):
		return Trouble{Status: http.StatusGone, Title: "Erased", Detail: "This was kept here and has been erased. The record and its seals hold without it.", Next: "Nothing brings it back."}, true
	case errors.Is(err, ErrNotFound):
		return Trouble{Status: http.StatusNotFound, Title: "Not found", Detail: "There is no such page, job or tool.", Next: "Go to the list of jobs and look for it there."}, true
	case errors.As(err, &conflict):
		return Trouble{Status: http.StatusConflict, Title: "The record went on meanwhile",
			Detail: fmt.Sprintf("This rests on what was seen at entry %d; the record is at entry %d now. Nothing was kept.", conflict.Saw, conflict.Seq),
			Next:   "Look at what was added, then decide again."}, true
	case errors.Is(err, record.ErrIDReused):
		return Trouble{Status: http.StatusConflict, Title: "Sent before with other words", Detail: "This was sent before, and says something else now. The first is kept.", Next: "Enter it as a new entry."}, true
	}
	return Trouble{}, false
}

// inputTrouble is about what was typed or sent.
func inputTrouble(err error) (Trouble, bool) {
	var refusal *Refusal
	var parse *units.ParseError
	var sheet *engine.Problems
	var refused *photo.Refused
	var tooLarge *http.MaxBytesError
	switch {
	case errors.As(err, &parse):
		return Trouble{Status: http.StatusUnprocessableEntity, Title: "Not understood", Detail: Sentence(parse.Error()), Next: Sentence(parse.Suggestion)}, true
	case errors.As(err, &sheet):
		return Trouble{Status: http.StatusUnprocessableEntity, Title: "The engine sheet has problems", Detail: sheet.Error(), Next: "Correct the file and send it again."}, true
	case errors.As(err, &refused):
		return Trouble{Status: http.StatusUnprocessableEntity, Title: "Not understood", Detail: Sentence("photo: " + refused.Why), Next: Sentence("nothing was kept: " + refused.Next)}, true
	case errors.As(err, &refusal), errors.Is(err, record.ErrInvalid):
		return Trouble{Status: http.StatusUnprocessableEntity, Title: "Not understood", Detail: Sentence(PlainError(err)), Next: "Nothing was kept. Correct it and send it again."}, true
	case errors.As(err, &tooLarge):
		return Trouble{Status: http.StatusRequestEntityTooLarge, Title: "Too large", Detail: fmt.Sprintf("More was sent at once than the %d kB that this page takes. Nothing was kept.", tooLarge.Limit/1000), Next: "Send less at a time."}, true
	}
	return Trouble{}, false
}

// reference is what the reader is shown and the log has of an unexpected
// error.
func reference() string {
	var b [4]byte
	_, _ = rand.Read(b[:])
	return hex.EncodeToString(b[:])
}
