// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/sheets"
)

// justOpened tells the job that came in last.
func (t *teller) justOpened() {
	t.on(33, "16:05", tove)
	t.open(shop.NewJob{Number: justOpened, Vehicle: "Averland Lindle 1.9", Purpose: "Big-end bearings renewed with the timing drive",
		Sheet: t.hashes[sheets.Inline4], Plate: "INV 415",
		Owner: shop.Contact{Name: "Owner of job 0415 (invented)", Phone: "000 415"}})
	t.arrival(job.Arrival{Noises: "none", Leaks: "none", Faults: "one: oil level sensor"}, "164900 km", "")
}
