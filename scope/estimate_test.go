// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"fmt"
	"math"
	"math/bits"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// By hand, of the small plan: beam needs wall and roof, and brings plate,
// which needs floor too.
func TestEstimateByHand(t *testing.T) {
	e, err := load(t, small).Estimate(Request{Want: []string{"beam"}, Offer: []string{"paint", "plate"}})
	if err != nil {
		t.Fatal(err)
	}
	// roof 3 h, wall 1 h, floor 0.5 h, beam 3 h, plate 0.2 h
	if got := e.LabourHours.Hours(); got != 7.7 {
		t.Errorf("labour %v h, by hand 7.7", got)
	}
	if strings.Join(e.Operations, " ") != "roof wall floor" || strings.Join(e.Tools, " ") != "crow bar" {
		t.Errorf("operations %v, tools %v", e.Operations, e.Tools)
	}
	beam, plate := e.Wanted[0], e.Companions[0]
	// roof and wall halved: 2 h each; beam 3 h more; plate floor 0.5 h and 0.2 h more
	if beam.Share != 5 || math.Abs(plate.Share-2.7) > 1e-12 || plate.BecauseOf != "beam" || beam.BecauseOf != "" {
		t.Errorf("%+v %+v", beam, plate)
	}
	if beam.Alone.Hours() != 7.7 || plate.Alone.Hours() != 7.7 { // each brings the other
		t.Errorf("alone %s, %s", beam.Alone, plate.Alone)
	}
	paint := e.Offers[0]
	if paint.Added.Hours() != 2 || paint.Alone.Hours() != 5 || e.Offers[1].Added != 0 {
		t.Errorf("offers %+v", e.Offers)
	}
	// 7.7 h at 60 = 462.00; beam 20.005 → 20.01, screws 12 × 0.08 = 0.96, tar 2 × 3.30 = 6.60;
	// tax 19 % of 489.57 = 93.0183
	for _, x := range []struct{ got, want string }{
		{e.Labour.String(), "462.00"}, {e.PartsTotal.String(), "27.57"}, {e.Tax.String(), "93.02"}, {e.Total.String(), "582.59"},
	} {
		if x.got != x.want {
			t.Errorf("%s, by hand %s", x.got, x.want)
		}
	}
	if paint.AddedCost.PriceToCome[0] != "paint" || paint.AddedCost.Labour.String() != "120.00" {
		t.Errorf("%+v", paint.AddedCost)
	}
}

// A part without a price is to come, never zero.
func TestPriceToCome(t *testing.T) {
	p := load(t, small)
	e, err := p.Estimate(Request{Want: []string{"paint"}, Offer: []string{"paint"}})
	if err != nil || !slices.Equal(e.PriceToCome, []string{"paint"}) || e.Parts[0].Price != nil || e.Parts[0].Line != nil {
		t.Errorf("%+v %v", e, err)
	}
	if _, err := p.Weigh(e.Offers[0], nil); err == nil {
		t.Error("now and later are compared without a price")
	}
}

// Superseded numbers are followed: the plan may still name the old one.
func TestSuperseded(t *testing.T) {
	text := strings.Replace(small, "{part: beam}", "{part: older_beam}, {part: beam, quantity: 2}", 1)
	e, err := load(t, text).Estimate(Request{Want: []string{"beam"}})
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(e.Parts, func(l PartLine) bool { return l.ID == "beam" })
	if l := e.Parts[i]; l.Quantity.String() != "3" || !slices.Equal(l.Replaces, []string{"older_beam"}) || l.Line.String() != "60.02" {
		t.Errorf("%+v", l) // 3 × 20.005 = 60.015, half up
	}
}

func TestUnknownWork(t *testing.T) {
	_, err := load(t, small).Estimate(Request{Want: []string{"beam"}, Offer: []string{"pain"}})
	if err == nil || err.Error() != `scope: the plan has no work "pain"; did you mean paint?` {
		t.Error(err)
	}
}

// Published: the airport game of S. C. Littlechild and G. Owen, Management
// Science 20 (1973) 370-372, as an encyclopedia prints it: costs 8, 11, 13, 18
// give 2, 3, 4, 9. The second case is recomputed over all coalitions.
func TestAirportGame(t *testing.T) {
	for _, c := range []struct{ costs, want []float64 }{
		{[]float64{8, 11, 13, 18}, []float64{2, 3, 4, 9}},
		{[]float64{1, 1, 1, 3, 3, 7}, []float64{1. / 6, 1. / 6, 1. / 6, 5. / 6, 5. / 6, 29. / 6}},
	} {
		var steps []float64 // a runway is as long as the next aeroplane needs beyond the last
		var needs [][]int
		for i, cost := range c.costs {
			before := 0.0
			if i > 0 {
				before = c.costs[i-1]
			}
			steps = append(steps, cost-before)
			all := []int{}
			for k := range i + 1 {
				all = append(all, k)
			}
			needs = append(needs, all)
		}
		for i, got := range Shares(steps, needs) {
			if math.Abs(got-c.want[i]) > 1e-12 {
				t.Errorf("aeroplane %d bears %v, want %v", i+1, got, c.want[i])
			}
		}
	}
}

// drawPlan makes a plan of a few operations and work without circles.
func drawPlan(r *rapid.T) string {
	b := &strings.Builder{}
	n, m := rapid.IntRange(1, 8).Draw(r, "operations"), rapid.IntRange(1, 6).Draw(r, "work")
	ids := func(prefix string, below int, name string) string {
		var out []string
		for i := range below {
			if rapid.IntRange(0, 2).Draw(r, name) == 0 {
				out = append(out, fmt.Sprint(prefix, i))
			}
		}
		return "[" + strings.Join(out, ", ") + "]"
	}
	hours := func(name string) float64 { return float64(rapid.IntRange(0, 300).Draw(r, name)) / 100 }
	b.WriteString("labour_rate: 90\noperations:\n")
	for i := range n {
		fmt.Fprintf(b, "  - {id: o%d, title: O, strip: %g h, refit: %g h, needs: %s}\n", i, hours("strip"), hours("refit"), ids("o", i, "needs"))
	}
	b.WriteString("work:\n")
	for i := range m {
		fmt.Fprintf(b, "  - {id: w%d, title: W, hours: %g h, needs: %s, with: %s}\n", i, hours("hours"), ids("o", n, "needs"), ids("w", m, "with"))
	}
	return b.String()
}

// coalition is what a set of work costs by itself, without companions, found
// by following needs until nothing is new.
func coalition(p *Plan, members []string) float64 {
	need := map[string]bool{}
	sum := 0.0
	for _, id := range members {
		w, _ := p.WorkByID(id)
		sum += w.Hours.Hours()
		for _, o := range w.Needs {
			need[o] = true
		}
	}
	for grown := true; grown; {
		grown = false
		for _, o := range p.Operations {
			for _, x := range o.Needs {
				if need[o.ID] && !need[x] {
					need[x], grown = true, true
				}
			}
		}
	}
	for _, o := range p.Operations {
		if need[o.ID] {
			sum += o.Hours().Hours()
		}
	}
	return sum
}

// shapley is the value over all coalitions:
// φ_i = Σ_S |S|!(n−|S|−1)!/n! · (c(S∪i) − c(S)).
func shapley(p *Plan, members []string) []float64 {
	n := len(members)
	cost := make([]float64, 1<<n)
	for s := range cost {
		var in []string
		for i := range n {
			if s>>i&1 == 1 {
				in = append(in, members[i])
			}
		}
		cost[s] = coalition(p, in)
	}
	factorial := func(k int) float64 { return math.Gamma(float64(k) + 1) }
	out := make([]float64, n)
	for i := range n {
		for s := range cost {
			if s>>i&1 == 0 {
				k := bits.OnesCount(uint(s))
				out[i] += factorial(k) * factorial(n-k-1) / factorial(n) * (cost[s|1<<i] - cost[s])
			}
		}
	}
	return out
}

// Brute force over small access graphs: labour, shares, what an offer adds, an
// order that works.
func TestEstimateAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		p, err := Load("x.yaml", []byte(drawPlan(r)))
		if err != nil {
			r.Fatal(err)
		}
		var want []string
		for _, w := range p.Work {
			if len(want) == 0 || rapid.Bool().Draw(r, "want") {
				want = append(want, w.ID)
			}
		}
		offer := rapid.SampledFrom(p.Work).Draw(r, "offer").ID
		e, err := p.Estimate(Request{Want: want, Offer: []string{offer}})
		if err != nil {
			r.Fatal(err)
		}
		all := closed(p, want)
		labour := coalition(p, all)
		near(r, "labour", e.LabourHours.Hours(), labour)
		near(r, "added", e.Offers[0].Added.Hours(), coalition(p, closed(p, append(slices.Clone(want), offer)))-labour)
		near(r, "alone", e.Offers[0].Alone.Hours(), coalition(p, closed(p, []string{offer})))
		items := slices.Concat(e.Wanted, e.Companions)
		if len(items) != len(all) || len(e.Wanted) != len(want) {
			r.Fatalf("%d items, want %v", len(items), all)
		}
		var ids []string
		sum := 0.0
		for _, x := range items {
			ids = append(ids, x.ID)
			sum += x.Share
			near(r, "alone", x.Alone.Hours(), coalition(p, closed(p, []string{x.ID})))
		}
		near(r, "sum of shares", sum, e.LabourHours.Hours())
		for i, want := range shapley(p, ids) {
			near(r, "share of "+ids[i], items[i].Share, want)
		}
		at := map[string]int{}
		for i, id := range e.Operations {
			at[id] = i + 1
			o, _ := p.OperationByID(id)
			for _, need := range o.Needs {
				if at[need] == 0 {
					r.Fatalf("%s stands before %s, which it needs", id, need)
				}
			}
		}
	})
}

// closed is the work and its companions, found by going round until nothing is
// new.
func closed(p *Plan, work []string) []string {
	out := slices.Clone(work)
	slices.Sort(out)
	out = slices.Compact(out)
	for i := 0; i < len(out); i++ {
		w, _ := p.WorkByID(out[i])
		for _, x := range w.With {
			if !slices.Contains(out, x) {
				out = append(out, x)
			}
		}
	}
	return out
}

func near(t interface{ Errorf(string, ...any) }, what string, got, want float64) {
	if math.Abs(got-want) > 1e-9 {
		t.Errorf("%s: %.12g, want %.12g", what, got, want)
	}
}

// Shares that are shown add up to the labour that is shown.
func TestRoundShares(t *testing.T) {
	// By hand: 1/3 h three times is 1.0 h; 0.3 each leaves one tenth, for the first.
	if got := RoundShares([]float64{1. / 3, 1. / 3, 1. / 3}, 0.1); !slices.Equal(got, []int{4, 3, 3}) {
		t.Error(got)
	}
	if got := RoundShares([]float64{0.25, 0.31, 0.44}, 0.1); !slices.Equal(got, []int{3, 3, 4}) {
		t.Error(got) // 0.2 0.3 0.4, one tenth left for the remainder 0.05
	}
	rapid.Check(t, func(r *rapid.T) {
		values := rapid.SliceOfN(rapid.Float64Range(0, 50), 1, 20).Draw(r, "values")
		sum, steps := 0.0, 0
		for i, n := range RoundShares(values, 0.1) {
			sum, steps = sum+values[i], steps+n
			if math.Abs(float64(n)/10-values[i]) > 0.1+1e-9 {
				r.Fatalf("%v became %d tenths", values[i], n)
			}
		}
		if math.Abs(float64(steps)-sum*10) > 0.5+1e-6 {
			r.Fatalf("%v tenths of %v", steps, sum)
		}
	})
}

// bigPlan is a plan of 500 operations and 200 pieces of work.
func bigPlan() string {
	b := &strings.Builder{}
	b.WriteString("currency: EUR\nlabour_rate: 96\ntax_percent: 20\noperations:\n")
	for i := range 500 {
		fmt.Fprintf(b, "  - id: op%d\n    title: Operation %d\n    strip: 0.3 h\n    refit: 0.4 h\n    tools: [tool%d]\n    disturbs: [seal%d]\n    caution: Mind your head\n", i, i, i%20, i)
		if i > 0 {
			fmt.Fprintf(b, "    needs: [op%d, op%d]\n", i*2/3, i/2)
		}
	}
	b.WriteString("work:\n")
	for i := range 200 {
		fmt.Fprintf(b, "  - {id: w%d, title: Work %d, hours: 1.5 h, needs: [op%d, op%d], with: [w%d], parts: [{part: p%d, quantity: 2}]}\n", i, i, i, 499-i*2, i^1, i)
	}
	b.WriteString("parts:\n")
	for i := range 200 {
		fmt.Fprintf(b, "  - {id: p%d, title: Part %d, price: 12.50, lead: {least: 1 d, likely: 2 d, most: 9 d}}\n", i, i)
	}
	return b.String()
}

func bigRequest() Request {
	var r Request
	for i := range 200 {
		if i < 100 {
			r.Want = append(r.Want, fmt.Sprint("w", i))
		} else {
			r.Offer = append(r.Offer, fmt.Sprint("w", i))
		}
	}
	return r
}

// 500 operations, 100 pieces of work wanted and 100 offered.
func BenchmarkEstimate(b *testing.B) {
	p, err := Load("big.yaml", []byte(bigPlan()))
	if err != nil {
		b.Fatal(err)
	}
	r := bigRequest()
	for b.Loop() {
		if _, err := p.Estimate(r); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLoad(b *testing.B) {
	text := []byte(bigPlan())
	for b.Loop() {
		if _, err := Load("big.yaml", text); err != nil {
			b.Fatal(err)
		}
	}
}

// What a ledger says that more work adds is the difference of two estimates,
// each rounded, and the ledger is left as it was.
func TestMoreIsTheDifferenceOfEstimates(t *testing.T) {
	p, err := Load("big.yaml", []byte(bigPlan()))
	if err != nil {
		t.Fatal(err)
	}
	draw := rapid.SliceOfNDistinct(rapid.IntRange(0, len(p.Work)-1), 1, 20, rapid.ID)
	estimate := func(t *rapid.T, work []int) Estimate {
		var ids []string
		for _, w := range work {
			ids = append(ids, p.Work[w].ID)
		}
		e, err := p.Estimate(Request{Want: ids})
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	rapid.Check(t, func(t *rapid.T) {
		asked := draw.Draw(t, "work")
		work, _ := p.graph.together(asked)
		job := estimate(t, asked)
		l, err := p.ledgerOf(work)
		if err != nil {
			t.Fatal(err)
		}
		for range 2 { // the second time shows that the first left nothing behind
			more := draw.Draw(t, "more")
			all := append(slices.Clone(work), more...)
			with, _ := p.graph.together(all)
			after := estimate(t, all)
			added, cost, err := l.more(with[len(work):])
			if err != nil || added != after.LabourHours-job.LabourHours {
				t.Fatalf("%v h, %v; want %v h", added, err, after.LabourHours-job.LabourHours)
			}
			labour, _ := after.Labour.Sub(*job.Labour)
			parts, _ := after.PartsTotal.Sub(job.PartsTotal)
			if cost.Labour.Cmp(labour) != 0 || cost.Parts.Cmp(parts) != 0 || len(cost.PriceToCome) != len(after.PriceToCome)-len(job.PriceToCome) {
				t.Fatalf("labour %v, parts %v, to come %v; want %v and %v", cost.Labour, cost.Parts, cost.PriceToCome, labour, parts)
			}
		}
	})
}
