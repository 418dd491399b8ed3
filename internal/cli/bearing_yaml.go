// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"bytes"
	"errors"
	"fmt"

	"github.com/goccy/go-yaml/ast"

	"witnessmark/bearing"
	"witnessmark/units"
)

// lengthText is a length; without a unit it is millimetres, in which shops
// write down what a micrometer shows.
type lengthText struct{ mm float64 }

func (y *lengthText) UnmarshalYAML(n ast.Node) error {
	text, err := scalarText(n)
	if err != nil {
		return atNode(n, errors.New("a length is needed here, such as 0.042 mm"))
	}
	q, err := units.ParseAs[units.Length](text, units.UnitMillimetre)
	y.mm = q.MM()
	return atNode(n, err)
}

// limitsYAML is {min, max}.
type limitsYAML struct {
	Min *lengthText `yaml:"min"`
	Max *lengthText `yaml:"max"`
}

func (y *limitsYAML) limits(what string) (bearing.Limits, error) {
	if y.Min == nil || y.Max == nil {
		return bearing.Limits{}, fmt.Errorf("%s: min and max are both needed", what)
	}
	return bearing.Limits{Min: y.Min.mm, Max: y.Max.mm}, nil
}

func (y *limitsYAML) optional(what string) (*bearing.Limits, error) {
	if y == nil {
		return nil, nil
	}
	l, err := y.limits(what)
	return &l, err
}

// estimateYAML is {value, u}, u the standard uncertainty.
type estimateYAML struct {
	Value *lengthText `yaml:"value"`
	U     *lengthText `yaml:"u"`
}

func (y *estimateYAML) estimate(what string) (bearing.Estimate, error) {
	if y == nil || y.Value == nil || y.U == nil {
		return bearing.Estimate{}, fmt.Errorf("%s: value and u (its standard uncertainty) are both needed", what)
	}
	return bearing.Estimate{Value: y.Value.mm, U: y.U.mm}, nil
}

// strictYAML reads one document; unknown and doubled keys are refused.
func strictYAML(text []byte, into any) error {
	if len(bytes.TrimSpace(text)) == 0 {
		return errors.New("the file is empty")
	}
	return decodeYAML(text, into)
}

// settle lets doubtful sizes count only with a reason.
func settle(doubts []bearing.Doubt, keep string) ([]string, error) {
	var kept []string
	var problems []error
	for _, d := range doubts {
		kept = append(kept, d.Error())
		problems = append(problems, d)
	}
	if len(doubts) == 0 || keep != "" {
		return kept, nil
	}
	return nil, fmt.Errorf("%w; if it is right, say why with --keep", errors.Join(problems...))
}
