// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"github.com/govalues/decimal"
)

// Days is a length of time in calendar days.
type Days float64

var daysText = regexp.MustCompile(`^(\d{1,4}(?:[.,]\d{1,4})?)\s*(|d|day|days|w|wk|week|weeks)$`)

// UnmarshalText reads calendar days or weeks: "3", "3 d", "2 weeks".
func (d *Days) UnmarshalText(text []byte) error {
	m := daysText.FindStringSubmatch(strings.TrimSpace(string(text)))
	if m == nil {
		return fmt.Errorf("lead time %q is not a number of days; write it as 3 d or 2 weeks", text)
	}
	n, err := strconv.ParseFloat(strings.Replace(m[1], ",", ".", 1), 64)
	if err != nil {
		return err
	}
	if strings.HasPrefix(m[2], "w") {
		n *= 7
	}
	if n > 3650 {
		return fmt.Errorf("lead time %q is more than ten years; a digit may be wrong", text)
	}
	*d = Days(n)
	return nil
}

// Date is a day of the calendar: midnight UTC of it.
type Date struct{ time.Time }

// DateOf returns the day on which t falls where t is.
func DateOf(t time.Time) Date {
	y, m, d := t.Date()
	return Date{time.Date(y, m, d, 0, 0, 0, 0, time.UTC)}
}

// UnmarshalText reads 2021-06-30, or 2021-06 for the end of that month.
func (d *Date) UnmarshalText(text []byte) error {
	if t, err := time.Parse("2006-01-02", string(text)); err == nil {
		*d = Date{t}
		return nil
	}
	t, err := time.Parse("2006-01", string(text))
	if err != nil {
		return fmt.Errorf("date %q; write it as 2021-06-30", text)
	}
	*d = Date{t.AddDate(0, 1, -1)}
	return nil
}

// MarshalText writes 2021-06-30.
func (d Date) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// String writes 2021-06-30.
func (d Date) String() string { return d.Format("2006-01-02") }

// Add returns the day n days later.
func (d Date) Add(n int) Date { return Date{d.AddDate(0, 0, n)} }

// Fraction is a number from 0 to 1.
type Fraction float64

// UnmarshalText reads 0.3 or 30 %.
func (f *Fraction) UnmarshalText(text []byte) error {
	n, percent, err := plainNumber(string(text))
	if percent {
		n, err = mul(n, hundredth, err)
	}
	if err != nil || n.Less(decimal.Zero) || decimal.One.Less(n) {
		return fmt.Errorf("chance %q is not from 0 to 1; write 0.3 or 30 %%", text)
	}
	v, _ := n.Float64()
	*f = Fraction(v)
	return nil
}

var (
	hundredth  = decimal.MustParse("0.01")
	numberText = regexp.MustCompile(`^\d{1,10}(?:[.,]\d{1,6})?$`)
)

// plainNumber reads a number that is not negative, and whether % follows it.
func plainNumber(text string) (n decimal.Decimal, percent bool, err error) {
	text, percent = strings.CutSuffix(strings.TrimSpace(text), "%")
	text = strings.TrimSpace(text)
	if !numberText.MatchString(text) {
		return n, percent, fmt.Errorf("%q is not a plain number", text)
	}
	n, err = decimal.Parse(strings.Replace(text, ",", ".", 1))
	return n, percent, err
}

func mul(a, b decimal.Decimal, err error) (decimal.Decimal, error) {
	if err != nil {
		return a, err
	}
	return a.Mul(b)
}
