// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// Another program's numbers: testdata/golden.json is made by make_golden.py
// with SciPy, study.json by study.R with R's aov; remake.sh makes them again.

func readJSON(t *testing.T, name string, into any) {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, into); err != nil {
		t.Fatal(err)
	}
}

// nearRel compares relative to want.
func nearRel(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	near(t, what, got, want, math.Max(tol*math.Abs(want), 1e-300))
}

func TestConvolvedAgainstSciPy(t *testing.T) {
	var g struct {
		Convolved []struct{ U, H, X, CDF float64 }
	}
	readJSON(t, "golden.json", &g)
	if len(g.Convolved) < 100 {
		t.Fatalf("%d values", len(g.Convolved))
	}
	for _, c := range g.Convolved {
		m := Measurement{Value: 0, U: c.U, HalfWidth: c.H}
		nearRel(t, "CDF", m.CDF(c.X), c.CDF, 2e-10)
	}
}

func TestGrubbsCriticalAgainstSciPy(t *testing.T) {
	var g struct {
		Grubbs []struct {
			N               int
			Alpha, Critical float64
		}
	}
	readJSON(t, "golden.json", &g)
	for _, c := range g.Grubbs {
		nearRel(t, "critical value", GrubbsCritical(c.N, c.Alpha), c.Critical, 1e-8) // the library's quantile ends there
		near(t, "p at the critical value", grubbsP(c.N, c.Critical), c.Alpha, 1e-5)
	}
}

func TestStudentFactorAgainstSciPy(t *testing.T) {
	var g struct{ Student []struct{ P, Nu, T float64 } }
	readJSON(t, "golden.json", &g)
	for _, c := range g.Student {
		nearRel(t, "t", StudentFactor(c.P, c.Nu), c.T, 1e-8)
	}
}

func TestRangeFactorAgainstSciPy(t *testing.T) {
	var g struct {
		D2 []struct {
			N  int
			D2 float64
		}
	}
	readJSON(t, "golden.json", &g)
	for _, c := range g.D2 {
		nearRel(t, "d2", RangeFactor(c.N), c.D2, 1e-9)
	}
}

func TestRoundnessAgainstNumPy(t *testing.T) {
	var g struct {
		Roundness []struct {
			Angles, Diameters        []float64
			Mean, Ovality, Direction float64
			UMean                    float64 `json:"u_mean_per_reading"`
			UOvality                 float64 `json:"u_ovality_per_reading"`
		}
	}
	readJSON(t, "golden.json", &g)
	for _, c := range g.Roundness {
		var readings []AngleReading
		for i, a := range c.Angles {
			readings = append(readings, AngleReading{a, c.Diameters[i]})
		}
		fit, err := FitRoundness(readings, Repeatability{StdDev: 0.001})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "mean", fit.Diameter.Value, c.Mean, 1e-9)
		near(t, "ovality", fit.Ovality.Value, c.Ovality, 1e-9)
		near(t, "direction", fit.Direction, c.Direction, 1e-5)
		near(t, "u(mean)", fit.Diameter.U, c.UMean*0.001, 1e-10)
		near(t, "u(ovality)", fit.Ovality.U, c.UOvality*0.001, 1e-10)
	}
}

// readStudy reads a gauge study of testdata.
func readStudy(t *testing.T, name string) []StudyReading {
	t.Helper()
	var out []StudyReading
	for i, row := range readCSV(t, name) {
		if i == 0 {
			continue
		}
		x, err := strconv.ParseFloat(row[2], 64)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, StudyReading{row[0], row[1], x})
	}
	return out
}

func readCSV(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

func TestStudyAgainstR(t *testing.T) {
	var golden map[string]map[string]float64
	readJSON(t, "study.json", &golden)
	for name, want := range golden {
		r, err := Study(readStudy(t, name+".csv"))
		if err != nil {
			t.Fatal(err)
		}
		for key, got := range map[string]float64{
			"ss_part": r.PartLine.SumOfSquares, "ss_person": r.PersonLine.SumOfSquares,
			"ss_interaction": r.InteractionLine.SumOfSquares, "ss_residual": r.ResidualLine.SumOfSquares,
			"interaction_p": r.InteractionP, "repeatability": r.Repeatability.StdDev,
			"reproducibility": r.Reproducibility.StdDev, "interaction": r.Interaction.StdDev,
			"gauge": r.Gauge.StdDev, "part": r.Part.StdDev, "total": r.Total.StdDev,
			"person_df":  r.Reproducibility.DegreesOfFreedom,
			"person_low": r.Reproducibility.Low, "person_high": r.Reproducibility.High,
			"part_low": r.Part.Low, "part_high": r.Part.High,
		} {
			w, ok := want[key]
			if !ok {
				t.Fatalf("%s: R gives no %s", name, key)
			}
			nearRel(t, name+" "+key, got, w, 1e-7)
		}
	}
}
