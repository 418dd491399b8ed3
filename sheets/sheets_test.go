// SPDX-License-Identifier: Apache-2.0

package sheets

import (
	"bytes"
	"os"
	"strings"
	"testing"
)

func TestAll(t *testing.T) {
	all, err := All()
	if err != nil {
		t.Fatal(err)
	}
	for i, name := range Names() {
		s := all[i]
		data, err := os.ReadFile(name + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(s.Bytes(), data) {
			t.Errorf("%s: the bytes are not the file's", name)
		}
		if !s.Invented {
			t.Errorf("%s does not say that it is invented", name)
		}
		for id, source := range s.Sources {
			if !strings.Contains(source.Title, "invented for demonstration") && !strings.Contains(source.Title, "common practice") {
				t.Errorf("%s: source %s does not say that it is invented: %s", name, id, source.Title)
			}
		}
		for _, w := range s.Warnings() {
			if !strings.Contains(w.What, "not checked against") {
				t.Errorf("%s: %s", name, w)
			}
		}
	}
}

func TestEverySheetIsListed(t *testing.T) {
	entries, err := files.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	if len(entries) != len(Names()) {
		t.Errorf("%d files, %d names", len(entries), len(Names()))
	}
	if _, err := Named("none"); err == nil || !strings.Contains(err.Error(), V8) {
		t.Errorf("err = %v, want the names that there are", err)
	}
}
