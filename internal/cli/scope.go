// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"errors"
	"fmt"
	"io"
	"math"
	"runtime/debug"
	"strings"
	"text/tabwriter"

	"github.com/govalues/decimal"
	"github.com/spf13/cobra"

	"witnessmark/internal/job"
	"witnessmark/scope"
)

// scopeResult is what `scope` prints. Hours are unrounded; money is a decimal
// string without tax unless it says so, null while it is still to come.
type scopeResult struct {
	LabourHours float64          `json:"labour_h"`
	Labour      *decimal.Decimal `json:"labour"`
	PartsTotal  decimal.Decimal  `json:"parts_total"`
	Tax         *decimal.Decimal `json:"tax"`
	Total       *decimal.Decimal `json:"total"`
	Currency    string           `json:"currency"`
	TaxPercent  decimal.Decimal  `json:"tax_percent"`
	PriceToCome []string         `json:"price_to_come"` // parts without a price, not in the totals
	Operations  []string         `json:"operations"`
	Wanted      []scopeItem      `json:"wanted"`
	Companions  []scopeItem      `json:"companions"`
	Offers      []scopeOffer     `json:"offers"`
	Parts       []scopePart      `json:"parts"`
	Tools       []string         `json:"tools"`
}

type scopeItem struct {
	ID        string  `json:"id"`
	Title     string  `json:"title"`
	Alone     float64 `json:"alone_h"`
	Share     float64 `json:"share_h"`
	BecauseOf string  `json:"because_of,omitempty"`
}

type scopeOffer struct {
	ID         string           `json:"id"`
	Title      string           `json:"title"`
	Why        string           `json:"why,omitempty"`
	Added      float64          `json:"added_h"`
	Alone      float64          `json:"alone_h"`
	Companions []string         `json:"companions"`
	Now        *decimal.Decimal `json:"added_cost"` // labour and parts; null while a price is to come
	Later      *decimal.Decimal `json:"alone_cost"`
	BreakEven  *float64         `json:"break_even_chance"` // null while a price is to come; above 1: later always costs less
	*scopeChance
}

// scopeChance is the chance that an offer is needed; left out where none is
// known.
type scopeChance struct {
	Chance   float64          `json:"chance"`
	Within   float64          `json:"chance_within_km"`
	Assumed  bool             `json:"chance_assumed"`
	Source   string           `json:"chance_source"`
	Expected *decimal.Decimal `json:"later_on_average"` // chance × later; null while a price is to come
}

type scopePart struct {
	ID       string           `json:"id"`
	Title    string           `json:"title"`
	Quantity float64          `json:"quantity"`
	Price    *decimal.Decimal `json:"price"`
	Line     *decimal.Decimal `json:"line"`
	For      []string         `json:"for"`
	Replaces []string         `json:"replaces,omitempty"`
}

func newScopeCommand(a *app) *cobra.Command {
	var want, offer string
	var ahead scopeAhead
	c := example(&cobra.Command{
		Use:   "scope PLAN.yaml --want WORK,…",
		Short: "What a job takes: operations, companions, parts, hours, price",
		Long: `What a job takes: the operations that the wanted work needs, each once, the work
that must go along, parts, tools, hours and price, and what every offer would
add. PLAN.yaml is the access plan of an engine family (- for standard input).

Added: labour with the offer and its companions less labour without. Alone: as
a job of its own. Share: each operation split equally among the items that need
it (Shapley value) and the item's own hours. Prices are without tax; lines are
rounded half up, tax once on the sum. Offers are not in the totals.

The chance that an offer is needed within --horizon is that of the engine
sheet's life figures, given what was run on arrival (--run), else the plan's; it
says which, and whether it is assumed.

Hours and prices are the plan's. The manufacturer's current service information,
local rules and licensed practice prevail.`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			needs, run, err := a.scopeNeeds(ahead)
			if err != nil {
				return err
			}
			return a.scope(args[0], scope.Request{Want: scope.ParseIDs(want), Offer: scope.ParseIDs(offer)}, needs, run)
		},
	}, "  witnessmark scope plans/invented-v8-34.yaml --want rod_bearings --offer engine_mounts,timing_chain\n  witnessmark scope plans/invented-v8-34.yaml --want rod_bearings --offer engine_mounts --sheet sheets/invented-v8-34.yaml --run 92400km --horizon 60000km\n  witnessmark scope plan.yaml --want rod_bearings --json")
	c.Flags().StringVar(&want, "want", "", "work that is wanted, ids parted by commas")
	c.Flags().StringVar(&offer, "offer", "", "work that is offered, each valued alone against what is wanted")
	c.Flags().StringVar(&ahead.horizon, "horizon", "", "how far the owner means to keep the vehicle, such as 60000km")
	c.Flags().StringVar(&ahead.run, "run", "", "distance run on arrival, such as 92400km")
	c.Flags().StringVar(&ahead.sheet, "sheet", "", "engine sheet with life figures")
	c.AddCommand(newScopeSchemaCommand(a))
	return c
}

func newScopeSchemaCommand(a *app) *cobra.Command {
	return example(&cobra.Command{
		Use:   "schema",
		Short: "Print the JSON Schema of access plans, for an editor",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			_, err := a.out.Write(scope.Schema())
			return couldNot(err)
		},
	}, "  witnessmark scope schema > plan.schema.json")
}

func (a *app) scope(file string, r scope.Request, needs job.Needs, run *float64) error {
	if len(r.Want) == 0 {
		return usagef("scope: nothing is wanted; name work of the plan with --want a,b")
	}
	text, err := a.readFile(file, 1<<20)
	if err != nil {
		return err
	}
	// One plan is read, and the program ends: nothing is worth collecting. The
	// limit is for what nobody expects.
	defer debug.SetGCPercent(debug.SetGCPercent(-1))
	defer debug.SetMemoryLimit(debug.SetMemoryLimit(1 << 28))
	plan, err := scope.Load(file, text)
	if err != nil {
		return usage(err)
	}
	for _, w := range plan.Warnings() {
		a.say("%s (warning)", w)
	}
	e, err := plan.Estimate(r)
	var unknown *scope.UnknownWorkError
	if errors.As(err, &unknown) {
		var ids []string
		for _, w := range plan.Work {
			ids = append(ids, w.ID)
		}
		return usagef("%s: %w; the plan has %s", file, err, strings.Join(ids, ", "))
	}
	if err != nil {
		return usagef("%s: %w", file, err)
	}
	result, err := scopeResultOf(plan, e, needs, run)
	if err != nil {
		return usagef("%s: %w", file, err)
	}
	return couldNot(a.emit(result, result.print))
}

func scopeResultOf(plan *scope.Plan, e scope.Estimate, needs job.Needs, run *float64) (scopeResult, error) {
	r := scopeResult{
		LabourHours: e.LabourHours.Hours(), Labour: e.Labour, PartsTotal: e.PartsTotal, Tax: e.Tax, Total: e.Total,
		Currency: string(e.Currency), TaxPercent: plan.TaxPercent.Decimal, PriceToCome: filled(e.PriceToCome),
		Operations: filled(e.Operations), Tools: filled(e.Tools), Offers: []scopeOffer{}, Parts: []scopePart{},
		Wanted: scopeItems(plan, e.Wanted), Companions: scopeItems(plan, e.Companions),
	}
	for _, o := range e.Offers {
		w, _ := plan.WorkByID(o.ID)
		advice, _ := plan.AdviceFor(o.ID)
		line := scopeOffer{ID: o.ID, Title: w.Title, Why: advice.Why, Added: o.Added.Hours(), Alone: o.Alone.Hours(), Companions: filled(o.Companions)}
		chance, within := needs.Of(o.ID, advice, run)
		if chance != nil {
			line.scopeChance = &scopeChance{Chance: chance.Value, Within: within, Assumed: chance.Assumed, Source: chance.Source}
		}
		n, err := plan.Weigh(o, chance)
		var toCome *scope.PriceToComeError
		switch {
		case err == nil:
			line.Now, line.Later = &n.Now, &n.Later
			if line.scopeChance != nil {
				line.Expected = n.Expected
			}
			if o.Alone > 0 && !math.IsInf(n.BreakEven, 0) {
				line.BreakEven = &n.BreakEven
			}
		case !errors.As(err, &toCome):
			return r, err
		}
		r.Offers = append(r.Offers, line)
	}
	for _, p := range e.Parts {
		n, _ := p.Quantity.Float64()
		r.Parts = append(r.Parts, scopePart{p.ID, p.Title, n, p.Price, p.Line, p.For, p.Replaces})
	}
	return r, nil
}

func scopeItems(plan *scope.Plan, items []scope.Item) []scopeItem {
	out := []scopeItem{}
	for _, x := range items {
		w, _ := plan.WorkByID(x.ID)
		out = append(out, scopeItem{x.ID, w.Title, x.Alone.Hours(), x.Share, x.BecauseOf})
	}
	return out
}

// filled is the list, never null in JSON.
func filled(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}

// print shows the estimate to a person. Shares are rounded so that they add up
// to the labour that stands beside them.
func (r scopeResult) print(w io.Writer) {
	items := append(append([]scopeItem{}, r.Wanted...), r.Companions...)
	var shares []float64
	for _, x := range items {
		shares = append(shares, x.Share)
	}
	tenths := scope.RoundShares(shares, 0.1)
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(tw, "work\tshare\talone")
	for i, x := range items {
		because := ""
		if x.BecauseOf != "" {
			because = ", goes with " + x.BecauseOf
		}
		fmt.Fprintf(tw, "%s (%s%s)\t%.1f h\t%.1f h\n", x.Title, x.ID, because, float64(tenths[i])/10, x.Alone)
	}
	tw.Flush()
	if len(r.Offers) > 0 {
		fmt.Fprintln(tw, "\nworth doing while it is open\tadded\talone")
		for _, o := range r.Offers {
			fmt.Fprintf(tw, "%s (%s)%s\t+%.1f h\t%.1f h\n", o.Title, o.ID, o.brings(), o.Added, o.Alone)
		}
		tw.Flush()
		for _, o := range r.Offers {
			o.printChance(w)
		}
	}
	fmt.Fprintf(w, "\noperations: %s\n", strings.Join(r.Operations, ", "))
	if len(r.Tools) > 0 {
		fmt.Fprintf(w, "tools: %s\n", strings.Join(r.Tools, ", "))
	}
	r.printMoney(w)
}

func (o scopeOffer) brings() string {
	if len(o.Companions) == 0 {
		return ""
	}
	return ", brings " + strings.Join(o.Companions, ", ")
}

func (r scopeResult) printMoney(w io.Writer) {
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	if len(r.Parts) > 0 {
		fmt.Fprintln(tw, "\npart\tquantity\tprice")
	}
	for _, p := range r.Parts {
		line := "price to come"
		if p.Line != nil {
			line = p.Line.String()
		}
		fmt.Fprintf(tw, "%s (%s)\t%g\t%s\n", p.Title, p.ID, p.Quantity, line)
	}
	tw.Flush()
	labour := "rate to come"
	if r.Labour != nil {
		labour = r.Labour.String()
	}
	fmt.Fprintf(tw, "\nlabour, %.1f h\t%s\nparts\t%s\n", r.LabourHours, labour, r.PartsTotal)
	if r.Total != nil {
		fmt.Fprintf(tw, "tax, %s %%\t%s\ntotal\t%s\n", r.TaxPercent, r.Tax, strings.TrimSpace(r.Total.String()+" "+r.Currency))
	}
	tw.Flush()
	if len(r.PriceToCome) > 0 {
		fmt.Fprintf(w, "Not in the total, price to come: %s\n", strings.Join(r.PriceToCome, ", "))
	}
}
