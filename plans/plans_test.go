// SPDX-License-Identifier: Apache-2.0

package plans

import "testing"

// Every plan loads without a warning, says that it is invented, and names its
// family.
func TestPlans(t *testing.T) {
	for _, name := range Names() {
		p, err := Named(name)
		if err != nil {
			t.Fatal(err)
		}
		if !p.Invented || p.Family == "" || len(p.Work) == 0 {
			t.Errorf("%s: invented %v, family %q, %d work", name, p.Invented, p.Family, len(p.Work))
		}
		for _, w := range p.Warnings() {
			t.Error(w)
		}
		found, ok, err := ForFamily(p.Family)
		if err != nil || !ok || found.Hash != p.Hash {
			t.Errorf("%s is not found by its family %s", name, p.Family)
		}
	}
	if _, ok, _ := ForFamily("none"); ok {
		t.Error("a family without a plan has one")
	}
	if _, err := Named("none"); err == nil {
		t.Error("an unknown name loads")
	}
}
