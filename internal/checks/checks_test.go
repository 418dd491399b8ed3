// SPDX-License-Identifier: Apache-2.0

package checks

import "testing"

// TestAll runs every published check; a failing one names its source.
func TestAll(t *testing.T) {
	for _, r := range Run() {
		if !r.OK {
			t.Errorf("%s: got %.10g, %s says %.10g ± %.2g %s", r.Name, r.Got, r.Source, r.Expected, r.Tolerance, r.Error)
		}
	}
}

// TestEveryCheckNamesItsSource: a check without a source proves nothing.
func TestEveryCheckNamesItsSource(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range all() {
		if c.Source == "" || c.Name == "" || c.Kind == "" || c.Tolerance <= 0 {
			t.Errorf("check %q: name, source, kind and a tolerance above zero are needed", c.Name)
		}
		if seen[c.Name] {
			t.Errorf("check %q stands twice", c.Name)
		}
		seen[c.Name] = true
	}
}
