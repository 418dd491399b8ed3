// SPDX-License-Identifier: Apache-2.0

package engine

import (
	"errors"
	"os"
	"strings"
	"testing"
)

func v8(t testing.TB) string     { return read(t, "../sheets/invented-v8-34.yaml") }
func inline(t testing.TB) string { return read(t, "../sheets/invented-inline4-19.yaml") }

func read(t testing.TB, file string) string {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// mistake is one thing done wrong to the V8's sheet, and what is said of it.
type mistake struct {
	name     string
	old, new string // the first old becomes new
	want     string // part of the error
	schema   bool   // the JSON Schema can see it too
}

var mistakes = []mistake{
	// words and shape
	{"unknown key", "end_float:", "end_flaot:", `has no key "end_flaot"; did you mean end_float?`, true},
	{"unknown key deep", "target: 0.045 mm", "goal: 0.045 mm", `big_end.clearance has no key "goal"; the keys here are new, in_service, target`, true},
	{"key missing", "  width: 18.0 mm\n", "", `big_end has no "width"; add the key width`, true},
	{"key empty", "width: 18.0 mm", "width:", "width is empty; write a value or leave the key out", true},
	{"value is a list", "width: 18.0 mm", "width: [18.0 mm]", "width is a list; write a single value", true},
	{"list is a value", "bolts: [a, b]", "bolts: a", "bolts is a single value; write a list", true},
	{"mapping is a value", "big_end:", "big_end: 3\nsettings_:", "big_end is a single value; write keys and values", true},
	{"key twice", "  located: tang", "  located: tang\n    located: dowel", `the key "located" is here twice; keep one of them`, false},
	{"blank words", "title: Rod bolt", `title: " "`, "title is \"\", not words", true},
	{"truth for words", "title: Rod bolt", "title: true", "write words; true and false in quotes", true},
	{"word for truth", "witness_mark: true", "witness_mark: yes", `witness_mark is "yes"; write true or false`, true},
	{"empty mapping", "wall: {min: 1.982 mm, max: 1.991 mm}", "wall: {}", "wall has no value; write value, or min and max", true},
	{"empty stage", "{id: snug, kind: torque, torque: 20 Nm}", "{}", `fasteners.rod_bolt.stages.1 has no "id"; add the key id`, true},
	{"enum", "kind: vee", "kind: v", `kind is "v"; write one of inline, vee, flat`, true},
	{"anchor", "bolts: [a, b]", "bolts: &x [a, b]", "anchors and aliases are not used in a sheet; write the value out", false},
	{"tag", "width: 18.0 mm", "width: !!str 18.0 mm", "tags and directives are not used", false},
	{"second document", "end_float:", "---\nend_float:", "a second document starts here; write one sheet per file", false},
	{"format", "format: 1", "format: 2", "the sheet has format 2, this program reads up to 1; use a newer program", true},
	{"format zero", "format: 1", "format: 0", "format is 0; write format: 1", true},

	// how long things last
	{"life without figures", "shape: 2.6, characteristic: 150000 km", "shape: 2.6", `the life of "engine_mounts" is neither shape and characteristic nor b10 and b50; write one pair`, true},
	{"life twice over", "shape: 2.6, characteristic: 150000 km", "shape: 2.6, b10: 60000 km, b50: 150000 km", `the life of "engine_mounts" is neither shape`, false},
	{"life falls", "b10: 60000 km, b50: 190000 km", "b10: 190000 km, b50: 60000 km", "b50, 60000 km, is not above b10, 190000 km; correct one of them", false},
	{"life of nothing", "shape: 2.6", "shape: 0", "shape is 0; write a value above zero", false},
	{"life here twice", "of: relief_valve", "of: engine_mounts", `the life of "engine_mounts" is here twice; keep one of them`, false},

	// a measured pressure cycle
	{"two pressures", "  cap_mass:", "  pressure_cycle: [{angle: 0°, pressure: 9 bar}, {angle: 90°, pressure: 9 bar}, {angle: 180°, pressure: 9 bar}, {angle: 720°, pressure: 9 bar}]\n  cap_mass:",
		"the duty has pressure_cycle and a peak_pressure", true},
	{"cycle too short", "  peak_pressure: 85 bar", "  pressure_cycle: [{angle: 0°, pressure: 9 bar}, {angle: 90°, pressure: 9 bar}, {angle: 180°, pressure: 9 bar}, {angle: 360°, pressure: 9 bar}]",
		"4 rows from 0° to 360°; write at least 4 rows from 0° to 720°", false},
	{"cycle out of order", "  peak_pressure: 85 bar", "  pressure_cycle: [{angle: 0°, pressure: 9 bar}, {angle: 180°, pressure: 9 bar}, {angle: 90°, pressure: 9 bar}, {angle: 720°, pressure: 9 bar}]",
		"angle 90° is not above the row before, 180°; put the rows in order", false},
	{"cycle does not close", "  peak_pressure: 85 bar", "  pressure_cycle: [{angle: 0°, pressure: 9 bar}, {angle: 90°, pressure: 9 bar}, {angle: 180°, pressure: 9 bar}, {angle: 720°, pressure: 8 bar}]",
		"the first row has 9 bar, the last 8 bar; let the last row repeat the first", false},
	{"least film below zero", "  journal_roughness: 0.16 µm", "  least_film: {min: -1 µm}", "write limits of zero or more", false},

	// quantities and limits
	{"unit missing", "width: 18.0 mm", "width: 18.0", "width: ", true},
	{"unit of another kind", "torque: 20 Nm", "torque: 20 mm", "torque: ", true},
	{"comma that may be thousands", "rated_speed: 7000 rpm", "rated_speed: 7,000 rpm", "rated_speed: ", false},
	{"limits crossed", "new: {min: 0.030 mm, max: 0.060 mm", "new: {min: 0.060 mm, max: 0.030 mm",
		"clearance max 0.030 mm is below min 0.060 mm; write the smaller first", false},
	{"limit without an end", "ovality: {max: 0.005 mm}", "ovality: {confidence: 0.8}", "ovality has no limit; write min, max or both", true},
	{"limit as a value", "ovality: {max: 0.005 mm}", "ovality: 0.005 mm", "ovality is a single value; write min, max or both", true},
	{"limit below zero", "ovality: {max: 0.005 mm}", "ovality: {max: -0.005 mm}", "ovality is at most -0.005 mm; write limits of zero or more", false},
	{"confidence in per cent", "confidence: 0.80", "confidence: 80", "confidence 80 is not from 0.5 to below 1; write 0.8 for 80 %", true},
	{"confidence of one", "confidence: 0.80", "confidence: 1", "confidence 1 is not from 0.5 to below 1", true},
	{"value outside its limits", "value: 90°, min: 85°", "value: 80°, min: 85°", "angle 80° is outside its own limits, 85° to 95°", false},
	{"zero size", "bore: 88.0 mm", "bore: 0 mm", "bore is 0 mm; write a value above zero", false},
	{"not a number", "poisson: 0.30", "poisson: abc", `poisson: "abc" is not a number; write digits and a point`, true},
	{"infinite", "poisson: 0.30", "poisson: .inf", "is not a number", true},
	{"time without unit", "priming_time: 10 s", "priming_time: 10", "is not a time; write a number with s, min or h", true},

	// sources
	{"source unknown", "source: book p. 41", "source: bok p. 41", `"bok" is not in sources; write one of book, oil, practice or add it`, false},
	{"checked without source", "source: book\nchecked: demonstration desk, 2026-01-05\n", "checked: true\n", "this was checked, but no source is named", false},

	// layout
	{"position twice", "{number: 2, ", "{number: 1, ", "positions has 1 twice; give every entry its own", false},
	{"position gap", "{number: 8, ", "{number: 9, ", "position 9 is not from 1 to 8, as many as there are", false},
	{"cylinder twice", "cylinder: B4", "cylinder: A4", "cylinder A4 is at position 7 already", false},
	{"throw gap", "throw: 4", "throw: 2", "position 7 is on throw 2, behind throw 3", false},
	{"throw order", "cylinder: B2, throw: 2", "cylinder: B2, throw: 1", "position 4 is on throw 1, behind throw 2", false},
	{"no throw 1", "throw: 4, angle: 270°}\n    - {number: 8, cylinder: B4, throw: 4,", "throw: 5, angle: 270°}\n    - {number: 8, cylinder: B4, throw: 5,", "no position is on throw 4, but there is a throw 5", false},
	{"throw zero", "cylinder: A1, throw: 1", "cylinder: A1, throw: 0", "throw is 0; count the throws from 1", true},
	{"angles differ on a throw", "cylinder: B2, throw: 2, angle: 180°", "cylinder: B2, throw: 2, angle: 170°", "positions 3 and 4 share throw 2 but stand at 180° and 170°", false},
	{"angle beyond a turn", "cylinder: A4, throw: 4, angle: 270°", "cylinder: A4, throw: 4, angle: 630°", "angle is 630°; write 0° to below 360°", false},
	{"inline shares a throw", "kind: vee", "kind: inline", "positions 1 and 2 share throw 1, but the layout is inline", false},
	{"access order repeats", "access_order: [1, 2, 5, 6,", "access_order: [1, 1, 5, 6,", "access_order does not have every position once", true},
	{"access order short", "access_order: [1, 2, 5, 6, 3, 4, 7, 8]", "access_order: [1, 2]", "access_order does not have every position once", false},
	{"firing order", "firing_order: [A1,", "firing_order: [A9,", "firing_order does not have every cylinder once", false},
	{"number is a word", "{number: 2, ", "{number: two, ", `number is "two"; write a whole number`, true},

	// big end
	{"target outside", "target: 0.045 mm", "target: 0.065 mm", "target 0.065 mm is outside the limits when new, 0.030 to 0.060 mm", false},
	{"in service tighter", "in_service: {max: 0.080 mm", "in_service: {max: 0.050 mm", "less than new", false},
	{"bore under journal", "housing_bore: {min: 56.000 mm, max: 56.016 mm}", "housing_bore: {min: 50.000 mm, max: 50.016 mm}", "is not above the journal", false},
	{"undersize oversize", "journal: {min: 51.734 mm, max: 51.750 mm}", "journal: {min: 52.234 mm, max: 52.250 mm}", "undersize 0.25, 52.234 to 52.250 mm, is not under the journal", false},
	{"grade outside", "wall: {min: 1.988 mm, max: 1.991 mm}", "wall: {min: 1.998 mm, max: 2.001 mm}", "grade g3, 1.998 to 2.001 mm, is outside the wall's limits", false},
	{"four degrees of wear", "        - {shows: overlay, words: \"as new: dull grey all over\"}\n", "", "wear has 4 entries; write five", true},
	{"wear shows nothing known", "{shows: lining,", "{shows: linning,", `shows is "linning"; write one of overlay, lining, back`, false},
	{"wear goes back up", "{shows: back,", "{shows: overlay,", "severity 4 shows overlay, above what severity 3 shows", false},
	{"layers too thick", "thickness: 0.30 mm", "thickness: 3.0 mm", "the layers together are thicker than the wall", false},

	// fasteners
	{"thread nonsense", "thread: M9x1", "thread: M9x9", `"M9x9" cannot be: the pitch does not suit the diameter`, false},
	{"thread words", "thread: M9x1", "thread: nine by one", `"nine by one" is not a thread; write it like M9x1`, true},
	{"class", "class: 10.9", "class: 11.7", `"11.7" is not a property class of ISO 898-1`, false},
	{"use", "use: single", "use: once", `"once" is not a use; write single, reusable`, true},
	{"stage without torque", "kind: torque, torque: 20 Nm", "kind: torque", "stage snug is by torque but has no torque; add torque:", true},
	{"stage with both", "kind: torque, torque: 20 Nm", "kind: torque, torque: 20 Nm, angle: 90°", "stage snug is by torque but also has angle", true},
	{"angle first", "{id: snug, kind: torque, torque: 20 Nm}", "{id: snug, kind: angle, angle: 20°}", "the first stage is by angle, from no known start", false},
	{"stage twice", "{id: seat, kind: torque, torque: 30 Nm}", "{id: snug, kind: torque, torque: 30 Nm}", "stages has snug twice", false},
	{"order", "order: [a, b]", "order: [a, c]", "order does not have every bolt once", false},
	{"measuring stage", "stages: [snug, seat, turn]", "stages: [snug, sit, turn]", `there is no stage "sit"`, false},
	{"measuring order", "stages: [snug, seat, turn]", "stages: [seat, snug, turn]", "stage snug is out of order", false},
	{"measuring bolts", "bolts: [old, marked]", "bolts: [old, new]", `bolts entry 2 is "new"; write one of old, marked, same`, true},
	{"spent bolts stay", "bolts: [old, marked]", "bolts: [same]", "bolts for single use are spent by these stages and cannot stay", false},
	{"no rod bolts", "where: rod", "where: cap", "no fastener has where: rod", false},
	{"two rod bolts", "where: sump", "where: rod", "a second fastener has where: rod", false},
	{"no count", "    count: 22\n", "", "sump_bolt does not say how many there are", false},
	{"friction of zero", "thread_friction: {min: 0.10,", "thread_friction: {min: 0.0,", "thread_friction is 0.0 to 0.16; write min and max, both between 0 and 1", false},

	// the rest
	{"quantity of a setting", "{quantity: length, min: 0.06 mm", "{quantity: size, min: 0.06 mm", `quantity is "size"; write one of length, angle`, true},
	{"unit of a setting", "{quantity: length, min: 0.06 mm", "{quantity: angle, min: 0.06 mm", "min: ", true},
	{"setting's place", "kind: chain_slack", "kind: chain_slack\n    positions: [9]", "there is no position 9", false},
	{"gear without radius", "read_radius: 38.0 mm, ", "", "backlash read along the turn has no read_radius", false},
	{"oil grade", "grade: 5W-40", "grade: thin", `"thin" is not a grade; write it like 5W-40`, true},
	{"oil thickens", "v100: 13.9 mm²/s", "v100: 139 mm²/s", "is not below v40", false},
	{"rod too short", "rod_length: 128.0 mm", "rod_length: 30.0 mm", "rod_length, 30.0 mm, is not above half of the stroke", false},
	{"over speed", "over_speed: 7600 rpm", "over_speed: 6000 rpm", "over_speed, 6000 rpm, is below rated_speed", false},
	{"cap too heavy", "cap_mass: 0.150 kg", "cap_mass: 0.450 kg", "is above rotating_mass", false},
	{"two pressures", "peak_pressure: 85 bar", "peak_pressure: 85 bar\n  mean_effective_pressure: 11 bar", "keep the one that the source gives", true},
	{"half a heat cycle", "heat_cycles: 2", "heat_cycles: 2.5", "heat_cycles is 2.5; write a whole number", false},
	{"caution's step", "{at: strip,", "{at: stripping,", `at is "stripping"; write one of strip`, true},
	{"photo of what", "of: debris", "of: dirt", `of is "dirt"; write one of wear`, true},
}

func (s mistake) apply(t *testing.T, sheet string) string {
	t.Helper()
	if !strings.Contains(sheet, s.old) {
		t.Fatalf("the sheet has no %q to change", s.old)
	}
	return strings.Replace(sheet, s.old, s.new, 1)
}

func TestLoadNamesWhatIsWrong(t *testing.T) {
	sheet := v8(t)
	for _, s := range mistakes {
		t.Run(s.name, func(t *testing.T) {
			text := s.apply(t, sheet)
			_, err := Load("v8.yaml", []byte(text))
			var p *Problems
			if !errors.As(err, &p) {
				t.Fatalf("err = %v, want *Problems", err)
			}
			t.Log(err)
			if !strings.Contains(err.Error(), s.want) {
				t.Errorf("got %v\nwant %q in it", err, s.want)
			}
			lines := strings.Count(text, "\n") + 1
			for _, x := range p.List {
				if x.Line < 1 || x.Line > lines || x.Column < 1 || x.What == "" || x.Want == "" {
					t.Errorf("incomplete: %+v", x)
				}
			}
		})
	}
}
