// SPDX-License-Identifier: Apache-2.0

package checks

import "witnessmark/engine"

// engineChecks are those of the identity number's check digit; X counts as 10.
func engineChecks() []Check {
	var list []Check
	for _, c := range []struct {
		number string
		digit  float64
		source string
		kind   Kind
	}{
		{"1M8GDM9AXKP042788", 10, "49 CFR 565.15(c), worked example in stored copies of the regulation: sum 351, remainder 10", Published},
		{"1G4AH59H_5G118341", 4, "49 CFR 565.15(c), the regulation's own sample: sum 411", Published},
		{"1J9RP1A36A1644345", 6, "sample in an agency leaflet on 49 CFR 565: sum 314", Published},
		{"11111111111111111", 1, "by hand: sum 89, remainder 1", Recomputed},
	} {
		list = append(list, Check{Name: "check digit of identity number " + c.number, Expected: c.digit, Tolerance: 1e-9, Source: c.source, Kind: c.kind,
			Got: func() (float64, error) {
				d, err := engine.IdentityCheckDigit(c.number)
				if d == "X" {
					return 10, err
				}
				if err != nil {
					return 0, err
				}
				return float64(d[0] - '0'), nil
			}})
	}
	return list
}
