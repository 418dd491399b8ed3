// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"math/big"
	"testing"

	"github.com/govalues/decimal"
	"pgregory.net/rapid"
)

// By hand: a half goes up, in the minor unit of the currency.
func TestRounding(t *testing.T) {
	d := decimal.MustParse
	for _, c := range []struct {
		price, quantity string
		currency        Currency
		want            string
	}{
		{"0.125", "1", "EUR", "0.13"}, {"0.135", "1", "EUR", "0.14"}, {"0.1249", "1", "EUR", "0.12"}, {"20.005", "3", "EUR", "60.02"},
		{"99.5", "1", "JPY", "100"}, {"1.0005", "1", "KWD", "1.001"}, {"11.90", "8.5", "EUR", "101.15"}, {"0", "4", "EUR", "0.00"},
	} {
		got, err := lineCost(d(c.price), d(c.quantity), c.currency)
		if err != nil || got.String() != c.want {
			t.Errorf("%s × %s %s: %s, by hand %s (%v)", c.price, c.quantity, c.currency, got, c.want, err)
		}
	}
	// 20 min at 96.00 is 32.00 though a third of an hour has no end in decimals.
	if got, err := labourCost(HoursOf(1./3), d("96.00"), "EUR"); err != nil || got.String() != "32.00" {
		t.Error(got, err)
	}
	if _, err := lineCost(d("9999999999.99"), d("9999999999"), "EUR"); err == nil {
		t.Error("an amount beyond all bounds is taken")
	}
}

// Half up is the greatest multiple of the minor unit at most half above.
func TestRoundHalfUpProperty(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		x := big.NewRat(rapid.Int64Range(0, 1e9).Draw(r, "n"), rapid.Int64Range(1, 1e6).Draw(r, "d"))
		got, err := roundHalfUp(x, 2)
		if err != nil {
			r.Fatal(err)
		}
		over := new(big.Rat).Sub(rat(got), x)
		if half := big.NewRat(1, 200); over.Cmp(half) > 0 || over.Cmp(new(big.Rat).Neg(half)) <= 0 {
			r.Fatalf("%s became %s", x, got)
		}
	})
}

// Sums of hours are exact, whatever their order.
func TestHoursAreExact(t *testing.T) {
	var sum Hours
	for range 10 {
		sum += HoursOf(0.1)
	}
	if sum != oneHour || sum.Hours() != 1 || sum.String() != "1 h" {
		t.Errorf("ten times 0.1 h is %s", sum)
	}
}

// The quick way and the exact fraction agree.
func TestLineCostProperty(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		price := decimal.MustNew(rapid.Int64Range(0, 1e10).Draw(r, "price"), rapid.IntRange(0, 6).Draw(r, "scale"))
		quantity := decimal.MustNew(rapid.Int64Range(1, 1e4).Draw(r, "quantity"), rapid.IntRange(0, 3).Draw(r, "thousandths"))
		for _, c := range []Currency{"EUR", "JPY", "KWD"} {
			want, err := roundHalfUp(new(big.Rat).Mul(rat(price), rat(quantity)), c.MinorDigits())
			got, err2 := lineCost(price, quantity, c)
			if err != nil || err2 != nil || got.String() != want.String() {
				r.Fatalf("%s × %s %s: %s, want %s (%v, %v)", price, quantity, c, got, want, err, err2)
			}
		}
	})
}
