// SPDX-License-Identifier: Apache-2.0

package metrology

// Budget parts the spread of a measurement into its lines: what is its own,
// what readings by the same means share, and the uniform part, each under the
// name given. Lines without spread are left out.
//
//	y = own + shared + step,  u² = (U² − CommonU²) + CommonU² + HalfWidth²/3
func (m Measurement) Budget(own, shared, step string) Budget {
	ins := []Input{NormalInput(own, m.Value, Measurement{U: m.U, CommonU: m.CommonU}.own())}
	if m.CommonU > 0 {
		ins = append(ins, NormalInput(shared, 0, m.CommonU))
	}
	for i := range ins {
		ins[i].Assumed = m.Assumed
	}
	if m.HalfWidth > 0 {
		ins = append(ins, RectangularInput(step, 0, m.HalfWidth))
	}
	return Budget{Inputs: ins, Model: func(x []float64) float64 {
		y := 0.0
		for _, v := range x {
			y += v
		}
		return y
	}}
}
