// SPDX-License-Identifier: Apache-2.0

package engine

import (
	"encoding"
	"errors"
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
)

// decoder fills the sheet from the syntax tree. It goes on after a problem, so
// that one reading names everything, and remembers where each value stands,
// so that later checks can point at it.
type decoder struct {
	file     string
	problems []Problem
	warnings []Problem
	refs     []Ref
	cited    []citation
	at       map[string]place // by path
}

// maxProblems is as many as anybody reads at a time.
const maxProblems = 100

// citation is a source named somewhere in the sheet.
type citation struct {
	id string
	at place
}

// nodeDecoder is a type with a form of its own.
type nodeDecoder interface {
	decodeNode(d *decoder, n ast.Node, path string, b Basis)
}

func (d *decoder) problem(at place, what, want string) {
	if len(d.problems) < maxProblems {
		d.problems = append(d.problems, Problem{d.file, at.line, at.column, what, want})
	}
}

// problemAt points at the value of a path, else at what encloses it.
func (d *decoder) problemAt(path, what, want string) { d.problem(d.find(path), what, want) }

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

// syntax records an error of the YAML library with its own position.
func (d *decoder) syntax(err error) {
	at, what := place{1, 1}, err.Error()
	var e yaml.Error
	if errors.As(err, &e) {
		at, what = placeOfToken(e.GetToken()), e.GetMessage()
	}
	d.problem(at, "this is not YAML: "+oneLine(what), "look at the indentation and the quotes")
}

// decode fills v, which can be set, from n. Path is n's place in the sheet, b
// the basis that holds there.
func (d *decoder) decode(v reflect.Value, n ast.Node, path string, b Basis) {
	d.at[path] = placeOf(n)
	if isEmpty(n) {
		d.problem(placeOf(n), last(nameOf(path))+" is empty", "write a value or leave the key out")
		return
	}
	switch p := v.Addr().Interface().(type) {
	case nodeDecoder:
		p.decodeNode(d, n, path, b)
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
		d.decode(v.Elem(), n, path, b)
	case reflect.Struct:
		d.structure(v, n, path, b)
	case reflect.Slice:
		d.list(v, n, path, b)
	case reflect.Map:
		d.table(v, n, path, b)
	default:
		d.plainScalar(v, n, path)
	}
}

// plainScalar fills a string, number or truth value.
func (d *decoder) plainScalar(v reflect.Value, n ast.Node, path string) {
	text, ok := d.scalar(n, path)
	if !ok {
		return
	}
	switch v.Kind() {
	case reflect.String:
		if _, truth := n.(*ast.BoolNode); truth || text == "" {
			d.problem(placeOf(n), fmt.Sprintf("%s is %q, not words", last(path), text), "write words; true and false in quotes")
		}
		v.SetString(text)
	case reflect.Int:
		i, err := strconv.Atoi(text)
		if err != nil {
			d.problem(placeOf(n), fmt.Sprintf("%s is %q", last(path), text), "write a whole number")
		}
		v.SetInt(int64(i))
	case reflect.Float64:
		var f Number
		if err := f.UnmarshalText([]byte(text)); err != nil {
			d.unreadable(n, path, err)
		}
		v.SetFloat(float64(f))
	case reflect.Bool:
		switch text {
		case "true", "false":
			v.SetBool(text == "true")
		default:
			d.problem(placeOf(n), fmt.Sprintf("%s is %q", last(path), text), "write true or false")
		}
	}
}

// scalar returns the text of a scalar as it was written, without quotes.
func (d *decoder) scalar(n ast.Node, path string) (string, bool) {
	switch n := n.(type) {
	case *ast.StringNode:
		return strings.TrimSpace(n.Value), true
	case *ast.LiteralNode:
		return strings.TrimSpace(n.Value.Value), true
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		return n.GetToken().Value, true
	}
	d.problem(placeOf(n), last(path)+" is "+shape(n), "write a single value")
	return "", false
}
