// SPDX-License-Identifier: Apache-2.0

package job

import (
	"witnessmark/metrology"
)

// take keeps the form of one group of readings: the last one's where there are
// several.
func (m *Measured) take(f metrology.Form) {
	own := true
	m.Planes = nil
	for _, p := range f.Planes {
		m.Planes = append(m.Planes, Plane{Plane: p.Plane, N: p.N, SizeMM: p.Diameter.Value, U: p.Diameter.U})
		own = own && !p.FromStudy
	}
	if own {
		m.SpreadFrom = SpreadOwn
	}
	if o := f.Oval; o != nil {
		r := o.Roundness
		m.Ovality = &Ovality{Plane: o.Plane, ValueMM: r.Ovality.Value, U: r.Ovality.U, Direction: r.Direction, BiasMM: r.RoundOvality,
			RangeMM: r.Range, RangeBiasMM: r.RoundRange, PRound: r.PRound}
	} else if len(f.Planes) > 0 && f.Planes[0].N > 1 {
		// Too few directions for an oval: only the range, with its bias.
		p := f.Planes[0]
		m.Planes[0].RangeMM, m.Planes[0].RangeBiasMM = p.Range, p.RoundRange
	}
	if f.Taper != nil {
		m.Taper = &Taper{ValueMM: f.Taper.Difference.Value, U: f.Taper.Difference.StandardUncertainty(), Resolved: true}
	}
	if o := f.Outlier; o != nil {
		out := Outlying{ValueMM: o.Value, Plane: f.OutlierPlace.Plane, G: o.G, Critical: o.Critical, Suspect: o.Suspect, OfResiduals: f.OfResiduals}
		if f.OutlierPlace.Angle != nil {
			out.AngleDeg, out.Angled = *f.OutlierPlace.Angle, true
		}
		m.Outlier = &out
	}
}
