// SPDX-License-Identifier: Apache-2.0

package units

import (
	"math"
	"math/big"
)

// Unit is a unit of one kind. Units come from the variables of this package
// or from [LookupUnit]; they compare with ==. The zero Unit stands for 'no
// unit'.
//
// A value x in the unit is (x + Offset)·Factor in the canonical unit; Offset
// is zero except for temperatures.
type Unit struct {
	Symbol string
	Kind   Kind
	Factor float64
	Offset float64

	// The exact factor is num/den, over π where overPi is set; the exact
	// offset is offset100/100.
	num, den  int64
	overPi    bool
	offset100 int64
}

// IsZero tells whether u is 'no unit'.
func (u Unit) IsZero() bool { return u == Unit{} }

// String returns the symbol.
func (u Unit) String() string { return u.Symbol }

// ToCanonical returns x, given in u, in the canonical unit of u's kind.
func (u Unit) ToCanonical(x float64) float64 {
	v := (x + u.Offset) * float64(u.num) / float64(u.den)
	if u.overPi {
		v /= math.Pi
	}
	return v
}

// FromCanonical returns v, given in the canonical unit of u's kind, in u.
func (u Unit) FromCanonical(v float64) float64 {
	x := v * float64(u.den) / float64(u.num)
	if u.overPi {
		x *= math.Pi
	}
	return x - u.Offset
}

// exact returns x, given in u, in the canonical unit as a rational.
func (u Unit) exact(x *big.Rat) *big.Rat {
	sum := new(big.Rat).Add(x, big.NewRat(u.offset100, 100))
	return sum.Mul(sum, u.exactFactor())
}

func (u Unit) exactFactor() *big.Rat {
	f := big.NewRat(u.num, u.den)
	if u.overPi {
		f.Quo(f, pi)
	}
	return f
}

// pi to 50 decimals; Abramowitz and Stegun, table 1.1, from memory and held
// against math.Pi by a test.
var pi, _ = new(big.Rat).SetString("3.14159265358979323846264338327950288419716939937510")

// scaled makes a unit whose factor is num/den.
func scaled(k Kind, symbol string, num, den int64) Unit {
	g := new(big.Int).GCD(nil, nil, big.NewInt(num), big.NewInt(den)).Int64()
	num, den = num/g, den/g
	return Unit{Symbol: symbol, Kind: k, Factor: float64(num) / float64(den), num: num, den: den}
}

// perPi makes a unit whose factor is num/π.
func perPi(k Kind, symbol string, num int64) Unit {
	u := scaled(k, symbol, num, 1)
	u.overPi, u.Factor = true, float64(num)/math.Pi
	return u
}

// shifted makes a temperature scale: (x + offset100/100)·num/den.
func shifted(symbol string, offset100, num, den int64) Unit {
	u := scaled(KindTemperature, symbol, num, den)
	u.offset100, u.Offset = offset100, float64(offset100)/100
	return u
}
