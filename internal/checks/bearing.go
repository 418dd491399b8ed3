// SPDX-License-Identifier: Apache-2.0

package checks

import (
	"fmt"

	"witnessmark/bearing"
)

// bearingChecks holds clearance, crush and pairing against outside numbers.
func bearingChecks() []Check {
	const gum = "JCGM 100:2008 H.1 expansion of gauge steel, ISO 7902-1 relation (from memory); 60 mm, 23 and 11.5 × 10⁻⁶, 80 K by hand"
	list := []Check{
		{Name: "bearing: clearance added by 80 K in a light-alloy bore, µm", Expected: 55.2, Tolerance: 0.05, Kind: Recomputed, Source: gum,
			Got: func() (float64, error) {
				c, err := bearing.ExpansionChange(60, 23e-6, 11.5e-6, 100)
				return 1000 * c, err
			}},
		{Name: "bearing: selective fit, least largest departure, µm", Expected: 5, Tolerance: 1e-9, Kind: Recomputed,
			Source: "made for the purpose: four bores, pins and pairs of shells, every arrangement tried",
			Got: func() (float64, error) {
				// Bores 53003 53010 53016 53008, pins in the best order 49990 49979 49996 49984, target 40.
				return largest([]int{2973, 2991, 2980, 2984}, []int{1489, 1492, 1494, 1498})
			}},
	}
	list = append(list, crushChecks()...)
	list = append(list, excessChecks()...)
	list = append(list, matchingChecks()...)
	return list
}

// largest pairs shells that are bound in like pairs with needs in µm.
func largest(need, shells []int) (float64, error) {
	in := matching(need, shells, shells)
	for i := range shells {
		in.Pairs = append(in.Pairs, [2]string{in.Uppers[i].ID, in.Lowers[i].ID})
	}
	return proven(in)
}

// matching makes a pairing in whole µm: what two walls should add up to at each
// position, and the walls.
func matching(need, uppers, lowers []int) bearing.PairingInput {
	in := bearing.PairingInput{Target: 0.040}
	for i, n := range need {
		in.Bores = append(in.Bores, bearing.Bore{Position: i + 1, HousingBore: float64(50040+n) / 1000, Journal: 50})
	}
	for i := range uppers {
		in.Uppers = append(in.Uppers, bearing.Shell{ID: fmt.Sprint("U", i), Wall: float64(uppers[i]) / 1000})
		in.Lowers = append(in.Lowers, bearing.Shell{ID: fmt.Sprint("L", i), Wall: float64(lowers[i]) / 1000})
	}
	return in
}

// proven is the least largest departure in µm, or an error if it is not proven.
func proven(in bearing.PairingInput) (float64, error) {
	p, err := bearing.Pair(in, bearing.Budget{})
	if err == nil && !p.ProvenBest {
		err = fmt.Errorf("found %g µm, not proven", p.LargestDepartureUM)
	}
	return p.LargestDepartureUM, err
}

func crushChecks() []Check {
	const source = "two rings as a boundary value problem of the radial displacement, scipy.integrate.solve_bvp (bore 57, outer 90, wall 1.5, width 22 mm, δ 0.05 mm, E 72 and 206 GPa)"
	of := func(pick func(bearing.Crush) float64) func() (float64, error) {
		return func() (float64, error) {
			c, err := bearing.CrushFit(0.05, bearing.Seat{Bore: 57, Outer: 90, Wall: 1.5, Width: 22,
				Housing: bearing.Elastic{Modulus: 72e3, Poisson: 0.33}, Shell: bearing.Elastic{Modulus: 206e3, Poisson: 0.3}})
			return pick(c), err
		}
	}
	return []Check{
		{Name: "bearing: contact pressure from crush, MPa", Expected: 6.990045144, Tolerance: 1e-6, Kind: Recomputed, Source: source,
			Got: of(func(c bearing.Crush) float64 { return c.Pressure })},
		{Name: "bearing: growth of the housing bore from crush, mm", Expected: 0.01477253856, Tolerance: 1e-9, Kind: Recomputed, Source: source,
			Got: of(func(c bearing.Crush) float64 { return c.HousingGrowth })},
		{Name: "bearing: change of the bore inside the shells, mm", Expected: 0.01424457097, Tolerance: 1e-9, Kind: Recomputed, Source: source,
			Got: of(func(c bearing.Crush) float64 { return c.BoreChange })},
		{Name: "bearing: load off each parting face, N", Expected: 4382.758305, Tolerance: 1e-3, Kind: Recomputed, Source: source,
			Got: of(func(c bearing.Crush) float64 { return c.FaceLoad })},
	}
}

func excessChecks() []Check {
	const source = "the joint normal update in information form, numpy.linalg.inv (invented parts, as found and as fitted)"
	var list []Check
	for i, want := range [4][2]float64{{-1.68000284, 8.44693877}, {1.59041905, 8.34884678}, {0.05820914, 1.98433977}, {2.03853243, 7.97230145}} {
		at := func(pick func(bearing.PartShift) float64) func() (float64, error) {
			return func() (float64, error) {
				r, err := bearing.Excess(bearing.ExcessInput{
					Clearance: bearing.Estimate{Value: 0.0409, U: 0.004}, AsFound: &bearing.Estimate{Value: 0.0372, U: 0.004},
					Tolerances: map[bearing.Part]bearing.Limits{
						bearing.HousingBore: {Min: 56.982, Max: 57.019}, bearing.Journal: {Min: 53.94, Max: 53.976},
						bearing.UpperShell: {Min: 1.494, Max: 1.507}, bearing.LowerShell: {Min: 1.481, Max: 1.522},
					},
					Measured: map[bearing.Part]bearing.Estimate{bearing.UpperShell: {Value: 1.4945, U: 0.002}},
				})
				if err != nil {
					return 0, err
				}
				return pick(r.Parts[i]), nil
			}
		}
		part := bearing.Parts()[i].String()
		list = append(list,
			Check{Name: "bearing: excess, shift of " + part + ", µm", Expected: want[0], Tolerance: 1e-7, Kind: Recomputed, Source: source,
				Got: at(func(p bearing.PartShift) float64 { return p.ShiftUM })},
			Check{Name: "bearing: excess, spread of " + part + " after, µm", Expected: want[1], Tolerance: 1e-7, Kind: Recomputed, Source: source,
				Got: at(func(p bearing.PartShift) float64 { return p.SDUM })})
	}
	return list
}

// matchingChecks: a numerical 3-dimensional matching exists if and only if the
// least largest departure is zero.
func matchingChecks() []Check {
	var list []Check
	for _, c := range []struct {
		name     string
		x, y, z  []int
		bound    int
		feasible float64
		source   string
		kind     Kind
	}{
		{"three, one arrangement", []int{1, 4, 2}, []int{5, 1, 3}, []int{4, 5, 5}, 10, 1, "made for the purpose, every arrangement tried", Recomputed},
		{"four, none", []int{3, 7, 11, 2}, []int{6, 4, 9, 1}, []int{8, 5, 2, 10}, 17, 0, "made for the purpose, every arrangement tried", Recomputed},
		{"four with equals, none", []int{1, 1, 3, 5}, []int{2, 2, 4, 6}, []int{9, 3, 8, 4}, 12, 0, "made for the purpose, every arrangement tried", Recomputed},
		{"four by tens, one arrangement", []int{10, 20, 30, 40}, []int{1, 2, 3, 4}, []int{44, 33, 22, 11}, 55, 1, "made for the purpose, every arrangement tried", Recomputed},
		{"X 3 4 4, Y 1 4 6, Z 1 2 5, b 10", []int{3, 4, 4}, []int{1, 4, 6}, []int{1, 2, 5}, 10, 1, "encyclopedia example of numerical 3-dimensional matching", FromMemory},
		{"the same with Z 1 2 6", []int{3, 4, 4}, []int{1, 4, 6}, []int{1, 2, 6}, 10, 0, "encyclopedia example of numerical 3-dimensional matching, changed", FromMemory},
	} {
		list = append(list, Check{
			Name: "bearing: matching, " + c.name + " (1: exists)", Expected: c.feasible, Tolerance: 1e-9, Kind: c.kind,
			Source: c.source + "; problem: Garey and Johnson (1979), SP16",
			Got: func() (float64, error) {
				need := make([]int, len(c.x))
				for i, x := range c.x {
					need[i] = c.bound - x
				}
				d, err := proven(matching(need, c.y, c.z))
				if d == 0 {
					return 1, err
				}
				return 0, err
			},
		})
	}
	return list
}
