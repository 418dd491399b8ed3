// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"witnessmark/metrology"
	"witnessmark/units"
)

// decideResult is what `decide` prints.
type decideResult struct {
	Verdict     metrology.Verdict `json:"verdict"`
	Probability float64           `json:"probability_within"`
	Above       float64           `json:"probability_above"`
	Below       float64           `json:"probability_below"`
}

// decideFlags are the flags as they were typed; an empty one was not given.
type decideFlags struct{ value, u, half, min, max, confidence string }

func newDecideCommand(a *app) *cobra.Command {
	var f decideFlags
	c := example(&cobra.Command{
		Use:   "decide --value V --u U [--half-width H] [--min A] [--max B] [--confidence C]",
		Short: "Hold a value with its spread against limits",
		Long: `Hold a value with its standard uncertainty against one or two limits.

The value is within (or above, or below) when the probability of it reaches the
confidence, else nothing is proven. Numbers are plain, in one unit of your
choice, or all of them lengths with their unit (58 µm, 0.058 mm, 2.3 thou).
Nothing is added to the spread that is given. Prints JSON; exit code 0 when
within, 1 otherwise.`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error { return decide(a, f) },
	}, "  witnessmark decide --value 0.058 --u 0.003 --max 0.060\n"+
		"  witnessmark decide --value 0.044 --u 0.0026 --half-width 0.006 --min 0.025 --max 0.064 --confidence 0.95")
	c.Flags().StringVar(&f.value, "value", "", "the value")
	c.Flags().StringVar(&f.u, "u", "", "its standard uncertainty (normal)")
	c.Flags().StringVar(&f.half, "half-width", "0", "half width of a uniform spread on top")
	c.Flags().StringVar(&f.min, "min", "", "lower limit")
	c.Flags().StringVar(&f.max, "max", "", "upper limit")
	c.Flags().StringVar(&f.confidence, "confidence", "0.80", "probability that is needed, from 0 to 1")
	return c
}

func decide(a *app, f decideFlags) error {
	m, l, confidence, err := f.parse()
	if err != nil {
		return err
	}
	d, err := metrology.Decide(m, l, confidence)
	if err != nil {
		return usage(err)
	}
	enc := json.NewEncoder(a.out)
	enc.SetIndent("", "  ")
	if err := enc.Encode(decideResult{d.Verdict, d.Within, d.Above, d.Below}); err != nil {
		return couldNot(err)
	}
	if !a.json {
		a.say("%s", decideSentence(d))
	}
	if d.Verdict != metrology.Within {
		return errNo
	}
	return nil
}

// decideSentence says the same to a person.
func decideSentence(d metrology.Decision) string {
	switch d.Verdict {
	case metrology.Within:
		return "Within the limits; the chance that it is not is " + metrology.Odds(1-d.Within) + "."
	case metrology.Above:
		return "Above the upper limit; the chance that it is not is " + metrology.Odds(1-d.Above) + "."
	case metrology.Below:
		return "Below the lower limit; the chance that it is not is " + metrology.Odds(1-d.Below) + "."
	}
	return fmt.Sprintf("Not proven at %.4g %%: the chance of being outside is %s. Read again, or use a gauge with less spread.",
		100*d.Confidence, metrology.Odds(1-d.Within))
}

func (f decideFlags) parse() (m metrology.Measurement, l metrology.Limits, confidence float64, err error) {
	if f.min == "" && f.max == "" {
		return m, l, 0, usagef("decide: no limit was given; give --min, --max or both")
	}
	l = metrology.Limits{Min: math.Inf(-1), Max: math.Inf(1)}
	var q sameUnit
	for _, n := range []struct {
		flag, typed string
		required    bool
		into        *float64
	}{
		{"value", f.value, true, &m.Value}, {"u", f.u, true, &m.U}, {"half-width", f.half, false, &m.HalfWidth},
		{"min", f.min, false, &l.Min}, {"max", f.max, false, &l.Max},
	} {
		if n.typed == "" && !n.required {
			continue
		}
		if *n.into, err = q.read(n.flag, n.typed); err != nil {
			return m, l, 0, usagef("decide: --%s %q: %w", n.flag, n.typed, err)
		}
	}
	if confidence, err = plainNumber(f.confidence); err != nil {
		return m, l, 0, usagef("decide: --confidence %q: %w", f.confidence, err)
	}
	if confidence > 1 && confidence <= 100 {
		return m, l, 0, usagef("decide: --confidence %s is above 1; %s %% is written %g", f.confidence, f.confidence, confidence/100)
	}
	return m, l, confidence, nil
}

// sameUnit reads numbers that are either all plain or all lengths with a unit;
// a plain one beside a length would leave its unit to guessing.
type sameUnit struct{ plain, length string } // the first flag of each sort

func (q *sameUnit) read(flag, typed string) (float64, error) {
	if strings.TrimSpace(typed) == "" {
		return 0, errors.New("a number is needed")
	}
	x, err := plainNumber(typed)
	if err != nil {
		// Only a unit, or a decimal comma, can still explain it.
		if l, err := units.ParseLength(typed, units.Unit{}); err == nil {
			return l.MM(), q.agree(&q.length, flag, q.plain, "there is a unit here but none at --%s")
		}
		l, err := units.ParseLength(typed, units.UnitMillimetre)
		if err != nil {
			return 0, err
		}
		x = l.MM()
	}
	if x == 0 {
		return 0, nil // nothing is nothing in any unit
	}
	return x, q.agree(&q.plain, flag, q.length, "a unit is missing here, since --%s has one")
}

// agree notes flag as one of its sort, unless there is one of the other sort.
func (q *sameUnit) agree(sort *string, flag, other, complaint string) error {
	if other != "" {
		return fmt.Errorf(complaint, other)
	}
	*sort = flag
	return nil
}

// plainNumber reads a finite decimal number.
func plainNumber(s string) (float64, error) {
	x, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	if err != nil || math.IsInf(x, 0) || math.IsNaN(x) || strings.ContainsAny(s, "xX_") {
		return 0, errors.New("this is not a plain number such as 0.058")
	}
	return x, nil
}
