// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"

	"witnessmark/fastener"
	"witnessmark/units"
)

// preloadYAML is the file that `preload` reads.
type preloadYAML struct {
	Thread   yamlText     `yaml:"thread"`
	Class    yamlStrength `yaml:"class"`
	Yield    megapascals  `yaml:"yield"`
	Tensile  megapascals  `yaml:"tensile"`
	YieldFac yamlSpread   `yaml:"yield_factor"`

	UnderHead struct {
		Outer millimetres `yaml:"outer"`
		Hole  millimetres `yaml:"hole"`
	} `yaml:"under_head"`
	Friction struct {
		Thread yamlSpread `yaml:"thread"`
		Head   yamlSpread `yaml:"head"`
		Same   bool       `yaml:"same"`
	} `yaml:"friction"`
	Bolt struct {
		Segments []struct {
			Length   millimetres `yaml:"length"`
			Diameter millimetres `yaml:"diameter"`
		} `yaml:"segments"`
		Engaged millimetres `yaml:"engaged_thread"`
		Head    yamlText    `yaml:"head"`
		Into    yamlText    `yaml:"into"`
		Modulus megapascals `yaml:"modulus"`
	} `yaml:"bolt"`
	Joint struct {
		Stiffness yamlStiffness `yaml:"stiffness"`
		Ratio     yamlSpread    `yaml:"stiffness_ratio"`
		Modulus   megapascals   `yaml:"modulus"`
	} `yaml:"joint"`
	StiffnessRatio yamlSpread   `yaml:"stiffness_ratio"`
	Embedding      *millimetres `yaml:"embedding"`
	Stages         []yamlStage  `yaml:"stages"`
	Seed           uint64       `yaml:"seed"`
}

// yamlStage is a stage; id, kind and note may stand in it as in an engine
// sheet.
type yamlStage struct {
	ID      yamlText     `yaml:"id"`
	Kind    yamlText     `yaml:"kind"`
	Note    yamlText     `yaml:"note"`
	Torque  newtonMetres `yaml:"torque"`
	Angle   degrees      `yaml:"angle"`
	Stretch millimetres  `yaml:"stretch"`
	Tool    *yamlTool    `yaml:"tool"`
}

// yamlTool is what is known of the tool; without one no scatter enters.
type yamlTool struct {
	ISO6789   yamlText    `yaml:"iso_6789"`          // type and class, such as II A
	Tolerance float64     `yaml:"tolerance_percent"` // of the torque
	Angle     degrees     `yaml:"angle"`             // ± this
	Stretch   millimetres `yaml:"stretch"`           // ± this
}

// quantity is a number with its unit; the unit is required.
type quantity[Q units.Quantity] struct{ q Q }

type (
	millimetres  = quantity[units.Length]
	degrees      = quantity[units.Angle]
	newtonMetres = quantity[units.Torque]
	megapascals  = quantity[units.Pressure]
)

func (y *quantity[Q]) UnmarshalYAML(n ast.Node) error {
	text, err := scalarText(n)
	if err == nil {
		y.q, err = units.ParseAs[Q](text, units.Unit{})
	}
	return atNode(n, err)
}

// mpa returns a pressure in MPa.
func mpa(p megapascals) float64 { return p.q.Megapascals() }

// yamlText is a word or number kept as it was written: 10.9 stays 10.9.
type yamlText string

func (y *yamlText) UnmarshalYAML(n ast.Node) error {
	text, err := scalarText(n)
	*y = yamlText(text)
	return atNode(n, err)
}

// yamlStrength is a property class, or yield and tensile strength.
type yamlStrength struct {
	class          string
	yield, tensile float64
}

func (y *yamlStrength) UnmarshalYAML(n ast.Node) error {
	if _, ok := n.(*ast.MappingNode); !ok {
		text, err := scalarText(n)
		y.class = text
		return atNode(n, err)
	}
	var m struct {
		Yield   megapascals `yaml:"yield"`
		Tensile megapascals `yaml:"tensile"`
	}
	if err := yaml.NodeToValue(n, &m, yaml.Strict()); err != nil {
		return err
	}
	y.yield, y.tensile = mpa(m.Yield), mpa(m.Tensile)
	return nil
}

// yamlSpread is one plain number, or min and max.
type yamlSpread struct{ fastener.Spread }

func (y *yamlSpread) UnmarshalYAML(n ast.Node) error {
	s, err := spreadOf(n, func(text string) (float64, error) {
		x, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
		if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
			return 0, fmt.Errorf("%q is no number; write it like 0.12", text)
		}
		return x, nil
	})
	y.Spread = s
	return err
}

// yamlStiffness is a stiffness with its unit, or min and max; N/mm.
type yamlStiffness struct{ fastener.Spread }

func (y *yamlStiffness) UnmarshalYAML(n ast.Node) error {
	s, err := spreadOf(n, parseStiffness)
	y.Spread = s
	return err
}

// perNewtonMM says what one of a unit is in N/mm.
var perNewtonMM = map[string]float64{"N/mm": 1, "kN/mm": 1e3, "MN/mm": 1e6, "N/µm": 1e3, "N/μm": 1e3, "N/um": 1e3, "kN/µm": 1e6, "kN/um": 1e6, "N/m": 1e-3, "kN/m": 1, "MN/m": 1e3, "GN/m": 1e6}

// parseStiffness returns N/mm.
func parseStiffness(text string) (float64, error) {
	i := strings.IndexFunc(text, func(r rune) bool { return strings.ContainsRune("kMGN", r) })
	if i > 0 {
		x, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(text[:i]), ",", ".", 1), 64)
		unit, ok := perNewtonMM[strings.ReplaceAll(text[i:], " ", "")]
		if err == nil && ok && !math.IsNaN(x) && !math.IsInf(x, 0) {
			return x * unit, nil
		}
	}
	return 0, fmt.Errorf("%q is no stiffness with its unit; write it like 1.5e6 N/mm or 1500 kN/mm", text)
}

func spreadOf(n ast.Node, parse func(string) (float64, error)) (fastener.Spread, error) {
	if _, ok := n.(*ast.MappingNode); !ok {
		text, err := scalarText(n)
		if err != nil {
			return fastener.Spread{}, atNode(n, err)
		}
		x, err := parse(text)
		return fastener.Exactly(x), atNode(n, err)
	}
	var m struct {
		Min *yamlText `yaml:"min"`
		Max *yamlText `yaml:"max"`
	}
	if err := yaml.NodeToValue(n, &m, yaml.Strict()); err != nil {
		return fastener.Spread{}, err
	}
	if m.Min == nil || m.Max == nil {
		return fastener.Spread{}, atNode(n, errors.New("min and max are both needed; the same number twice is a spread of zero"))
	}
	lo, err1 := parse(string(*m.Min))
	hi, err2 := parse(string(*m.Max))
	return fastener.Spread{Min: lo, Max: hi}, atNode(n, errors.Join(err1, err2))
}

// plainYAML refuses what such a file has no use for and what could make the
// library work without end: anchors, nesting, more than a few pages.
func plainYAML(text []byte) error {
	depth := 0
	for i, t := range lexer.Tokenize(string(text)) {
		at := t.Position
		switch t.Type {
		case token.AnchorType, token.AliasType, token.MergeKeyType:
			return &positioned{at.Line, at.Column, errors.New("anchors and aliases are not used here; write the value out")}
		case token.MappingStartType, token.SequenceStartType:
			depth++
		case token.MappingEndType, token.SequenceEndType:
			depth--
		}
		if depth > 20 || i > 5000 || at.Column > 2000 {
			return &positioned{at.Line, at.Column, errors.New("this is nested or goes on too far for a bolt; is it the right file?")}
		}
	}
	return nil
}

// scalarText returns a scalar as it was written.
func scalarText(n ast.Node) (string, error) {
	switch n := n.(type) {
	case *ast.StringNode:
		return strings.TrimSpace(n.Value), nil
	case *ast.IntegerNode, *ast.FloatNode:
		return n.GetToken().Value, nil
	}
	return "", errors.New("one value is needed here, such as 20 Nm")
}

// positioned is an error with the place in the file that it is about.
type positioned struct {
	line, column int
	err          error
}

func (e *positioned) Error() string {
	return fmt.Sprintf("line %d, column %d: %v", e.line, e.column, e.err)
}
func (e *positioned) Unwrap() error { return e.err }

func atNode(n ast.Node, err error) error {
	if err == nil {
		return nil
	}
	var done *positioned
	if errors.As(err, &done) {
		return err
	}
	at := n.GetToken().Position
	return &positioned{at.Line, at.Column, err}
}

// yamlProblem brings an error of the YAML library to one line with its place.
func yamlProblem(err error) error {
	var done *positioned
	if errors.As(err, &done) {
		return done
	}
	var e yaml.Error
	if errors.As(err, &e) && e.GetToken() != nil {
		at := e.GetToken().Position
		return &positioned{at.Line, at.Column, errors.New(strings.ReplaceAll(e.GetMessage(), "\n", " "))}
	}
	return errors.New(strings.ReplaceAll(err.Error(), "\n", " "))
}

// preloadPlaces says where in the file the thing stands that an error of the
// calculation begins with.
var preloadPlaces = []struct{ prefix, path string }{
	{"thread", "$.thread"}, {"property class", "$.class"}, {"class", "$.class"}, {"tensile", "$.class"},
	{"yield factor", "$.yield_factor"}, {"yield", "$.class"}, {"under the head", "$.under_head"},
	{"friction of the thread", "$.friction.thread"}, {"friction of the head", "$.friction.head"},
	{"bolt", "$.bolt"}, {"mating part", "$.joint"}, {"joint", "$.joint"}, {"stiffness ratio", "$.joint"},
	{"embedding", "$.embedding"}, {"stages", "$.stages"},
}

// atPlace adds line and column to an error of the calculation, where the file
// has the thing that it is about.
func atPlace(text []byte, err error) error {
	var done *positioned
	if err == nil || errors.As(err, &done) {
		return err
	}
	path, n := "", 0
	if k, _ := fmt.Sscanf(err.Error(), "stage %d:", &n); k == 1 && n > 0 {
		path = fmt.Sprintf("$.stages[%d]", n-1)
	}
	for _, p := range preloadPlaces {
		if path == "" && strings.HasPrefix(err.Error(), p.prefix) {
			path = p.path
		}
	}
	node := nodeAt(text, path)
	if node == nil {
		return err
	}
	return atNode(node, err)
}

// nodeAt returns nil if the file doesn't have the path.
func nodeAt(text []byte, path string) ast.Node {
	p, err := yaml.PathString(path)
	if path == "" || err != nil {
		return nil
	}
	file, err := parser.ParseBytes(text, 0)
	if err != nil {
		return nil
	}
	n, err := p.FilterFile(file)
	if err != nil || n == nil || n.GetToken() == nil {
		return nil
	}
	return n
}
