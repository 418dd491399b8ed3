// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"errors"
	"fmt"
)

// Exit codes of every command.
const (
	exitNo       = 1 // the answer is no
	exitUsage    = 2 // wrong flags or input that can't be understood
	exitCouldNot = 3 // unreadable file, no database
)

// errNo says that the command worked and that its answer is no.
var errNo = errors.New("the answer is no")

// usageError marks input that can't be understood: exit code 2.
type usageError struct{ err error }

func (e *usageError) Error() string { return e.err.Error() }
func (e *usageError) Unwrap() error { return e.err }

// couldNotError marks what the command could not reach: exit code 3.
type couldNotError struct{ err error }

func (e *couldNotError) Error() string { return e.err.Error() }
func (e *couldNotError) Unwrap() error { return e.err }

func usage(err error) error {
	if err == nil {
		return nil
	}
	return &usageError{err}
}

func usagef(format string, args ...any) error {
	return &usageError{fmt.Errorf(format, args...)}
}

func couldNot(err error) error {
	if err == nil {
		return nil
	}
	return &couldNotError{err}
}

func couldNotf(format string, args ...any) error {
	return &couldNotError{fmt.Errorf(format, args...)}
}

// exitCode maps an error to the exit code. What is neither a plain no nor
// marked came from cobra's own reading of the flags: usage.
func exitCode(err error) int {
	var c *couldNotError
	switch {
	case err == nil:
		return 0
	case errors.Is(err, errNo):
		return exitNo
	case errors.As(err, &c):
		return exitCouldNot
	default:
		return exitUsage
	}
}
