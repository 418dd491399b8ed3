// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"math"
)

// Place is one reading (mm) on a part: the plane along it, At in mm from the
// front, and the angle (°) around it where there is one.
type Place struct {
	Plane   string
	At      float64
	Angle   *float64
	Reading float64
}

// PlaneForm is what the readings in one plane say.
type PlaneForm struct {
	Plane            string
	At               float64
	N                int
	Diameter         Measurement
	DegreesOfFreedom float64
	Roundness        *Roundness // nil with fewer than three directions
	FromStudy        bool       // the spread is the repeatability given, not the readings' own
	// Range is the greatest less the least reading, RoundRange what it would be
	// on average for a round part: both 0 for one reading.
	Range, RoundRange float64
}

// Form is what the readings of one part say: size, ovality, taper. What all
// readings share (the gauge's calibration) is not in it.
type Form struct {
	N                int
	Diameter         Measurement // mean of the planes
	DegreesOfFreedom float64     // +Inf where the spread is taken as exact
	Planes           []PlaneForm
	Oval             *PlaneForm // the plane with the greatest ovality
	Taper            *Taper     // nil with one plane
	// Outlier is Grubbs' test at 5 % on what lies farthest off; nil with fewer
	// than three readings. OfResiduals says that it was made on the distances
	// from the fitted oval, where its significance is approximate.
	Outlier      *Outlier
	OutlierPlace Place
	OfResiduals  bool
}

// OutlierAlpha is the significance at which an outlier is shown.
const OutlierAlpha = 0.05

// FitForm works the readings of one part out. Planes are taken in the order in
// which they come. One reading's spread is the repeatability given until a plane
// has enough readings of its own ([MeanOf], [FitRoundness]).
//
//	D = Σ Dₚ/P,  u² = Σ uₚ²/P²
//
// over P planes. It returns an error wrapping [ErrInput].
//
// Source: JCGM 100:2008, 4.2 and 5.1.2.
func FitForm(places []Place, r Repeatability) (Form, error) {
	if len(places) == 0 {
		return Form{}, fmt.Errorf("%w: no readings of the part", ErrInput)
	}
	var order []string
	by := map[string][]Place{}
	for _, p := range places {
		if by[p.Plane] == nil {
			order = append(order, p.Plane)
		}
		by[p.Plane] = append(by[p.Plane], p)
	}
	s := Form{N: len(places)}
	var residuals []float64
	for _, name := range order {
		p, left, err := planeForm(by[name], r)
		if err != nil {
			return Form{}, err
		}
		s.Planes = append(s.Planes, p)
		residuals = append(residuals, left...)
		s.OfResiduals = s.OfResiduals || p.Roundness != nil
	}
	s.size()
	s.ovalAndTaper()
	s.outlier(by, order, residuals)
	return s, nil
}

// planeForm fits an oval where there are three directions, else the mean, and
// returns what each reading is off.
func planeForm(places []Place, r Repeatability) (PlaneForm, []float64, error) {
	p := PlaneForm{Plane: places[0].Plane, At: places[0].At, N: len(places)}
	readings := make([]float64, len(places))
	var angled []AngleReading
	for i, x := range places {
		readings[i] = x.Reading
		if x.Angle != nil {
			angled = append(angled, AngleReading{Angle: *x.Angle, Diameter: x.Reading})
		}
	}
	if len(angled) == len(places) && len(angled) >= 3 {
		if fit, err := FitRoundness(angled, r); err == nil {
			p.Roundness, p.Diameter, p.DegreesOfFreedom = &fit, fit.Diameter, fit.DegreesOfFreedom
			p.Range, p.RoundRange, p.FromStudy = fit.Range, fit.RoundRange, fit.FromStudy
			return p, fit.residuals(angled), nil
		}
	}
	m, err := MeanOf(readings, r)
	if err != nil {
		return p, nil, err
	}
	p.Diameter = Measurement{Value: m.Value, U: m.U, Assumed: m.Assumed}
	p.DegreesOfFreedom, p.FromStudy = m.DegreesOfFreedom, m.FromStudy
	off := make([]float64, len(readings))
	low, high := math.Inf(1), math.Inf(-1)
	for i, x := range readings {
		off[i] = x - m.Value
		low, high = math.Min(low, x), math.Max(high, x)
	}
	p.Range, p.RoundRange = high-low, m.U*math.Sqrt(float64(m.N))*RangeFactor(m.N)
	return p, off, nil
}

// residuals are the readings less the fitted oval.
func (f Roundness) residuals(readings []AngleReading) []float64 {
	out := make([]float64, len(readings))
	for i, x := range readings {
		out[i] = x.Diameter - f.Diameter.Value - f.Ovality.Value/2*math.Cos(2*(x.Angle-f.Direction)*math.Pi/180)
	}
	return out
}

func (s *Form) size() {
	n := float64(len(s.Planes))
	fourth := 0.0
	for _, p := range s.Planes {
		s.Diameter.Value += p.Diameter.Value / n
		u := p.Diameter.U / n
		s.Diameter.U = math.Hypot(s.Diameter.U, u)
		s.Diameter.Assumed = s.Diameter.Assumed || p.Diameter.Assumed
		fourth += math.Pow(u, 4) / p.DegreesOfFreedom // Welch and Satterthwaite, JCGM 100:2008, G.2b
	}
	s.DegreesOfFreedom = math.Inf(1)
	if fourth > 0 {
		s.DegreesOfFreedom = math.Pow(s.Diameter.U, 4) / fourth
	}
}

func (s *Form) ovalAndTaper() {
	var planes []Plane
	for i := range s.Planes {
		p := &s.Planes[i]
		planes = append(planes, Plane{At: p.At, Diameter: p.Diameter})
		if p.Roundness != nil && (s.Oval == nil || p.Roundness.Ovality.Value > s.Oval.Roundness.Ovality.Value) {
			s.Oval = p
		}
	}
	if t, err := FitTaper(planes); err == nil {
		s.Taper = &t
	}
}

// outlier tests what every reading is off from its plane's oval or mean.
func (s *Form) outlier(by map[string][]Place, order []string, off []float64) {
	o, err := Grubbs(off, OutlierAlpha)
	if err != nil {
		return
	}
	i := o.Index
	for _, name := range order {
		if i < len(by[name]) {
			s.OutlierPlace = by[name][i]
			break
		}
		i -= len(by[name])
	}
	o.Value = s.OutlierPlace.Reading
	s.Outlier = &o
}

// EffectiveRepeatability is the standard deviation of one reading: the
// repeatability, and no less than half a step of the scale as a uniform spread.
//
//	s = max(repeatability, resolution/√12)
//
// Source: JCGM 100:2008, F.2.2.1.
func (g Gauge) EffectiveRepeatability() Repeatability {
	r := g.Repeatability
	if least := g.Resolution / math.Sqrt(12); r.StdDev < least {
		r = Repeatability{StdDev: least, Assumed: r.Assumed}
	}
	return r
}
