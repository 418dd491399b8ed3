// SPDX-License-Identifier: Apache-2.0

package sheets

import "testing"

// Read off the sheets' own lines by hand.
func TestWritten(t *testing.T) {
	s, err := Named(V8)
	if err != nil {
		t.Fatal(err)
	}
	got := s.Written()
	for path, want := range map[string]string{
		"layout.bank_angle":                      "90°",
		"layout":                                 "",
		"big_end.width":                          "18.0 mm",
		"big_end.journal":                        "52.000 mm, min 51.984 mm, max 52.000 mm",
		"big_end.clearance.new":                  "min 0.030 mm, max 0.060 mm, confidence 0.80",
		"main_journal":                           "58.000 mm, min 57.981 mm, max 58.000 mm",
		"settings.balance_backlash.limit":        "quantity length, min 0.06 mm, max 0.08 mm",
		"run.oil_pressure_hot.hot_3000.speed":    "3000 rpm",
		"running_in.advice.2.until":              "1500 km",
		"fasteners.rod_bolt.stages.snug.torque":  "20 Nm",
		"big_end.shell.grades.g3.wall":           "min 1.988 mm, max 1.991 mm",
		"big_end.shell.construction":             "",
		"run.oil_pressure_hot.hot_idle.limit":    "min 1.0 bar, confidence 0.95",
		"materials.crankshaft.expansion_um_m_K":  "11.5",
		"fasteners.rod_bolt.geometry.head_outer": "14.5 mm",
	} {
		if got[path] != want {
			t.Errorf("%s = %q, want %q", path, got[path], want)
		}
	}
	missing := 0
	for _, r := range s.Values() {
		if got[r.Path] == "" {
			missing++
			t.Log(r.Path)
		}
	}
	if missing > 20 {
		t.Errorf("%d of %d values have no text", missing, len(s.Values()))
	}
}
