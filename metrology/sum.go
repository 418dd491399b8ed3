// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"math"
)

// Shared is what every reading made with one gauge has in common: its
// calibration, or its setting against another gauge. Lengths that name the same
// Shared share one error, so that it drops out of their difference.
type Shared struct {
	Name string
	U    float64 // mm
}

// Length is one measured length of a sum, as it was read.
type Length struct {
	Name string
	Sign float64 // +1 or −1
	// Read is the value (mm) with its own spread, what it shares left out.
	Read             Measurement
	DegreesOfFreedom float64 // of Read.U; 0 or +Inf: not limited
	Shared           []Shared
	Part, Scale      Thermal
}

// Addend is a further line of a sum that is no reading, such as a growth that
// was computed.
type Addend struct {
	Sign float64
	Input
}

// SumBudget returns the budget of a signed sum of lengths at 20 °C:
//
//	y = Σ sᵢ·(xᵢ + Σ shared)·(1 + α_s(t_s−20))/(1 + α(t−20)) + Σ sⱼ·aⱼ
//
// one line for each length, for each shared error by its name, for each
// temperature and expansion that has a spread, and for each addend. Values in
// mm, °C and per kelvin.
//
// It returns an error wrapping [ErrInput] or [ErrMeasurement].
//
// Source: ISO 1; JCGM 100:2008, 5.1 and H.1.2; correlation removed by taking
// what is common as a line of its own, F.1.2.4.
func SumBudget(lengths []Length, addends []Addend) (Budget, error) {
	if len(lengths) == 0 {
		return Budget{}, fmt.Errorf("%w: a sum of no lengths", ErrInput)
	}
	s := sum{shared: map[string]int{}}
	for _, l := range lengths {
		for _, err := range []error{l.Read.Validate(), l.Part.validate("part"), l.Scale.validate("scale")} {
			if err != nil {
				return Budget{}, fmt.Errorf("%s: %w", l.Name, err)
			}
		}
		s.add(l)
	}
	for _, a := range addends {
		s.addends = append(s.addends, signed{a.Sign, s.line(a.Input)})
	}
	return Budget{Inputs: s.inputs, Model: s.model}, nil
}

// sum remembers where each figure stands among the inputs; −1 is a constant.
type sum struct {
	inputs  []Input
	shared  map[string]int
	terms   []sumTerm
	addends []signed
}

type signed struct {
	sign float64
	at   int
}

type sumTerm struct {
	sign        float64
	at          int
	shared      []int
	part, scale growing
}

// growing is what a length does with its temperature: t and α are the lines of
// temperature and coefficient, −1 where it is taken as exactly known.
type growing struct {
	Thermal
	t, α  int
	known float64 // the growth where neither is uncertain
}

// over is the growth in one trial.
func (g growing) over(x []float64) float64 {
	if g.t < 0 && g.α < 0 {
		return g.known
	}
	alpha, temperature := g.Alpha, g.Temperature
	if g.α >= 0 {
		alpha = x[g.α]
	}
	if g.t >= 0 {
		temperature = x[g.t]
	}
	return 1 + alpha*(temperature-ReferenceTemperature)
}

func (s *sum) line(in Input) int {
	s.inputs = append(s.inputs, in)
	return len(s.inputs) - 1
}

// uncertain adds a line where there is a spread.
func (s *sum) uncertain(name string, value, u float64) int {
	if u == 0 {
		return -1
	}
	in := NormalInput(name, value, u)
	return s.line(in)
}

// growing adds the line of the expansion, which counts only away from 20 °C.
func (s *sum) growing(of Thermal, t int, name string) growing {
	g := growing{Thermal: of, t: t, α: -1, known: of.growth()}
	if of.Temperature != ReferenceTemperature {
		g.α = s.uncertain(name, of.Alpha, of.UAlpha)
	}
	return g
}

func (s *sum) add(l Length) {
	t := sumTerm{sign: l.Sign, at: s.line(l.input())}
	for _, sh := range l.Shared {
		if sh.U == 0 {
			continue
		}
		i, known := s.shared[sh.Name]
		if !known {
			i = s.line(NormalInput(sh.Name, 0, sh.U))
			s.shared[sh.Name] = i
		}
		t.shared = append(t.shared, i)
	}
	partT := s.uncertain(l.Name+", temperature", l.Part.Temperature, l.Part.UTemperature)
	scaleT := s.uncertain(l.Name+", temperature of the gauge", l.Scale.Temperature, l.Scale.UTemperature)
	t.part = s.growing(l.Part, partT, l.Name+", expansion")
	t.scale = s.growing(l.Scale, scaleT, l.Name+", expansion of the gauge")
	s.terms = append(s.terms, t)
}

// input is the reading's own line: Student's t where its degrees of freedom are
// few and nothing else is in it.
func (l Length) input() Input {
	few := l.DegreesOfFreedom > 0 && !math.IsInf(l.DegreesOfFreedom, 1)
	if few && l.Read.HalfWidth == 0 {
		in := StudentInput(l.Name, l.Read.Value, l.Read.U, l.DegreesOfFreedom)
		in.Assumed = l.Read.Assumed
		return in
	}
	in := MeasurementInput(l.Name, l.Read)
	if few {
		in = in.WithDegreesOfFreedom(l.DegreesOfFreedom)
	}
	return in
}

func (s *sum) model(x []float64) float64 {
	y := 0.0
	for i := range s.terms {
		t := &s.terms[i]
		read := x[t.at]
		for _, i := range t.shared {
			read += x[i]
		}
		y += t.sign * read * t.scale.over(x) / t.part.over(x)
	}
	for _, a := range s.addends {
		y += a.sign * x[a.at]
	}
	return y
}
