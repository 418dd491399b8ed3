// SPDX-License-Identifier: Apache-2.0

package web

import (
	"fmt"
	"net/http"
	"testing"

	"witnessmark/internal/job"
)

// A batch is put on the shelf once, its shells are measured, what was entered
// by mistake is taken back, and a shell that a job fits leaves the stock until
// it is said to be back.
func TestShellsInStock(t *testing.T) {
	k := newKit(t)
	b := k.as(job.Technician)
	page := b.get("/stock")
	page.says(".empty", "No batch is on the shelf")
	page.press("form[action='/stock'] button.go", "batch", "no / slash").says(".problem", "as the maker marks it")
	batch := page.press("form[action='/stock'] button.go", "batch", "B-7", "part", "INV-34-BE", "family", "AV34").follow()
	batch.says("main", "INV-34-BE, for engine family AV34")
	twice := b.get("/stock").press("form[action='/stock'] button.go", "batch", "B-7")
	twice.says(".problem", "Batch B-7 is in stock already: open it and add to it.")
	if got := twice.Find("input[name=batch]").AttrOr("value", ""); got != "B-7" {
		t.Errorf("%q is left of what was typed", got)
	}

	batch.press("#measure button", "shell", "U1", "half", "upper").says(".problem", "No wall was entered")
	batch = batch.press("#measure button", "shell", "U1", "half", "upper", "wall", "1.988", "grade", "g3").follow()
	batch.says(".kept", "U1, upper: wall 1.988 mm")
	batch.says("[data-shell=U1]", "1.9880 mm")
	batch = batch.press("#measure button", "shell", "L1", "half", "lower", "wall", "1.987").follow()
	batch.press("#measure button", "shell", "L1", "half", "upper", "wall", "1.987").says(".problem", "Shell L1 is a lower")
	// Inches, by a slip: questioned, and kept only with a reason.
	inches := batch.press("#measure button", "shell", "U2", "half", "upper", "wall", "0.0783")
	if inches.status != http.StatusUnprocessableEntity {
		t.Errorf("status %d", inches.status)
	}
	inches.says("#measure .problem", "this looks like inches")
	slip := inches.press("#measure button", "reason", "a model").follow()
	slip.says(".kept", "kept because a model")

	// The wrong one is taken back; what began the batch can't be.
	slip.count("#wrong option", 3)
	slip.press("#wrong button", "reason", "").says(".problem", "Reason is empty")
	right := slip.press("#wrong button", "reason", "it was no model").follow()
	right.count("[data-shell]", 2)
	right.says(".lines del", "U2, upper: wall 0.0783 mm")

	k.add("job/0500", "shell_fitted", job.ShellFitted{Position: 3, Upper: job.Shell{ID: "U1", Batch: "B-7"}, Lower: job.Shell{ID: "L1", Batch: "B-7"}})
	b.get("/stock").says("[data-batch='B-7']", "0 upper, 0 lower")
	fitted := b.get("/stock/B-7")
	fitted.says("[data-shell=U1]", "fitted in job 0500, position 3")
	back := fitted.press("#back button", "shell", "U1", "reason", "for a strip only, clean").follow()
	back.says(".kept", "U1 is back in stock from job 0500")
	back.says("[data-shell=U1]", "on the shelf")
	back.press("#back button", "shell", "U1", "discard", "yes", "reason", "dropped").follow().says("[data-shell=U1]", "taken out: dropped")

	b.get("/stock/B-7").press("#count button", "grade", "g2", "half", "lower", "wall", "1.9865", "count", "4").follow().says("main", "Grade g2, lower, wall 1.9865 mm: 4 on the shelf.")
	if a := k.as(job.Office).get("/stock/B-7"); a.Find("form[action^='/stock']").Length() != 0 {
		t.Error("the office is offered to change the stock")
	}
	if a := b.get("/stock/none"); a.status != http.StatusNotFound {
		t.Errorf("a batch that is not there: %d", a.status)
	}
}

// onShelf puts shells of one wall on the shelf.
func (k *kit) onShelf(batch, wall string, n int) {
	k.Helper()
	k.add("stock/"+batch, "batch_added", job.BatchAdded{ID: batch, Part: "INV-34-BE"})
	for i := range n {
		k.add("stock/"+batch, "shell_measured", job.ShellMeasured{ID: fmt.Sprintf("U%d", i+1), Half: job.Upper, Wall: *k.mm(wall)})
		k.add("stock/"+batch, "shell_measured", job.ShellMeasured{ID: fmt.Sprintf("L%d", i+1), Half: job.Lower, Wall: *k.mm(wall)})
	}
}
