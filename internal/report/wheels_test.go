// SPDX-License-Identifier: Apache-2.0

package report

import (
	"bytes"
	"strings"
	"testing"
)

// The report says when the vehicle stood on its wheels, by whom, and when it
// was lifted again, on paper and as a page.
func TestReportSaysWhenTheWheelsWereLoaded(t *testing.T) {
	d := gathered(t, told.cast.HandedOver)
	var html bytes.Buffer
	if err := d.HTML(t.Context(), &html); err != nil {
		t.Fatal(err)
	}
	paper := words(read(t, tool(t, "pdftotext", "poppler-utils"), pdfOf(t, d, Options{}), []string{"-layout"}, "-"))
	for _, want := range []string{"On its wheels, and lifted", "Wheels loaded: the vehicle stands on its wheels.", "Lifted again: the wheels hang free."} {
		if !strings.Contains(html.String(), want) {
			t.Errorf("the page does not say %q", want)
		}
		if !strings.Contains(paper, want) {
			t.Errorf("the paper does not say %q", want)
		}
	}
}
