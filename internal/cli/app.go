// SPDX-License-Identifier: Apache-2.0

// Package cli is the command line: one file per command, flags in, one result
// struct out. Nothing here holds a formula.
//
// Start with [Main]. A command's file has a constructor `newXCommand(*app)`,
// which [newRoot] lists by hand, so that the whole command line can be read on
// one screen.
//
// With --json, standard output is one JSON value with unrounded numbers; what
// is said to a person goes to standard error. Exit codes: 0 done; 1 the answer
// is no; 2 wrong flags or input that can't be understood; 3 could not.
package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"

	"github.com/spf13/cobra"
)

// app is what every command needs: the streams and the global flags.
type app struct {
	in       io.Reader
	out, err io.Writer
	json     bool
	dir      string
	person   string
}

// Main runs the command line and returns the exit code.
func Main(args []string, in io.Reader, out, errw io.Writer) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	a := &app{in: in, out: out, err: errw}
	root := newRoot(a)
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(errw)
	called, err := root.ExecuteContextC(ctx)
	if err == nil {
		return 0
	}
	// A plain "no" has already printed its result; there is nothing to add.
	if !errors.Is(err, errNo) {
		fmt.Fprintf(errw, "witnessmark: %s\n", howTo(called, err))
	}
	return exitCode(err)
}

// howTo adds to what is wrong with the words of a call how the command is
// called. Errors of a command's own say that themselves.
func howTo(called *cobra.Command, err error) string {
	var u *usageError
	var c *couldNotError
	if errors.As(err, &u) || errors.As(err, &c) {
		return err.Error()
	}
	if !called.HasParent() {
		return fmt.Sprintf("%v; %q lists the commands", err, called.CommandPath()+" --help")
	}
	return fmt.Sprintf("%s: %v; it is called as %q, see %q", called.Name(), err, called.UseLine(), called.CommandPath()+" --help")
}

// emit prints result as one JSON value with --json, else calls text.
func (a *app) emit(result any, text func(w io.Writer)) error {
	if !a.json {
		text(a.out)
		return nil
	}
	enc := json.NewEncoder(a.out)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(result)
}

// say tells a person something on standard error.
func (a *app) say(format string, args ...any) {
	fmt.Fprintf(a.err, format+"\n", args...)
}

// example makes the example block of a command's help.
func example(c *cobra.Command, lines string) *cobra.Command {
	c.Example = lines
	return c
}
