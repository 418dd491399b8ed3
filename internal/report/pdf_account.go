// SPDX-License-Identifier: Apache-2.0

package report

import "witnessmark/internal/job"

// accountPart is the estimate beside what the job took.
func (d Data) accountPart(p *paper) {
	if d.Account == nil {
		return
	}
	p.heading("Estimate and account", 30)
	for _, text := range filled(d.Account.Sentence, d.Account.ToCome) {
		p.para(text, body)
	}
	for _, part := range []struct {
		title string
		rows  []job.AccountRow
	}{{"Money", d.Account.Money}, {"Labour", d.Account.Hours}, {"Parts", d.Account.Parts}} {
		if len(part.rows) == 0 {
			continue
		}
		p.gap(2)
		t := table{columns: []column{{title: part.title, weight: 1}, {title: "Estimated", width: 30}, {title: "Actual", width: 30}, {title: "Difference", width: 30}}}
		for _, r := range part.rows {
			c := plain(r.Title)
			if r.Remark != "" {
				c = append(c, run{text: r.Remark, t: small})
			}
			t.rows = append(t.rows, row{cells: []cell{c, plain(r.Estimated), plain(r.Actual), plain(r.Differ)}})
		}
		p.table(t)
	}
}
