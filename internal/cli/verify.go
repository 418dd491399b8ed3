// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"witnessmark/record"
)

// verifyResult is what `verify` prints.
type verifyResult struct {
	OK       bool                `json:"ok"`
	Summary  string              `json:"summary"`
	Origin   string              `json:"origin"`
	Subject  string              `json:"subject"`
	Entries  int64               `json:"entries"`
	Sealed   int64               `json:"sealed_to_entry"`
	FirstBad int64               `json:"first_bad_entry"` // 0: none
	Problems []verifyProblem     `json:"problems"`
	Seals    []verifySeal        `json:"seals"`
	Erased   []record.Commitment `json:"erased"`
	Withheld []record.Commitment `json:"withheld"`
}

type verifyProblem struct {
	Where string `json:"where"`
	Entry int64  `json:"entry,omitempty"`
	What  string `json:"what"`
}

type verifySeal struct {
	Covers      int64  `json:"covers_entries"`
	Fingerprint string `json:"fingerprint"`
	Key         string `json:"key"`
	OK          bool   `json:"ok"`
}

func newVerifyCommand(a *app) *cobra.Command {
	var key string
	c := example(&cobra.Command{
		Use:   "verify FILE.zip --key KEY",
		Short: "Hold a bundle against the workshop's public key",
		Long: `Hold a bundle against the workshop's public key. It needs no data folder and
changes nothing. KEY is the public key as "witnessmark key show" prints it, or a
file with it; take it from the workshop, not from whoever gave you the bundle.
Exit code 0 when everything is as it was sealed and handed over, 1 when not; then
it says what is wrong and since which entry.`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			return a.verify(args[0], key)
		},
	}, "  witnessmark verify job-0412.zip --key workshop.pub")
	c.Flags().StringVar(&key, "key", "", "the workshop's public key, or a file with it")
	return c
}

func (a *app) verify(file, key string) error {
	data, err := os.ReadFile(file)
	if err != nil {
		return couldNotf("%s can't be read: %w", file, err)
	}
	vkey, err := publicKey(key)
	if err != nil {
		return err
	}
	_, v := record.VerifyBundle(data, vkey)
	r := newVerifyResult(v)
	if err := a.emit(r, func(w io.Writer) { printVerification(w, r) }); err != nil {
		return couldNot(err)
	}
	if !r.OK {
		return errNo
	}
	return nil
}

// publicKey takes a key, or a file with one.
func publicKey(key string) (string, error) {
	if key == "" {
		return "", usagef("verify: --key is missing: give the workshop's public key, as \"witnessmark key show\" prints it, or a file with it")
	}
	if _, err := record.KeyName(key); err == nil {
		return key, nil
	}
	data, err := os.ReadFile(key)
	if errors.Is(err, fs.ErrNotExist) {
		return "", usagef("verify: --key %q: neither a public key nor a file. A public key looks like workshop+0123abcd+A..., as \"witnessmark key show\" prints it", key)
	}
	if err != nil {
		return "", couldNotf("--key %s can't be read: %w", key, err)
	}
	text := strings.TrimSpace(string(data))
	if _, err := record.KeyName(text); err != nil {
		return "", usagef("verify: --key %s: the file holds no public key. It must hold one line, as \"witnessmark key show\" prints it", key)
	}
	return text, nil
}

func newVerifyResult(v record.Verification) verifyResult {
	r := verifyResult{OK: v.OK, Summary: v.String(), Origin: v.Origin, Subject: v.Subject, Entries: v.Entries, Sealed: v.Sealed, FirstBad: v.FirstBad,
		Problems: []verifyProblem{}, Seals: []verifySeal{}, Erased: append([]record.Commitment{}, v.Erased...), Withheld: append([]record.Commitment{}, v.Withheld...)}
	for _, p := range v.Problems {
		r.Problems = append(r.Problems, verifyProblem{p.Where, p.Seq, p.What})
	}
	for _, s := range v.Seals {
		r.Seals = append(r.Seals, verifySeal{s.Size, s.Fingerprint(), s.Key, s.OK})
	}
	return r
}

func printVerification(w io.Writer, r verifyResult) {
	if r.OK {
		fmt.Fprintln(w, "Verified.", r.Summary)
	} else {
		fmt.Fprintln(w, "NOT VERIFIED.", r.Summary)
	}
	for _, s := range r.Seals {
		mark := "ok"
		if !s.OK {
			mark = "DOES NOT HOLD"
		}
		fmt.Fprintf(w, "  seal over entries 1 to %d, fingerprint %s: %s\n", s.Covers, s.Fingerprint, mark)
	}
	for _, p := range r.Problems {
		fmt.Fprintf(w, "  %s: %s\n", p.Where, p.What)
	}
	if n := len(r.Erased); n > 0 {
		fmt.Fprintf(w, "  %d pieces of personal data were erased; the record and its seals hold without them\n", n)
	}
	if n := len(r.Withheld); n > 0 {
		fmt.Fprintf(w, "  %d pieces of personal data were not handed over\n", n)
	}
	if !r.OK {
		fmt.Fprintln(w, "Nothing was changed. Keep the file as it is and ask the workshop for another copy.")
	}
}
