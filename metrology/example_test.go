// SPDX-License-Identifier: Apache-2.0

package metrology_test

import (
	"fmt"

	"witnessmark/metrology"
)

// A strip read between two bars, decided at 95 %.
func ExampleDecide() {
	scale := metrology.StripScale{Graduations: []float64{0.025, 0.038, 0.050, 0.063, 0.076, 0.100}}
	r, err := scale.Measure(metrology.StripReading{Front: metrology.BetweenBars(0.038, 0.050)})
	if err != nil {
		fmt.Println(err)
		return
	}
	d, err := metrology.Decide(r.Clearance, metrology.Between(0.025, 0.064), 0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(d.Verdict, "- chance of being wrong:", metrology.Odds(d.Risk()))
	// Output: within - chance of being wrong: less than 1 in 10,000
}

// The end gauge of JCGM 100:2008, H.1, with the half-widths behind the printed
// uncertainties; lengths in nm. The guide prints u = 32 nm, ν = 16, U99 = 93 nm
// (from a u that it has rounded to 32 first).
func ExampleBudget_Evaluate() {
	b := metrology.Budget{
		Inputs: []metrology.Input{
			metrology.StudentInput("standard", 50000623, 25, 18),
			metrology.StudentInput("repeats", 215, 5.8, 24),
			metrology.StudentInput("comparator, random", 0, 3.9, 5),
			metrology.StudentInput("comparator, systematic", 0, 6.7, 8),
			metrology.RectangularInput("expansion", 11.5e-6, 2e-6),
			metrology.NormalInput("temperature", -0.1, 0.2),
			metrology.ArcsineInput("temperature cycle", 0, 0.5),
			metrology.RectangularInput("difference of expansion", 0, 1e-6).WithDegreesOfFreedom(50),
			metrology.RectangularInput("difference of temperature", 0, 0.05).WithDegreesOfFreedom(2),
		},
		Model: func(x []float64) float64 {
			return x[0] + x[1] + x[2] + x[3] - x[0]*(x[7]*(x[5]+x[6])+x[4]*x[8])
		},
	}
	r, err := b.Evaluate()
	if err != nil {
		fmt.Println(err)
		return
	}
	low, high, k := r.CoverageInterval(0.99)
	fmt.Printf("%.0f nm, u %.1f nm, ν %.1f, k %.2f, U99 %.1f nm\n", r.Value, r.U, r.DegreesOfFreedom, k, (high-low)/2)
	// Output: 50000838 nm, u 31.7 nm, ν 16.8, k 2.92, U99 92.5 nm
}
