// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"encoding"
	"errors"
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"github.com/govalues/decimal"
	"go.yaml.in/yaml/v3"

	"witnessmark/units"
)

// decoder fills the plan from the syntax tree. It goes on after a problem, so
// that one reading names everything, and remembers where each value stands,
// so that later checks can point at it.
type decoder struct {
	file     string
	problems []Problem
	warnings []Problem
	at       map[string]place // by path; nil while nothing is known to be wrong, for it takes a third of the time
	lines    int
}

// maxProblems is as many as anybody reads at a time.
const maxProblems = 100

// nodeDecoder is a type with a form of its own.
type nodeDecoder interface {
	decodeNode(d *decoder, n *yaml.Node, path string)
}

func (d *decoder) problem(at place, what, want string) {
	if len(d.problems) < maxProblems {
		d.problems = append(d.problems, Problem{d.file, at.line, at.column, what, want})
	}
}

// problemAt points at the value of a path, else at what encloses it.
func (d *decoder) problemAt(path, what, want string) { d.problem(d.find(path), what, want) }

func (d *decoder) warnAt(path, what, want string) {
	at := d.find(path)
	d.warnings = append(d.warnings, Problem{d.file, at.line, at.column, what, want})
}

func (d *decoder) find(path string) place {
	for {
		if at, ok := d.at[path]; ok {
			return at
		}
		i := strings.LastIndexByte(path, '.')
		if i < 0 {
			return place{1, 1}
		}
		path = path[:i]
	}
}

// decode fills v, which can be set, from n. Path is n's place in the plan.
func (d *decoder) decode(v reflect.Value, n *yaml.Node, path string) {
	if d.at != nil {
		d.at[path] = placeOf(n)
	}
	if isEmpty(n) {
		d.problem(placeOf(n), last(path)+" is empty", "write a value or leave the key out")
		return
	}
	switch p := v.Addr().Interface().(type) {
	case nodeDecoder:
		p.decodeNode(d, n, path)
		return
	case *decimal.Decimal:
		d.quantity(p, n, path)
		return
	case encoding.TextUnmarshaler:
		if text, ok := d.scalar(n, path); ok {
			if err := p.UnmarshalText([]byte(text)); err != nil {
				d.unreadable(n, path, err)
			}
		}
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		d.decode(v.Elem(), n, path)
	case reflect.Struct:
		d.structure(v, n, path)
	case reflect.Slice:
		d.list(v, n, path)
	default:
		d.plainScalar(v, n, path)
	}
}

// quantity reads how many of a part: above zero, up to three decimals.
func (d *decoder) quantity(q *decimal.Decimal, n *yaml.Node, path string) {
	text, ok := d.scalar(n, path)
	if !ok {
		return
	}
	v, percent, err := plainNumber(text)
	if err != nil || percent || !v.IsPos() || v.MinScale() > 3 {
		d.problem(placeOf(n), fmt.Sprintf("%s is %q, not how many", last(path), text), "write a number above zero, such as 8 or 8.5")
		return
	}
	*q = v
}

// plainScalar fills a string, number or truth value.
func (d *decoder) plainScalar(v reflect.Value, n *yaml.Node, path string) {
	text, ok := d.scalar(n, path)
	if !ok {
		return
	}
	switch v.Kind() {
	case reflect.String:
		if truth := n.Style == 0 && n.Tag == "!!bool"; truth || text == "" {
			d.problem(placeOf(n), fmt.Sprintf("%s is %q, not words", last(path), text), "write words; true and false in quotes")
		}
		v.SetString(text)
	case reflect.Int:
		i, err := strconv.Atoi(text)
		if err != nil {
			d.problem(placeOf(n), fmt.Sprintf("%s is %q", last(path), text), "write a whole number")
		}
		v.SetInt(int64(i))
	case reflect.Bool:
		if text != "true" && text != "false" {
			d.problem(placeOf(n), fmt.Sprintf("%s is %q", last(path), text), "write true or false")
		}
		v.SetBool(text == "true")
	}
}

// scalar returns the text of a scalar as it was written, without quotes.
func (d *decoder) scalar(n *yaml.Node, path string) (string, bool) {
	if n.Kind == yaml.ScalarNode {
		return strings.TrimSpace(n.Value), true
	}
	d.problem(placeOf(n), last(path)+" is "+shape(n), "write a single value")
	return "", false
}

// unreadable records why a text is not what its key takes.
func (d *decoder) unreadable(n *yaml.Node, path string, err error) {
	what, want := oneLine(err.Error()), ""
	var p *units.ParseError
	if errors.As(err, &p) {
		what = strings.TrimPrefix(what, "units: ")
	}
	if i := strings.LastIndex(what, "; "); i >= 0 {
		what, want = what[:i], what[i+2:]
	}
	d.problem(placeOf(n), last(path)+": "+what, want)
}

func (s *Names) decodeNode(d *decoder, n *yaml.Node, path string) {
	if n.Kind == yaml.SequenceNode {
		d.list(reflect.ValueOf((*[]string)(s)).Elem(), n, path)
		return
	}
	var one string
	d.plainScalar(reflect.ValueOf(&one).Elem(), n, path)
	*s = Names{one}
}

func (x *Disturbance) decodeNode(d *decoder, n *yaml.Node, path string) {
	switch n.Kind {
	case yaml.MappingNode, yaml.SequenceNode:
		d.structure(reflect.ValueOf(x).Elem(), n, path)
	default:
		d.plainScalar(reflect.ValueOf(&x.ID).Elem(), n, path)
	}
}

func (l *Lead) decodeNode(d *decoder, n *yaml.Node, path string) {
	d.structure(reflect.ValueOf(l).Elem(), n, path)
	if !hasKey(n, "least") {
		l.Least = l.Likely
	}
	if !hasKey(n, "most") {
		l.Most = l.Likely
	}
	if l.Least > l.Likely || l.Likely > l.Most {
		d.problem(placeOf(n), fmt.Sprintf("lead time %g, %g, %g days does not rise", l.Least, l.Likely, l.Most),
			"write least, likely and most in this order")
	}
}
