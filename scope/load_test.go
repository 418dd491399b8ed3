// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"errors"
	"os"
	"strings"
	"testing"
	"time"
)

// small is a plan with everything in it, about a shed.
const small = `format: 1
currency: EUR
labour_rate: 60
tax_percent: 19
operations:
  - {id: roof, title: Roof off, strip: 1 h, refit: 2 h}
  - {id: wall, title: Wall off, strip: 0.5 h, refit: 30 min, needs: [roof], tools: [crow bar], disturbs: [nails, {id: tar, kind: seal, part: tar, quantity: 2}]}
  - {id: floor, title: Floor up, strip: 15 min, refit: 0.25 h, needs: [wall], caution: Mind the gap}
work:
  - {id: beam, title: New beam, hours: 3 h, needs: [wall], with: [plate], parts: [{part: beam}, {part: screw, quantity: 12}]}
  - {id: plate, title: Plate under the beam, hours: 0.2 h, needs: [floor], with: [beam]}
  - {id: paint, title: Paint, hours: 2 h, needs: [roof], parts: [{part: paint, quantity: 2.5}]}
advice:
  - {work: paint, why: It is dry now, built_until: 2020-06, distance_until: 90000 km, chance: {value: 30 %, within: 10000 km, assumed: true}}
parts:
  - {id: beam, title: Beam, price: 20.005, lead: {least: 1 d, likely: 2, most: 1 week}, supersedes: [old_beam, older_beam], alternatives: log}
  - {id: log, title: Log, price: 9 EUR}
  - {id: screw, title: Screw, price: 0.08}
  - {id: paint, title: Paint}
  - {id: tar, title: Tar, price: 3.30}
`

func load(t testing.TB, text string) *Plan {
	t.Helper()
	p, err := Load("x.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func v8(t testing.TB) string {
	t.Helper()
	data, err := os.ReadFile("../plans/invented-v8-34.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// mistake is one thing done wrong to the small plan, and what is said of it.
type mistake struct {
	name     string
	old, new string // the first old becomes new
	want     string // part of the error
	schema   bool   // the JSON Schema can see it too
}

var mistakes = []mistake{
	{"unknown key", "tax_percent:", "tax_percnt:", `x.yaml:4:1: the plan has no key "tax_percnt"; did you mean tax_percent?`, true},
	{"unknown key deep", "caution: Mind", "hint: Mind", `operations floor has no key "hint"; the keys here are id, title`, true},
	{"title missing", "title: Roof off, ", "", `x.yaml:6:5: operations roof has no "title"; add the key title`, true},
	{"strip missing", "strip: 1 h, ", "", `operations roof has no "strip"`, true},
	{"hours missing", "hours: 3 h, ", "", `work beam has no "hours"`, true},
	{"id missing", "{id: log, ", "{", `has no "id"`, true},
	{"id twice", "id: wall, title", "id: roof, title", `x.yaml:7:5: operations has the id roof twice; give it another id; the first is on line 6`, false},
	{"id with a comma", "id: paint, title: Paint, hours", `id: "pa,int", title: Paint, hours`, `id "pa,int" has a comma`, true},
	{"negative hours", "hours: 3 h", "hours: -3 h", `x.yaml:10:40: hours: hours "-3 h": below zero; write how long it takes`, true},
	{"hours without unit", "hours: 3 h", "hours: 3", `hours: `, true},
	{"hours of another kind", "hours: 3 h", "hours: 3 mm", `hours: `, true},
	{"too many hours", "hours: 3 h", "hours: 30000 h", "a digit may be wrong", false},
	{"unknown need", "needs: [wall], caution", "needs: [wal], caution",
		`x.yaml:8:72: plate → floor → wal: there is no operation "wal"; did you mean wall?`, false},
	{"unknown need of work", "needs: [wall], with", "needs: [cellar], with", `x.yaml:10:53: beam → cellar: there is no operation "cellar"; add it, or correct the id`, false},
	{"unknown companion", "with: [plate]", "with: [plates]", `beam → plates: there is no work "plates"; did you mean plate?`, false},
	{"work as a need", "needs: [roof], parts", "needs: [beam], parts", `paint → beam: there is no operation "beam"; operations come apart and go back and belong in needs`, false},
	{"unknown part", "{part: screw, quantity: 12}", "{part: nut}", `work beam → nut: there is no part "nut"`, false},
	{"unknown renewed part", "part: tar,", "part: pitch,", `operation wall → pitch: there is no part "pitch"`, false},
	{"unknown alternative", "alternatives: log", "alternatives: [logs]", `part beam → logs: there is no part "logs"; did you mean log?`, false},
	{"own alternative", "alternatives: log", "alternatives: beam", "its own alternative", false},
	{"unknown advice", "{work: paint, why", "{work: pant, why", `x.yaml:14:12: advice → pant: there is no work "pant"; did you mean paint?`, false},
	{"circle", "refit: 2 h}", "refit: 2 h, needs: [floor]}",
		"x.yaml:7:70: operations need each other in a circle: roof → floor → wall → roof; take one of these needs out", false},
	{"circle of one", "refit: 2 h}", "refit: 2 h, needs: [roof]}", "in a circle: roof → roof", false},
	{"superseded in a circle", "{id: log, title: Log, price: 9 EUR}", "{id: log, title: Log, supersedes: beam}\n  - {id: twig, title: Twig, supersedes: log, price: 1}\n  - {id: old_beam, title: Old, supersedes: twig}",
		"parts supersede each other in a circle: ", false},
	{"superseded twice", "{id: log, title: Log, price: 9 EUR}", "{id: log, title: Log, supersedes: old_beam}", "part old_beam is superseded by beam and by log", false},
	{"currencies mixed", "price: 9 EUR", "price: 9 GBP", `x.yaml:17:34: the price of log is in GBP, and the currency of the plan is EUR; write all prices of a plan in one currency`, false},
	{"currency", "currency: EUR", "currency: Euro", "currency: currency \"Euro\" is not three capital letters", true},
	{"negative price", "price: 0.08", "price: -0.08", "below zero; leave it out while it is still to come", true},
	{"price in words", "price: 0.08", "price: dear", "write it as 12.50 or 12.50 EUR", true},
	{"price with a doubtful comma", "price: 0.08", `price: "1,250"`, `price "1,250" may be 1250 or 1.250; write it with a point`, false},
	{"price not a number", "price: 0.08", "price: .nan", "write it as 12.50", true},
	{"tax", "tax_percent: 19", "tax_percent: 190", "not from 0 to 100", true},
	{"quantity", "quantity: 12", "quantity: 0", `quantity is "0", not how many; write a number above zero`, true},
	{"negative quantity", "quantity: 12", "quantity: -1", "not how many", true},
	{"quantity of nothing", "part: tar, quantity: 2", "quantity: 2", "tar has a quantity but no part", true},
	{"lead falls", "most: 1 week", "most: 1 d", "lead time 1, 2, 1 days does not rise; write least, likely and most in this order", false},
	{"lead without likely", "likely: 2, ", "", `has no "likely"`, true},
	{"lead in months", "least: 1 d", "least: 1 month", `is not a number of days; write it as 3 d or 2 weeks`, true},
	{"kind", "kind: seal", "kind: sail", `kind "sail" of tar is not known; write one of fastener, seal`, true},
	{"date", "built_until: 2020-06", "built_until: June 2020", `date "June 2020"; write it as 2021-06-30`, true},
	{"chance", "value: 30 %", "value: 30", "not from 0 to 1; write 0.3 or 30 %", true},
	{"distance", "within: 10000 km", "within: 0 km", "the distance of a chance is not above zero", false},
	{"advice twice", "advice:\n", "advice:\n  - {work: paint}\n", "advice on paint is here twice", false},
	{"distances crossed", "built_until: 2020-06", "distance_from: 100000 km", "distance_until is below distance_from", false},
	{"list is a value", "needs: [roof], tools", "needs: roof, tools", "needs is a single value; write a list", true},
	{"key empty", "currency: EUR", "currency:", "currency is empty; write a value or leave the key out", true},
	{"key twice", "currency: EUR", "currency: EUR\ncurrency: EUR", `the key "currency" is here twice`, false},
	{"format", "format: 1", "format: 2", "format 2 is not known; this program reads format 1", true},
	{"anchor", "tools: [crow bar]", "tools: &x [crow bar]", "anchors and aliases are not used in a plan", false},
	{"not YAML, with its line", "title: Log,", "title: [Log,", "x.yaml:17:1: this is not YAML: ", true},
	{"a quote that does not end", "title: Log,", `title: "Log,`, "x.yaml:1", true},
	{"bad indentation", "\nwork:", "\n work:", "x.yaml:9:1: this is not YAML: ", true},
	{"a tag", "tools: [crow bar]", "tools: !!seq [crow bar]", "tags and directives are not used in a plan", false},
	{"a merge key", "currency: EUR", "<<: {currency: EUR}", "anchors and aliases are not used in a plan", false},
	{"a key of several words", "currency: EUR", "? [a, b]\n: EUR", "keys that are not a single word are not used in a plan", false},
	{"second document", "advice:", "---\nadvice:", "a second document starts here; write one plan per file", false},
}

func (m mistake) apply(t testing.TB, text string) string {
	t.Helper()
	out := strings.Replace(text, m.old, m.new, 1)
	if out == text {
		t.Fatalf("%s: no %q in the plan", m.name, m.old)
	}
	return out
}

func TestMistakes(t *testing.T) {
	for _, m := range mistakes {
		_, err := Load("x.yaml", []byte(m.apply(t, small)))
		var p *Problems
		if !errors.As(err, &p) || !strings.Contains(err.Error(), m.want) {
			t.Errorf("%s: got %v\nwant %s", m.name, err, m.want)
		}
	}
}

func TestSmallPlan(t *testing.T) {
	p := load(t, small)
	if len(p.Warnings()) != 0 {
		t.Error(p.Warnings())
	}
	a, _ := p.AdviceFor("paint")
	if a.BuiltUntil.String() != "2020-06-30" || a.DistanceUntil.Kilometres() != 90000 || a.Chance.Value != 0.3 || !a.Chance.Assumed {
		t.Errorf("advice %+v", a)
	}
	beam, ok := p.PartByID("older_beam")
	if !ok || beam.ID != "beam" || beam.Lead.PERT() != (PERT{1, 2, 7}) || len(beam.Alternatives) != 1 {
		t.Errorf("older_beam is %+v", beam)
	}
	if p.Operations[1].Refit != oneHour/2 || p.Operations[1].Disturbs[0].Name() != "nails" || p.Operations[1].Disturbs[1].Part != "tar" {
		t.Errorf("wall is %+v", p.Operations[1])
	}
	if string(p.Bytes()) != small || p.Hash != HashOf([]byte(small)) {
		t.Error("the bytes are not those that were read")
	}
}

// What nothing reaches is a warning, and the plan can be used.
func TestUnreached(t *testing.T) {
	text := strings.Replace(small, "work:\n", "  - {id: door, title: Door off, strip: 1 h, refit: 1 h, needs: [roof]}\nwork:\n", 1) +
		"  - {id: knob, title: Knob}\n"
	list := load(t, text).Warnings()
	if len(list) != 2 || list[0].Line != 9 || !strings.Contains(list[0].What, "no work needs operation door") ||
		!strings.Contains(list[1].What, "no work uses part knob") {
		t.Errorf("%v", list)
	}
}

// Only id, title, hours, strip and refit are needed.
func TestLeastPlan(t *testing.T) {
	p := load(t, "operations: [{id: a, title: A, strip: 0.3 h, refit: 0}]\nwork: [{id: w, title: W, hours: 5 h, needs: [a]}]\nparts: [{id: p, title: P}]\n")
	e, err := p.Estimate(Request{Want: []string{"w"}})
	if err != nil || e.LabourHours.Hours() != 5.3 || e.Labour != nil || e.Total != nil {
		t.Errorf("%+v, %v", e, err)
	}
	load(t, "\ufeff"+strings.ReplaceAll(small, "\n", "\r\n"))
}

// The currency of prices that all agree is that of a plan which names none.
func TestCurrencyOfPrices(t *testing.T) {
	p := load(t, strings.Replace(strings.Replace(small, "currency: EUR\n", "", 1), "price: 0.08", "price: 0.08 EUR", 1))
	if p.Currency != "EUR" {
		t.Errorf("currency %q", p.Currency)
	}
	if _, err := Load("x.yaml", []byte(strings.Replace(strings.Replace(small, "currency: EUR\n", "", 1), "price: 0.08", "price: 0.08 USD", 1))); err == nil ||
		!strings.Contains(err.Error(), "the price of screw is in USD, and that of the price of log is EUR") {
		t.Error(err)
	}
}

// hostile texts are broken, empty, deep or from another program.
func hostile() []string {
	deep := strings.Repeat
	return []string{
		"", " ", "\n", "\r\rx", "{}", "[]", "---", "null", "format: 1", "- 1", "a: b: c", "\xff\xfe", "\tformat: 1", "work: [", "work: {", "work: \"",
		"? a\n: b", "<<: *x", "&a *a", "!!binary x", "work: [{}]", "operations: [{id: a}]", "work: [[[]]]", "parts: [{id: [a], title: {}}]",
		"operations:\n- id: a\n  needs: [a, a]\n", "work:\n- {id: .nan, title: 1, hours: 0 h, with: [.nan]}\n", "a: |\n  b\n", "parts: [{id: a, title: a, supersedes: a}]",
		deep("[", 5000), deep("{a: ", 5000), deep("- ", 5000), deep("a:\n ", 300), "work: " + deep("[a, ", 60000), deep("x", 600<<10),
		"operations: [" + deep("{id: a, title: a, strip: 0, refit: 0, needs: [a]}, ", 300) + "]",
	}
}

func TestHostile(t *testing.T) {
	for _, s := range hostile() {
		began := time.Now()
		if p, err := Load("x.yaml", []byte(s)); (p == nil) == (err == nil) {
			t.Errorf("%.40q: plan %v, err %v", s, p, err)
		}
		if took := time.Since(began); took > 20*time.Second {
			t.Errorf("%.40q took %s", s, took)
		}
	}
}

// Whatever the bytes, Load answers with a plan or with problems that point
// into the text, and a plan can be estimated.
func FuzzLoad(f *testing.F) {
	f.Add([]byte(small))
	for _, s := range hostile() {
		if len(s) < 2000 {
			f.Add([]byte(s))
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Load("fuzz.yaml", data)
		var problems *Problems
		if (p == nil) == (err == nil) || err != nil && (!errors.As(err, &problems) || len(problems.List) == 0) {
			t.Fatalf("plan %v, err %v", p, err)
		}
		if p != nil {
			for _, w := range p.Work {
				if _, err := p.Estimate(Request{Want: []string{w.ID}}); err != nil {
					t.Logf("estimate: %v", err) // an amount may be too large
				}
				if _, err := p.Steps([]string{w.ID}, UsualSpread); err != nil {
					t.Fatal(err)
				}
			}
			return
		}
		lines := strings.Count(string(data), "\n") + strings.Count(string(data), "\r") + 1
		for _, x := range problems.List {
			if x.Line < 1 || x.Line > lines || x.Column < 1 || x.What == "" {
				t.Fatalf("%+v in %d lines", x, lines)
			}
		}
	})
}
