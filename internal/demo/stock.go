// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"fmt"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// batch is the shells that both V8 jobs are fitted from.
const batch = "INV-2409"

// Walls of the shells on the shelf, in the order in which they were measured.
var (
	upperWalls = []string{"1.9880", "1.9875", "1.9865", "1.9885", "1.9880", "1.9835", "1.9870", "1.9875", "1.9885", "1.9860", "1.9900", "1.9850"}
	lowerWalls = []string{"1.9870", "1.9845", "1.9880", "1.9900", "1.9885", "1.9880", "1.9865", "1.9885", "1.9885", "1.9860", "1.9870"}
)

// stock puts a batch of measured shells on the shelf.
func (t *teller) stock() {
	t.on(0, "10:00", odda)
	t.subject = "stock/" + batch
	t.add("batch_added", job.BatchAdded{ID: batch, Part: "INV-34-BE", Family: "AV34", Remark: "invented for demonstration"})
	for half, walls := range [][]string{upperWalls, lowerWalls} {
		for i, wall := range walls {
			t.add("shell_measured", job.ShellMeasured{ID: fmt.Sprintf("%c%02d", "UL"[half], i+1), Half: []string{job.Upper, job.Lower}[half],
				Wall: *t.length(wall + " mm"), Gauge: "TM-1"})
		}
	}
}

// sizes are the housing bore and the journal of each position of the engine
// that is open, by position, in thousandths above 56 and 51.99 mm. Position 4 is
// not among them: its bore is what is to be found out.
var sizes = map[int]struct{ bore, journal [6]int }{
	1: {[6]int{5, 7, 6, 6, 5, 7}, [6]int{6, 6, 6, 7, 5, 6}},
	2: {[6]int{7, 8, 6, 7, 7, 7}, [6]int{7, 7, 8, 6, 7, 7}},
	3: {[6]int{7, 8, 8, 7, 7, 8}, [6]int{7, 6, 7, 7, 8, 7}},
	5: {[6]int{4, 5, 5, 4, 4, 5}, [6]int{4, 5, 4, 5, 4, 5}},
	6: {[6]int{8, 8, 9, 7, 8, 8}, [6]int{3, 3, 4, 2, 3, 3}},
	7: {[6]int{6, 7, 6, 7, 7, 6}, [6]int{7, 8, 7, 8, 7, 8}},
	8: {[6]int{5, 5, 6, 4, 5, 5}, [6]int{4, 4, 3, 4, 5, 4}},
}

// boreAndJournal measures the bore, its cap tight, and the journal of a position.
func (t *teller) boreAndJournal(position int) {
	s, ok := sizes[position]
	if !ok {
		return
	}
	read := func(base float64, v [6]int) (out []string) {
		for _, x := range v {
			out = append(out, fmt.Sprintf("%.3f", base+float64(x)/1000))
		}
		return out
	}
	t.part(job.OfHousingBore, position, "BG-1", boreAngles, read(56, s.bore)...)
	t.part(job.OfJournal, position, "MM-1", boreAngles, read(51.99, s.journal)...)
}

// study begins a gauge study of the dial indicator that nobody has read to its
// end.
func (t *teller) study() {
	t.on(0, "10:30", odda)
	var id string
	t.do("study", func() (err error) {
		id, err = t.shop.OpenStudy(t.ctx, odda.ID, shop.Input{}, job.StudyOpened{Gauge: "DI-1", Parts: []string{"1", "2", "3", "4", "5"},
			Persons: []string{odda.ID, perrin.ID}, Rounds: 2, Low: t.length("0.05 mm"), High: t.length("0.40 mm")})
		return err
	})
	t.subject = shop.StudySubject(id)
	for step := 1; step <= 4 && t.err == nil; step++ {
		g, err := t.shop.Study(t.ctx, id)
		if err != nil {
			t.err = err
			return
		}
		t.by(odda)
		if g.Steps[step-1].Person == perrin.ID {
			t.by(perrin)
		}
		t.add("study_read", job.StudyRead{Step: step, Value: *t.length(fmt.Sprintf("0.%d mm", 10+len(g.Steps[step-1].Part)*step))})
	}
}
