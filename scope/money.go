// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"fmt"
	"math/big"
	"regexp"
	"strings"

	"github.com/govalues/decimal"
)

// Currency is a code of ISO 4217, such as EUR, or "" where none is said.
type Currency string

var currencyText = regexp.MustCompile(`^[A-Z]{3}$`)

// UnmarshalText reads three capital letters.
func (c *Currency) UnmarshalText(text []byte) error {
	if !currencyText.Match(text) {
		return fmt.Errorf("currency %q is not three capital letters; write the code of ISO 4217, such as EUR", text)
	}
	*c = Currency(text)
	return nil
}

// minor lists the currencies whose minor unit is not a hundredth. ISO 4217,
// list one, from memory.
var minor = map[Currency]int{
	"BIF": 0, "CLP": 0, "DJF": 0, "GNF": 0, "ISK": 0, "JPY": 0, "KMF": 0, "KRW": 0, "PYG": 0, "RWF": 0,
	"UGX": 0, "UYI": 0, "VND": 0, "VUV": 0, "XAF": 0, "XOF": 0, "XPF": 0,
	"BHD": 3, "IQD": 3, "JOD": 3, "KWD": 3, "LYD": 3, "OMR": 3, "TND": 3,
	"CLF": 4, "UYW": 4,
}

// MinorDigits is how many decimals an amount of c has: 2 for EUR, 0 for JPY.
func (c Currency) MinorDigits() int {
	if n, ok := minor[c]; ok {
		return n
	}
	return 2
}

// Price is an amount without tax, with the currency that stood beside it, if
// any.
type Price struct {
	Amount   decimal.Decimal
	Currency Currency
}

var priceText = regexp.MustCompile(`^(?:([A-Z]{3})\s+)?(\d{1,10}(?:[.,]\d{1,6})?)(?:\s*([A-Z]{3}))?(?:\s*/\s*h)?$`)

// UnmarshalText reads "12.50", "12.50 EUR" or "96 EUR/h". A group of three
// digits behind a comma is refused, since 1,250 may be either.
func (p *Price) UnmarshalText(text []byte) error {
	s := strings.TrimSpace(string(text))
	if strings.HasPrefix(s, "-") || strings.HasPrefix(s, "−") {
		return fmt.Errorf("price %q is below zero; leave it out while it is still to come", s)
	}
	m := priceText.FindStringSubmatch(s)
	if m == nil || m[1] != "" && m[3] != "" {
		return fmt.Errorf("price %q; write it as 12.50 or 12.50 EUR", s)
	}
	if _, decimals, comma := strings.Cut(m[2], ","); comma && len(decimals) == 3 {
		return fmt.Errorf("price %q may be %s or %s; write it with a point", s, strings.Replace(m[2], ",", "", 1), strings.Replace(m[2], ",", ".", 1))
	}
	amount, err := decimal.Parse(strings.Replace(m[2], ",", ".", 1))
	if err != nil {
		return err
	}
	*p = Price{amount, Currency(m[1] + m[3])}
	return nil
}

// String prints the amount as it was written, and the currency if it was.
func (p Price) String() string {
	return strings.TrimSpace(p.Amount.String() + " " + string(p.Currency))
}

// Percent is a rate of tax in percent.
type Percent struct{ decimal.Decimal }

// UnmarshalText reads 20 or 20 %, from 0 to 100.
func (p *Percent) UnmarshalText(text []byte) error {
	n, _, err := plainNumber(string(text))
	if err != nil || decimal.Hundred.Less(n) {
		return fmt.Errorf("percentage %q is not from 0 to 100; write 20 for 20 %%", text)
	}
	p.Decimal = n
	return nil
}

// roundHalfUp returns r, which is not negative, with so many decimals; a half
// goes up.
func roundHalfUp(r *big.Rat, decimals int) (decimal.Decimal, error) {
	scale := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(decimals)), nil)
	n := new(big.Int).Mul(r.Num(), scale)
	n.Lsh(n, 1).Add(n, r.Denom())
	n.Quo(n, new(big.Int).Lsh(r.Denom(), 1)) // ⌊x + 1/2⌋
	if !n.IsInt64() {
		return decimal.Zero, fmt.Errorf("scope: an amount of money is too large")
	}
	return decimal.New(n.Int64(), decimals)
}

// halfUp is roundHalfUp of a decimal that is not negative: it cuts, and adds a
// unit if what was cut is half of one or more.
func halfUp(d decimal.Decimal, decimals int) (decimal.Decimal, error) {
	down := d.Trunc(decimals).Pad(decimals)
	rest, err := d.Sub(down)
	if err != nil {
		return d, err
	}
	half, err := decimal.New(5, decimals+1)
	if err != nil || rest.Less(half) {
		return down, err
	}
	return down.Add(down.ULP())
}

func rat(d decimal.Decimal) *big.Rat {
	r, _ := new(big.Rat).SetString(d.String()) // a decimal is always a fraction
	return r
}

// labourCost is hours times rate, rounded half up to the minor unit.
func labourCost(h Hours, rate decimal.Decimal, c Currency) (decimal.Decimal, error) {
	return roundHalfUp(new(big.Rat).Mul(rat(rate), big.NewRat(int64(h), int64(oneHour))), c.MinorDigits())
}

// lineCost is price times quantity, rounded half up to the minor unit.
func lineCost(price, quantity decimal.Decimal, c Currency) (decimal.Decimal, error) {
	if exact, err := price.MulExact(quantity, 0); err == nil && exact.Scale() == price.Scale()+quantity.Scale() {
		return halfUp(exact, c.MinorDigits())
	}
	return roundHalfUp(new(big.Rat).Mul(rat(price), rat(quantity)), c.MinorDigits())
}

// taxOn is the tax on a sum, rounded half up to the minor unit.
func taxOn(sum decimal.Decimal, percent Percent, c Currency) (decimal.Decimal, error) {
	x := new(big.Rat).Mul(rat(sum), rat(percent.Decimal))
	return roundHalfUp(x.Mul(x, big.NewRat(1, 100)), c.MinorDigits())
}
