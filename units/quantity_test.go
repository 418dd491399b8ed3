// SPDX-License-Identifier: Apache-2.0

package units_test

import (
	"encoding"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"pgregory.net/rapid"

	"witnessmark/units"
)

// values is one of each typed quantity, as an engine sheet or case file holds
// them.
type values struct {
	Length    units.Length             `yaml:"length" json:"length"`
	Angle     units.Angle              `yaml:"angle" json:"angle"`
	Torque    units.Torque             `yaml:"torque" json:"torque"`
	Force     units.Force              `yaml:"force" json:"force"`
	Pressure  units.Pressure           `yaml:"pressure" json:"pressure"`
	Temp      units.Temperature        `yaml:"temperature" json:"temperature"`
	Speed     units.RotationalSpeed    `yaml:"speed" json:"speed"`
	Dynamic   units.DynamicViscosity   `yaml:"dynamic" json:"dynamic"`
	Kinematic units.KinematicViscosity `yaml:"kinematic" json:"kinematic"`
	Mass      units.Mass               `yaml:"mass" json:"mass"`
	Volume    units.Volume             `yaml:"volume" json:"volume"`
	Hours     units.Hours              `yaml:"hours" json:"hours"`
	Distance  units.Distance           `yaml:"distance" json:"distance"`
	Optional  *units.Length            `yaml:"optional,omitempty" json:"optional,omitempty"`
}

const sheet = `
length: 0.042 mm
angle: 20deg
torque: 15 lbf·ft
force: 8 kN
pressure: 80 MPa
temperature: 194 °F
speed: 3000 rpm
dynamic: 8 mPa·s
kinematic: 14.5 cSt
mass: 450 g
volume: 8 US qt
hours: 20 min
distance: 120000 km
optional: 42 µm
`

func TestYAML(t *testing.T) {
	var v values
	if err := yaml.Unmarshal([]byte(sheet), &v); err != nil {
		t.Fatal(err)
	}
	if v.Length.MM() != 0.042 || v.Force.Kilonewtons() != 8 || v.Pressure.Megapascals() != 80 || v.Temp.Celsius() != 90 ||
		v.Hours.Minutes() != 20 || v.Optional.MM() != 0.042 || math.Abs(v.Torque.PoundForceFeet()-15) > 1e-14 {
		t.Errorf("read %+v", v)
	}
	text, err := yaml.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	var back values
	if err := yaml.Unmarshal(text, &back); err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	back.Optional, v.Optional = nil, nil
	if back != v {
		t.Errorf("reads back %+v, was %+v", back, v)
	}
	if !strings.Contains(string(text), "0.042 mm") || !strings.Contains(string(text), "8000 N") {
		t.Errorf("printed:\n%s", text)
	}
}

func TestYAMLNeedsTheUnit(t *testing.T) {
	var v values
	err := yaml.Unmarshal([]byte("length: 0.042\n"), &v)
	if err == nil || !strings.Contains(err.Error(), "unit is missing") {
		t.Errorf("a length without unit: %v, %v", v.Length, err)
	}
}

func TestJSON(t *testing.T) {
	var v values
	if err := yaml.Unmarshal([]byte(sheet), &v); err != nil {
		t.Fatal(err)
	}
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	var back values
	if err := json.Unmarshal(b, &back); err != nil || *back.Optional != *v.Optional {
		t.Fatalf("%s: %v", b, err)
	}
	back.Optional = v.Optional
	if back != v {
		t.Errorf("reads back %+v, was %+v", back, v)
	}
}

// TestTextIsExact: every finite value of every type survives its text.
func TestTextIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64().Draw(t, "x")
		exact(t, units.Length(x))
		exact(t, units.Angle(x))
		exact(t, units.Torque(x))
		exact(t, units.Force(x))
		exact(t, units.Pressure(x))
		exact(t, units.Temperature(math.Abs(x)))
		exact(t, units.RotationalSpeed(x))
		exact(t, units.DynamicViscosity(x))
		exact(t, units.KinematicViscosity(x))
		exact(t, units.Mass(x))
		exact(t, units.Volume(x))
		exact(t, units.Hours(x))
		exact(t, units.Distance(x))
	})
}

// exact writes q as text and reads it back.
func exact[Q interface {
	units.Quantity
	encoding.TextMarshaler
	String() string
}](t *rapid.T, q Q) {
	b, err := q.MarshalText()
	if err != nil || string(b) != q.String() {
		t.Fatalf("%v: %q, %v", float64(q), b, err)
	}
	back := new(Q)
	if err := any(back).(encoding.TextUnmarshaler).UnmarshalText(b); err != nil || *back != q {
		t.Fatalf("%q reads back %v, %v", b, *back, err)
	}
}

func TestNotFinite(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if b, err := units.Length(x).MarshalText(); err == nil {
			t.Errorf("%v was written as %q", x, b)
		}
	}
}

func TestUnmarshalLeavesTheOldValue(t *testing.T) {
	l := units.Length(5)
	if err := l.UnmarshalText([]byte("1,000 mm")); err == nil || l != 5 {
		t.Errorf("%v, %v", l, err)
	}
}

func TestAsAndFrom(t *testing.T) {
	r, err := units.Parse(units.KindLength, "42 µm", units.Unit{})
	if err != nil {
		t.Fatal(err)
	}
	if l, err := units.As[units.Length](r); err != nil || l.Micrometres() != 42 {
		t.Errorf("As: %v, %v", l, err)
	}
	if f, err := units.As[units.Force](r); err == nil {
		t.Errorf("a length became the force %v", f)
	}
	if l, err := units.From[units.Length](2, units.UnitInch); err != nil || l.MM() != 50.8 || l.Inches() != 2 || l.Thou() != 2000 {
		t.Errorf("From: %v, %v", l, err)
	}
	if l, err := units.From[units.Length](2, units.UnitNewton); err == nil {
		t.Errorf("a force became the length %v", l)
	}
}

// TestReadJSON: the wire form is the typed text with its unit, and a record
// that says two units is refused.
func TestReadJSON(t *testing.T) {
	r, err := units.Parse(units.KindLength, " 0,050 ", units.UnitMillimetre)
	if err != nil {
		t.Fatal(err)
	}
	b, err := json.Marshal(r)
	const want = `{"text":"0,050","unit":"mm","kind":"length"}`
	if err != nil || string(b) != want {
		t.Fatalf("%s, %v, want %s", b, err, want)
	}
	var back units.Read
	if err := json.Unmarshal(b, &back); err != nil || back != r || back.String() != "0.050 mm" {
		t.Errorf("%+v, %v", back, err)
	}
	for _, bad := range []string{
		`{"text":"0.050 in","unit":"mm","kind":"length"}`,
		`{"text":"0.050","unit":"","kind":"length"}`,
		`{"text":"1,000","unit":"mm","kind":"length"}`,
		`{"text":"0.050","unit":"mm","kind":"luck"}`,
		`{"text":5}`, `7`,
	} {
		old := back
		if err := json.Unmarshal([]byte(bad), &back); err == nil || back != old {
			t.Errorf("%s was taken as %+v", bad, back)
		}
	}
	if b, err := json.Marshal(units.Read{}); err != nil || string(b) != "null" {
		t.Errorf("nothing read: %s, %v", b, err)
	}
	var none units.Read
	if err := json.Unmarshal([]byte("null"), &none); err != nil || !none.IsZero() || none.String() != "" {
		t.Errorf("null: %+v, %v", none, err)
	}
}
