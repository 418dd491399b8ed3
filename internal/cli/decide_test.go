// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"
)

// runDecide runs the command and returns exit code, result, raw output and messages.
func runDecide(t *testing.T, args string) (int, map[string]any, string, string) {
	t.Helper()
	var out, errw bytes.Buffer
	code := Main(append([]string{"decide"}, strings.Fields(args)...), strings.NewReader(""), &out, &errw)
	var got map[string]any
	if out.Len() > 0 {
		if err := json.Unmarshal(out.Bytes(), &got); err != nil {
			t.Fatalf("decide %s: %v in %s", args, err, out.String())
		}
	}
	return code, got, out.String(), errw.String()
}

func TestDecideCommand(t *testing.T) {
	for _, c := range []struct {
		args    string
		code    int
		verdict string
		within  float64
	}{
		// From memory, recomputed: the examples of JCGM 106:2012.
		{"--value -5.47 --u 0.05 --max -5.40", 0, "within", 0.9192433},
		{"--value 13.6 --u 1.8 --min 12.5 --max 16.3 --json", 1, "not_proven", 0.6626305},
		{"--value=13.6 --u 1.8 --min 12.5 --max 16.3 --confidence 0.66", 0, "within", 0.6626305},
		// By hand: a uniform spread alone.
		{"--value 0 --u 0 --half-width 1 --max 0.6", 0, "within", 0.8},
		{"--value 2 --u 0 --half-width 1 --max 0.5", 1, "above", 0},
		{"--value 2 --u 0 --half-width 1 --min 3.0", 1, "below", 0},
		// Common practice, no source.
		{"--value 0.076 --u 0.00456 --max 0.064 --confidence 0.95", 1, "above", 0.00425},
		// Units, if they all agree.
		{"--value 0,058 --u 0,003 --max 0.060", 1, "not_proven", 0.7475},
		{"--value 58µm --u 3um --max 0.060mm", 1, "not_proven", 0.7475},
	} {
		code, got, out, msg := runDecide(t, c.args)
		if code != c.code || got["verdict"] != c.verdict {
			t.Errorf("decide %s: exit %d, %s%s; want exit %d, %s", c.args, code, out, msg, c.code, c.verdict)
			continue
		}
		if p := got["probability_within"].(float64); math.Abs(p-c.within) > 1e-4 {
			t.Errorf("decide %s: probability_within %g, want %g", c.args, p, c.within)
		}
		if len(got) != 4 {
			t.Errorf("decide %s: %d keys, want 4: %s", c.args, len(got), out)
		}
		if strings.Contains(c.args, "--json") != (msg == "") {
			t.Errorf("decide %s: said %q", c.args, msg)
		}
	}
}

func TestDecideCommandRefuses(t *testing.T) {
	for _, args := range []string{
		"--value 1 --u 0.1",                             // no limit
		"--u 0.1 --max 2",                               // no value
		"--value 1 --max 2",                             // no spread
		"--value x --u 0.1 --max 2",                     // no number
		"--value NaN --u 0.1 --max 2",                   //
		"--value 1 --u 0.1 --max Inf",                   //
		"--value 1 --u -0.1 --max 2",                    // spread below zero
		"--value 1 --u 0.1 --half-width -1 --max 2",     //
		"--value 1 --u 0.1 --min 3 --max 2",             // wrong way round
		"--value 1 --u 0.1 --max 2 --confidence 95",     // per cent
		"--value 1 --u 0.1 --max 2 --confidence -0.1",   //
		"--value 58µm --u 3 --max 0.060mm",              // units on some only
		"--value 1,000 --u 0.1 --max 2",                 // ambiguous
		"--value 58µm --u 3µm --max 20Nm",               // not a length
		"--value 1 --u 0.1 --max 2 extra",               //
		"--value 1 --u 0.1 --max 2 --tolerance 3",       // unknown flag
		"--value 1 --u 0.1 --max 2 --half-width 0x1p-2", //
	} {
		code, _, out, msg := runDecide(t, args)
		if code != 2 || out != "" || msg == "" {
			t.Errorf("decide %s: exit %d, %q, %q; want exit 2 and a message alone", args, code, out, msg)
		}
	}
}
