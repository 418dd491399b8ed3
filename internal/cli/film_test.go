// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// FuzzFilmTable: whatever the file, numbers or a refusal.
func FuzzFilmTable(f *testing.F) {
	f.Add("angle_deg,fx_N,fy_N\n0,1,2\n360,1,2\n")
	f.Add("fx_N, fy_N, angle_deg\n# a remark\n1,2,0\n")
	f.Add("\ufeffangle_deg,fx_N,fy_N\n0,NaN,Inf\n")
	f.Add("angle_deg,fx_N,fy_N\n0,1\n")
	f.Fuzz(func(t *testing.T, text string) {
		cols, err := parseTable(text, "angle_deg", "fx_N", "fy_N")
		if err != nil {
			return
		}
		for _, c := range cols {
			if len(c) != len(cols[0]) {
				t.Fatal("columns of different length")
			}
			for _, v := range c {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("%v was let through", v)
				}
			}
		}
	})
}

// FuzzFilmCase: whatever the case, an answer without NaN, or a refusal.
func FuzzFilmCase(f *testing.F) {
	f.Add("bearing: {diameter: 48 mm, width: 18 mm, clearance: 45 µm}\noil: {viscosity: 12 mPa·s}\nspeed: 4000 rpm\nload: {steady: 6 kN}\nmethod: short\n")
	f.Add("bearing: {diameter: 48 mm, width: 18 mm, clearance: 45 µm}\noil: {grade: 5W-40, inlet: 90 °C}\nspeed: 4000 rpm\nload: {steady: 6 kN}\n")
	f.Add("bearing: {diameter: 0 mm, width: -18 mm, clearance: 1e300 mm}\noil: {v40: 9 mm²/s, v100: 1 mm²/s, temperature: 900 °C}\nspeed: 0 rpm\nload: {steady: -6 kN}\n")
	f.Add("load: {table: /dev/null, frame: rod}")
	f.Fuzz(func(t *testing.T, text string) {
		var out, errw bytes.Buffer
		a := &app{in: strings.NewReader(text), out: &out, err: &errw, json: true}
		if strings.Contains(text, "table") {
			return // no files from a fuzzer
		}
		if err := a.film("-"); err != nil {
			return
		}
		var r map[string]any
		if err := json.Unmarshal(out.Bytes(), &r); err != nil {
			t.Fatalf("%v in %s", err, out.String())
		}
	})
}

// TestFilmPressureTable: a measured cylinder pressure instead of the ideal cycle.
func TestFilmPressureTable(t *testing.T) {
	dir := t.TempDir()
	rows := "angle_deg,pressure_bar\n"
	for d := 0; d <= 720; d += 10 {
		a := float64(d%720) * math.Pi / 180
		rows += strings.Join([]string{num(float64(d)), num(1 + 60*math.Exp(-math.Pow((a-0.3)/0.5, 2)))}, ",") + "\n"
	}
	write(t, filepath.Join(dir, "p.csv"), rows)
	write(t, filepath.Join(dir, "case.yaml"), `bearing: {diameter: 52 mm, width: 18 mm, clearance: 50 µm}
oil: {viscosity: 9 mPa·s}
speed: 3000 rpm
load:
  engine: {bore: 86 mm, stroke: 87 mm, rod_length: 144 mm, reciprocating_mass: 0.5 kg, rotating_mass: 0.4 kg, pressure_table: p.csv}
`)
	var out, errw bytes.Buffer
	if code := Main([]string{"film", filepath.Join(dir, "case.yaml"), "--json"}, strings.NewReader(""), &out, &errw); code != 0 {
		t.Fatalf("exit %d: %s", code, errw.String())
	}
	var r filmResult
	if err := json.Unmarshal(out.Bytes(), &r); err != nil {
		t.Fatal(err)
	}
	// 60 bar on 86 mm are 34.9 kN, less the inertia.
	if r.PeakLoad < 25e3 || r.PeakLoad > 36e3 || !(r.MinFilm > 0) || len(r.Assumed) != 0 {
		t.Errorf("%+v", r)
	}
}

func num(v float64) string {
	b, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return string(b)
}

func write(t *testing.T, name, text string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}
