// SPDX-License-Identifier: Apache-2.0

package arch

import (
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var link = regexp.MustCompile(`\]\(([^)\s]+)\)`)

// TestLinksLeadSomewhere: every file that a document links to is there.
func TestLinksLeadSomewhere(t *testing.T) {
	for _, f := range tracked(t) {
		if path.Ext(f) != ".md" {
			continue
		}
		for i, line := range lines(t, f) {
			for _, m := range link.FindAllStringSubmatch(line, -1) {
				target, _, _ := strings.Cut(m[1], "#")
				if target == "" || strings.Contains(target, "://") {
					continue
				}
				if _, err := os.Stat(filepath.Join(root, path.Dir(f), target)); err != nil {
					t.Errorf("%s:%d: %s is not there", f, i+1, target)
				}
			}
		}
	}
}

// TestDecisionsAreListed: every page about a lasting choice is in the index.
func TestDecisionsAreListed(t *testing.T) {
	index := strings.Join(lines(t, "docs/decisions/README.md"), "\n")
	for _, f := range tracked(t) {
		dir, name := path.Split(f)
		if dir == "docs/decisions/" && name != "README.md" && !strings.Contains(index, "]("+name+")") {
			t.Errorf("docs/decisions/README.md does not list %s", name)
		}
	}
}
