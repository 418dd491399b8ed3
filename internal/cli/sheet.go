// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"witnessmark/engine"
)

// sheetResult is what `sheet check` prints.
type sheetResult struct {
	File      string           `json:"file"`
	OK        bool             `json:"ok"`
	Family    string           `json:"family,omitempty"`
	Title     string           `json:"title,omitempty"`
	Invented  bool             `json:"invented"`
	Hash      string           `json:"hash"`
	Cylinders []string         `json:"cylinders"` // by position, from the front
	Access    []int            `json:"access_order"`
	Values    int              `json:"values"`
	Unchecked int              `json:"unchecked"`
	Problems  []engine.Problem `json:"problems"`
	Warnings  []engine.Problem `json:"warnings"`
}

func newSheetCommand(a *app) *cobra.Command {
	c := example(&cobra.Command{
		Use:   "sheet",
		Short: "Engine sheets: what is known of one engine family",
		Args:  cobra.NoArgs,
		RunE:  func(c *cobra.Command, _ []string) error { return c.Help() },
	}, "  witnessmark sheet check sheets/invented-v8-34.yaml")
	c.AddCommand(newSheetCheckCommand(a), newSheetSchemaCommand(a), newSheetPrintCommand(a))
	return c
}

func newSheetCheckCommand(a *app) *cobra.Command {
	return example(&cobra.Command{
		Use:   "check FILE",
		Short: "Say what is wrong in an engine sheet, and where",
		Long: `Read an engine sheet and name everything wrong in it with line, column and what
would be right. Values that nobody checked against their source are listed as
warnings and fail nothing. Exit code 0 when the sheet can be used, 1 when it
cannot, 3 when the file cannot be read.`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return sheetCheck(a, args[0]) },
	}, "  witnessmark sheet check sheets/invented-v8-34.yaml\n  witnessmark sheet check mine.yaml --json")
}

func newSheetSchemaCommand(a *app) *cobra.Command {
	return example(&cobra.Command{
		Use:   "schema",
		Short: "Print the JSON Schema of engine sheets, for an editor",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			_, err := a.out.Write(engine.Schema())
			return couldNot(err)
		},
	}, "  witnessmark sheet schema > sheet.schema.json")
}

func sheetCheck(a *app, file string) error {
	data, err := readSheet(file)
	if err != nil {
		return couldNot(err)
	}
	r, err := checkSheet(file, data)
	if err != nil {
		return couldNot(err)
	}
	if err := a.emit(r, r.print); err != nil {
		return couldNot(err)
	}
	if !r.OK {
		return errNo
	}
	return nil
}

// readSheet reads no more than it takes to see that a file is no sheet.
func readSheet(file string) ([]byte, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, 1<<20))
}

func checkSheet(file string, data []byte) (sheetResult, error) {
	r := sheetResult{File: file, Hash: engine.HashOf(data), Cylinders: []string{}, Access: []int{},
		Problems: []engine.Problem{}, Warnings: []engine.Problem{}}
	s, err := engine.Load(file, data)
	if err != nil {
		var p *engine.Problems
		if !errors.As(err, &p) {
			return r, err
		}
		r.Problems = p.List
		return r, nil
	}
	r.OK, r.Family, r.Title, r.Invented = true, s.Family, s.Title, s.Invented
	r.Access = s.AccessOrder()
	for _, p := range s.Positions() {
		r.Cylinders = append(r.Cylinders, p.Cylinder)
	}
	for _, v := range s.Values() {
		r.Values++
		if !v.Checked {
			r.Unchecked++
		}
	}
	r.Warnings = append(r.Warnings, s.Warnings()...)
	return r, nil
}

func (r sheetResult) print(w io.Writer) {
	for _, p := range r.Problems {
		fmt.Fprintln(w, p)
	}
	for _, p := range r.Warnings {
		fmt.Fprintf(w, "%s (warning)\n", p)
	}
	if !r.OK {
		fmt.Fprintf(w, "%s cannot be used yet: %s to put right\n", r.File, plural(len(r.Problems), "thing", "things"))
		return
	}
	invented := ""
	if r.Invented {
		invented = ", invented"
	}
	fmt.Fprintf(w, "%s: %s (%s%s)\n", r.File, r.Title, r.Family, invented)
	fmt.Fprintf(w, "cylinders from the front: %s\n", strings.Join(r.Cylinders, " "))
	fmt.Fprintf(w, "positions in order of access: %s\n", strings.Trim(fmt.Sprint(r.Access), "[]"))
	fmt.Fprintf(w, "%s, %d not checked against a source\n", plural(r.Values, "value", "values"), r.Unchecked)
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
