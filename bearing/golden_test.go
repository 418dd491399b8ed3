// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"
)

// golden is testdata/golden.json, made by testdata/make_golden.py with NumPy and
// SciPy (another program's numbers).
type golden struct {
	Crush []struct {
		Bore, Outer, Wall, Width, Interference, Pressure float64
		HousingModulus                                   float64 `json:"housing_modulus"`
		HousingPoisson                                   float64 `json:"housing_poisson"`
		ShellModulus                                     float64 `json:"shell_modulus"`
		ShellPoisson                                     float64 `json:"shell_poisson"`
		HousingGrowth                                    float64 `json:"housing_growth"`
		BoreChange                                       float64 `json:"bore_change"`
		FaceLoad                                         float64 `json:"face_load"`
	}
	Excess []struct {
		Parts     map[string][2]float64
		Measured  map[string][2]float64
		Clearance [2]float64
		AsFound   *[2]float64 `json:"as_found"`
		Predicted float64     `json:"predicted_mm"`
		Shift     [4]float64  `json:"shift_um"`
		SD        [4]float64  `json:"sd_um"`
	}
	Pairing []struct {
		Bore    []int   `json:"bore_um"`
		Journal []int   `json:"journal_um"`
		Upper   []int   `json:"upper_um"`
		Lower   []int   `json:"lower_um"`
		Target  int     `json:"target_um"`
		Largest float64 `json:"largest_departure_um"`
		Squares float64 `json:"sum_of_squares_um2"`
	}
}

func readGolden(t testing.TB) (g golden) {
	t.Helper()
	text, err := os.ReadFile("testdata/golden.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &g); err != nil {
		t.Fatal(err)
	}
	return g
}

// TestCrushAgainstSciPy: the rings as a boundary value problem, solved
// numerically; the face load there is the hoop stress added up over the wall.
func TestCrushAgainstSciPy(t *testing.T) {
	for _, c := range readGolden(t).Crush {
		got, err := CrushFit(c.Interference, Seat{Bore: c.Bore, Outer: c.Outer, Wall: c.Wall, Width: c.Width,
			Housing: Elastic{Modulus: c.HousingModulus, Poisson: c.HousingPoisson},
			Shell:   Elastic{Modulus: c.ShellModulus, Poisson: c.ShellPoisson}})
		if err != nil {
			t.Fatal(err)
		}
		back, err := CrushFromGrowth(c.BoreChange, Seat{Bore: c.Bore, Outer: c.Outer, Wall: c.Wall, Width: c.Width,
			Housing: Elastic{Modulus: c.HousingModulus, Poisson: c.HousingPoisson},
			Shell:   Elastic{Modulus: c.ShellModulus, Poisson: c.ShellPoisson}})
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range []struct {
			what      string
			got, want float64
		}{
			{"face load from the growth", back.FaceLoad, c.FaceLoad}, {"interference from the growth", back.Interference, c.Interference},
			{"pressure", got.Pressure, c.Pressure}, {"growth", got.HousingGrowth, c.HousingGrowth},
			{"bore change", got.BoreChange, c.BoreChange}, {"face load", got.FaceLoad, c.FaceLoad},
		} {
			if math.Abs(v.got/v.want-1) > 1e-6 {
				t.Errorf("bore %g: %s %.10g, SciPy %.10g", c.Bore, v.what, v.got, v.want)
			}
		}
	}
}

// TestExcessAgainstNumPy: the same update in information form.
func TestExcessAgainstNumPy(t *testing.T) {
	for i, c := range readGolden(t).Excess {
		in := ExcessInput{Clearance: Estimate{c.Clearance[0], c.Clearance[1]}, Tolerances: map[Part]Limits{}, Measured: map[Part]Estimate{}}
		for _, p := range Parts() {
			in.Tolerances[p] = Limits{c.Parts[p.String()][0], c.Parts[p.String()][1]}
			if m, ok := c.Measured[p.String()]; ok {
				in.Measured[p] = Estimate{m[0], m[1]}
			}
		}
		if c.AsFound != nil {
			in.AsFound = &Estimate{c.AsFound[0], c.AsFound[1]}
		}
		r, err := Excess(in)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(r.PredictedMM-c.Predicted) > 1e-9 {
			t.Errorf("case %d: predicted %.9f, NumPy %.9f", i, r.PredictedMM, c.Predicted)
		}
		for k, p := range r.Parts {
			if math.Abs(p.ShiftUM-c.Shift[k]) > 1e-6 || math.Abs(p.SDUM-c.SD[k]) > 1e-6 {
				t.Errorf("case %d, %s: shift %.7f sd %.7f, NumPy %.7f and %.7f", i, p.Part, p.ShiftUM, p.SDUM, c.Shift[k], c.SD[k])
			}
		}
	}
}

// goldenInputs turns the golden pairings into inputs.
func goldenInputs(t testing.TB) (ins []PairingInput, largest, squares []float64) {
	for _, c := range readGolden(t).Pairing {
		in := PairingInput{Target: float64(c.Target) / 1000}
		for i := range c.Bore {
			in.Bores = append(in.Bores, Bore{Position: i + 1, HousingBore: float64(c.Bore[i]) / 1000, Journal: float64(c.Journal[i]) / 1000})
		}
		for i := range c.Upper {
			in.Uppers = append(in.Uppers, Shell{fmt.Sprintf("U%02d", i+1), float64(c.Upper[i]) / 1000})
			in.Lowers = append(in.Lowers, Shell{fmt.Sprintf("L%02d", i+1), float64(c.Lower[i]) / 1000})
		}
		ins, largest, squares = append(ins, in), append(largest, c.Largest), append(squares, c.Squares)
	}
	return ins, largest, squares
}

// TestPairAgainstSciPy: the assignment as an integer program (HiGHS).
func TestPairAgainstSciPy(t *testing.T) {
	ins, largest, squares := goldenInputs(t)
	for i, in := range ins {
		p, err := Pair(in, Budget{})
		if err != nil {
			t.Fatal(err)
		}
		if p.LargestDepartureUM != largest[i] || p.SumOfSquaresUM2 != squares[i] || !p.ProvenBest {
			t.Errorf("set %d, %d positions from %d: %g µm, %g µm², proven %v; SciPy %g and %g",
				i, len(in.Bores), len(in.Uppers), p.LargestDepartureUM, p.SumOfSquaresUM2, p.ProvenBest, largest[i], squares[i])
		}
		checkFits(t, in, p)
	}
}
