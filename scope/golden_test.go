// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"encoding/json"
	"os"
	"testing"
)

// golden is testdata/golden.json, made by testdata/make_golden.py.
type golden struct {
	PERT []struct {
		Least, Likely, Most, Mean, Variance float64
		X, CDF, Q, Quantile                 []float64
	}
	Feed struct {
		Product, Name, Version string
		Errors                 []string
		Events                 []struct {
			UID, Summary, Description, Location, Status, Start, End, Stamp string
			Sequence                                                       int
		}
	}
}

func readGolden(t testing.TB) golden {
	t.Helper()
	data, err := os.ReadFile("testdata/golden.json")
	if err != nil {
		t.Fatal(err)
	}
	var g golden
	if err := json.Unmarshal(data, &g); err != nil {
		t.Fatal(err)
	}
	return g
}
