// SPDX-License-Identifier: Apache-2.0

package oil

import "fmt"

// Band is a grade's range as three oils: thinnest, middle and thickest.
type Band struct{ Low, Mid, High Oil }

// Viscosity indices taken for a grade that says nothing of its 40 °C point.
// Common practice, no source.
const (
	assumedIndexMulti  = 165
	assumedIndexSingle = 100
	assumedIndexISO    = 95
)

// Band returns the grade's range. Every oil in it says what was assumed: the
// 40 °C point from a viscosity index (165 with a winter part, 100 without, 95
// for ISO VG), and the high-shear point none, a quarter and half of the way from the grade's
// floor to no thinning at all. The thinnest oil is thick enough to meet the floor.
//
// A product's own sheet is always better.
func (g Grade) Band() (Band, error) {
	if g.V40Max > 0 {
		return g.bandISO()
	}
	high := g.V100Max
	if high > 1e3 { // a bare winter grade has no upper limit
		high = 1.5 * g.V100Min
	}
	index := float64(assumedIndexSingle)
	if g.Winter {
		index = assumedIndexMulti
	}
	low, err := thinnest(g.V100Min, high, index, g.HTHSMin)
	if err != nil {
		return Band{}, err
	}
	var b Band
	for _, p := range []struct {
		o     *Oil
		v100  float64
		share float64 // of the way from the HTHS floor to no thinning
	}{{&b.Low, low, 0}, {&b.Mid, (low + high) / 2, 0.25}, {&b.High, high, 0.5}} {
		v40, err := v40For(p.v100, index)
		if err != nil {
			return Band{}, err
		}
		*p.o = Oil{Name: g.Name, V40: v40, V100: p.v100, Assumed: []string{
			fmt.Sprintf("%.4g mm²/s at 100 °C, from the range of the grade", p.v100),
			fmt.Sprintf("%.4g mm²/s at 40 °C, from a viscosity index of %g", v40, index),
		}}
		if g.HTHSMin == 0 || !g.Winter {
			continue
		}
		eta, err := hotDynamic(v40, p.v100)
		if err != nil {
			return Band{}, err
		}
		if hths := g.HTHSMin + p.share*(eta-g.HTHSMin); hths < eta {
			p.o.HTHS = hths
			p.o.Assumed = append(p.o.Assumed, fmt.Sprintf("high-shear viscosity %.4g mPa·s, from the floor of the grade", hths))
		}
	}
	return b, nil
}

// hotDynamic returns the dynamic viscosity (mPa·s) at 150 °C without shear.
func hotDynamic(v40, v100 float64) (float64, error) {
	m, err := Oil{V40: v40, V100: v100}.Prepare()
	if err != nil {
		return 0, err
	}
	return m.Dynamic(HTHSTemperature)
}

// thinnest returns the least 100 °C viscosity in [low, high] whose viscosity at
// 150 °C meets the high-shear floor.
func thinnest(low, high, index, floor float64) (float64, error) {
	short := func(v100 float64) (bool, error) {
		v40, err := v40For(v100, index)
		if err != nil {
			return false, err
		}
		eta, err := hotDynamic(v40, v100)
		return eta < floor, err
	}
	if below, err := short(low); err != nil || !below {
		return low, err
	}
	return bisect(low, high, short)
}

func (g Grade) bandISO() (Band, error) {
	var b Band
	for _, p := range []struct {
		o   *Oil
		v40 float64
	}{{&b.Low, g.V40Min}, {&b.Mid, (g.V40Min + g.V40Max) / 2}, {&b.High, g.V40Max}} {
		v100, err := v100For(p.v40, assumedIndexISO)
		if err != nil {
			return Band{}, err
		}
		*p.o = Oil{Name: g.Name, V40: p.v40, V100: v100, Assumed: []string{
			fmt.Sprintf("%.4g mm²/s at 40 °C, from the range of the grade", p.v40),
			fmt.Sprintf("%.4g mm²/s at 100 °C, from a viscosity index of %d", v100, assumedIndexISO),
		}}
	}
	return b, nil
}

// v40For returns the 40 °C viscosity that gives the index; the index falls as
// v40 rises.
func v40For(v100, index float64) (float64, error) {
	return bisect(v100*1.001, v100*100, func(v40 float64) (bool, error) {
		vi, err := ViscosityIndex(v40, v100)
		return vi > index, err
	})
}

// v100For returns the 100 °C viscosity that gives the index; it rises with v100.
func v100For(v40, index float64) (float64, error) {
	if v40 < 7 {
		// Below the index's own range (v100 >= 2) take the slope of a light oil.
		return v40 * 0.3, nil
	}
	return bisect(2, v40*0.999, func(v100 float64) (bool, error) {
		vi, err := ViscosityIndex(v40, v100)
		return vi < index, err
	})
}

// bisect returns where up turns from true to false.
func bisect(lo, hi float64, up func(float64) (bool, error)) (float64, error) {
	for range 80 {
		mid := (lo + hi) / 2
		ok, err := up(mid)
		if err != nil {
			return 0, err
		}
		if ok {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2, nil
}
