// SPDX-License-Identifier: Apache-2.0

package report

import (
	"bytes"
	"context"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"witnessmark/sheets"
	"witnessmark/units"
)

var look = flag.String("look", "", "write the demonstration's reports into this folder, to be looked at")

// TestLookBlank is the same for blank workshop sheets.
func TestLookBlank(t *testing.T) {
	for name, o := range map[string]BlankOptions{
		"a4":     {Job: "0412", Workshop: "Saltmere Lane Engine Works (invented)", Gauge: GaugeOf(tools(t))},
		"letter": {Options: Options{Paper: "letter"}, Gauge: GaugeOf(tools(t)), Units: units.Inch},
	} {
		for _, file := range []string{sheets.V8, sheets.Inline4} {
			data := blankOf(t, file, o)
			if *look != "" {
				if err := os.WriteFile(filepath.Join(*look, "blank-"+name+"-"+file+".pdf"), data, 0o600); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
}

// TestLook writes what people look at before a release; without -look it only
// sees that everything prints.
//
//	go test ./internal/report -run TestLook -look /tmp/look && pdftoppm -png …
func TestLook(t *testing.T) {
	jobs := []string{told.cast.HandedOver}
	if *look != "" {
		jobs = append(jobs, told.cast.HalfWay, told.cast.Opened)
	}
	for _, id := range jobs {
		d := gathered(t, id)
		var html bytes.Buffer
		if err := d.HTML(context.Background(), &html); err != nil {
			t.Fatal(err)
		}
		files := map[string][]byte{id + ".html": html.Bytes(), id + "-letter.pdf": pdfOf(t, d, Options{Paper: "letter"})}
		if *look != "" {
			files[id+"-a4.pdf"] = pdfOf(t, d, Options{})
		}
		for name, data := range files {
			if len(data) < 1000 {
				t.Errorf("%s has %d bytes", name, len(data))
			}
			if *look == "" {
				continue
			}
			if err := os.WriteFile(filepath.Join(*look, name), data, 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
}
