// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// ExcessInput is what is known of one position when its clearance is off.
//
// Tolerances must hold all four parts. Measured holds those that were
// measured. AsFound is the clearance read with the old shells, if it was read.
// MeasureU is the standard uncertainty that measuring a part would have, where
// the parts differ in it; a part that is not in it is taken as exact, which
// changes nothing as long as all parts are alike.
type ExcessInput struct {
	Clearance  Estimate
	AsFound    *Estimate
	Tolerances map[Part]Limits
	Measured   map[Part]Estimate
	MeasureU   map[Part]float64
}

// PartShift says what the strip readings changed in one part: the shift of its
// mean and its standard deviation after, both in µm.
type PartShift struct {
	Part             Part
	Measured         bool
	ShiftUM, SDUM    float64
	MeanMM           float64 // after the readings
	TailBeyondLimits float64 // probability that the part lies outside its tolerance, after
}

// ExcessResult says where an excess sits.
type ExcessResult struct {
	PredictedMM  float64 // clearance from the parts alone, before any strip reading
	PredictedU   float64 // its standard uncertainty, mm
	DifferenceMM float64 // reading less prediction
	CombinedU    float64 // of that difference, mm
	Explained    bool    // the difference is at most twice its uncertainty
	// AsFoundExplained is the same for the as-found reading; true when there is none.
	AsFoundExplained bool
	Parts            []PartShift
	MeasureNext      *Part   // nil when all are measured
	RemainingU       float64 // of the predicted clearance once MeasureNext is measured, mm
}

// NotExplained is what is said when a reading and the prediction differ by more
// than twice their combined uncertainty.
const NotExplained = "not explained by parts within tolerance"

// Excess returns how a strip reading shifts what is believed of each part.
//
//	prior:   part ~ N(mid-tolerance, (max − min)²/12), or N(value, u²) if measured
//	reading: c = H − J − U − L + e,  e ~ N(0, u²)
//	update:  m' = m + P·s (c − sᵀm)/(sᵀP·s + u²),  P' = P − P·s sᵀP/(sᵀP·s + u²)
//
// An as-found reading shares bore and journal with the reading as fitted; the
// old shells are two more parts, independent, with the same tolerances as the
// new ones. That is an assumption: worn shells are thinner than new.
//
// Predicted is the clearance from the parts alone, before both readings.
// MeasureNext is the unmeasured part that, measured, leaves the least variance
// of that prediction; ties go in the order bore, journal, upper, lower.
//
// Lengths are mm. It returns an error if a tolerance is missing or empty, or an
// uncertainty is below zero, or a reading's uncertainty and all parts' spreads
// are zero. It does not cover parts outside their tolerance other than by
// saying that the reading is not explained.
//
// Source: the update of a normal prior by a linear reading, for instance
// C. E. Rasmussen and C. K. I. Williams, Gaussian Processes for Machine
// Learning (2006), A.2 (from memory); JCGM 100:2008, 4.3.7 for the variance.
func Excess(in ExcessInput) (ExcessResult, error) {
	if err := in.check(); err != nil {
		return ExcessResult{}, err
	}
	b := newBelief(in)
	fresh := b.sight(UpperShell, LowerShell)
	old := b.sight(oldUpper, oldLower)
	prior := b

	var r ExcessResult
	r.PredictedMM, r.PredictedU = b.clearance(fresh)
	r.DifferenceMM = in.Clearance.Value - r.PredictedMM
	r.CombinedU = math.Hypot(r.PredictedU, in.Clearance.U)
	r.Explained = explained(r.DifferenceMM, r.CombinedU)
	r.AsFoundExplained = true

	if err := b.update(fresh, in.Clearance); err != nil {
		return ExcessResult{}, err
	}
	if in.AsFound != nil {
		m, u := prior.clearance(old)
		r.AsFoundExplained = explained(in.AsFound.Value-m, math.Hypot(u, in.AsFound.U))
		if err := b.update(old, *in.AsFound); err != nil {
			return ExcessResult{}, err
		}
	}
	for _, p := range Parts() {
		_, measured := in.Measured[p]
		sd := math.Sqrt(math.Max(0, b.cov[p][p]))
		r.Parts = append(r.Parts, PartShift{
			Part: p, Measured: measured, MeanMM: b.mean[p],
			ShiftUM: 1000 * (b.mean[p] - prior.mean[p]), SDUM: 1000 * sd,
			TailBeyondLimits: outside(b.mean[p], sd, in.Tolerances[p]),
		})
	}
	r.MeasureNext, r.RemainingU = measureNext(in, r.PredictedU)
	return r, nil
}

// WithGrowth returns the input as it is without what crush adds to the bore:
// both readings lose g and take on its spread. See [ExcessWithGrowth].
func (in ExcessInput) WithGrowth(g Estimate) ExcessInput {
	less := func(e Estimate) Estimate { return Estimate{Value: e.Value - g.Value, U: math.Hypot(e.U, g.U)} }
	in.Clearance = less(in.Clearance)
	if in.AsFound != nil {
		found := less(*in.AsFound)
		in.AsFound = &found
	}
	return in
}

// ExcessWithGrowth is [Excess] with what crush adds to the bore taken into
// account: PredictedMM is with the growth then, as the strip reads it.
func ExcessWithGrowth(in ExcessInput, g Estimate) (ExcessResult, error) {
	if err := g.check("growth"); err != nil {
		return ExcessResult{}, err
	}
	r, err := Excess(in.WithGrowth(g))
	r.PredictedMM += g.Value
	return r, err
}

// Carried is what a measured part brings to a clearance: its departure from the
// middle of its limits, mm, positive where it widens the clearance.
type Carried struct {
	Part      Part
	WidensMM  float64
	OutsideMM float64 // by how much it lies beyond its own limits, 0 within them
}

// Carry lists what every measured part brings, the most in the direction of
// excess (positive: too wide) first; of equals in the fixed order.
func Carry(in ExcessInput, excess float64) []Carried {
	var out []Carried
	for _, p := range Parts() {
		m, ok := in.Measured[p]
		if !ok {
			continue
		}
		l := in.Tolerances[p]
		c := Carried{Part: p, WidensMM: p.sign() * (m.Value - l.Mid())}
		c.OutsideMM = math.Max(0, math.Max(l.Min-m.Value, m.Value-l.Max))
		out = append(out, c)
	}
	way := math.Copysign(1, excess)
	slices.SortStableFunc(out, func(a, b Carried) int { return cmp.Compare(way*b.WidensMM, way*a.WidensMM) })
	return out
}

// Confirms says whether a measured part explains an excess over the middle of
// the limits: it lies beyond its own limits on the side of the excess, or
// brings at least a third of it. Common practice, no source.
func (c Carried) Confirms(excess float64) bool {
	way := math.Copysign(1, excess)
	return way*c.WidensMM > 0 && (c.OutsideMM > 0 || way*c.WidensMM >= math.Abs(excess)/3)
}

// explained holds a difference against twice its uncertainty.
func explained(difference, u float64) bool { return math.Abs(difference) <= 2*u+slack }

// outside is the probability that a normal value lies outside the limits;
// zero where no limits are known.
func outside(mean, sd float64, l Limits) float64 {
	if l == (Limits{}) {
		return 0
	}
	if sd == 0 {
		if l.Has(mean) {
			return 0
		}
		return 1
	}
	z := func(v float64) float64 { return math.Erfc(v/sd/math.Sqrt2) / 2 }
	return z(mean-l.Min) + z(l.Max-mean)
}

// measureNext picks the unmeasured part whose variance, replaced by that of a
// measurement, takes most from the variance of the prediction.
func measureNext(in ExcessInput, predictedU float64) (*Part, float64) {
	var best *Part
	var most float64
	for _, p := range Parts() {
		if _, ok := in.Measured[p]; ok {
			continue
		}
		u := in.MeasureU[p]
		gain := in.Tolerances[p].variance() - u*u
		// Equal tolerances differ by rounding: only a real lead displaces an earlier part.
		if best == nil || gain > most+1e-9*math.Max(math.Abs(most), math.Abs(gain)) {
			best, most = &p, gain
		}
	}
	return best, math.Sqrt(math.Max(0, predictedU*predictedU-most))
}

func (in ExcessInput) check() error {
	if err := in.Clearance.check("clearance"); err != nil {
		return err
	}
	if in.AsFound != nil {
		if err := in.AsFound.check("as-found clearance"); err != nil {
			return err
		}
	}
	for _, p := range Parts() {
		tol, ok := in.Tolerances[p]
		if m, measured := in.Measured[p]; measured {
			if err := m.check("measured " + p.String()); err != nil {
				return err
			}
		} else if !ok {
			return fmt.Errorf("bearing: %s has neither limits nor a measured value", p)
		}
		// A measured part needs limits only for the old shells and the tail.
		if !ok && (p == HousingBore || p == Journal || in.AsFound == nil) {
			continue
		}
		if !ok {
			return fmt.Errorf("bearing: %s has no limits: the as-found reading needs them for the old shell", p)
		}
		if err := tol.check(p.String()); err != nil {
			return err
		}
	}
	return nil
}

// The old shells stand behind the four parts in a belief.
const (
	oldUpper   = partCount
	oldLower   = partCount + 1
	beliefSize = partCount + 2
)

// belief is a joint normal over the parts and the old shells, in mm.
type belief struct {
	mean [beliefSize]float64
	cov  [beliefSize][beliefSize]float64
}

func newBelief(in ExcessInput) belief {
	var b belief
	for _, p := range Parts() {
		b.mean[p], b.cov[p][p] = in.Tolerances[p].Mid(), in.Tolerances[p].variance()
	}
	for old, p := range map[Part]Part{oldUpper: UpperShell, oldLower: LowerShell} {
		b.mean[old], b.cov[old][old] = b.mean[p], b.cov[p][p]
	}
	for p, m := range in.Measured {
		b.mean[p], b.cov[p][p] = m.Value, m.U*m.U
	}
	return b
}

// sight is the row of signs that makes a clearance from bore, journal and the
// two given shells.
func (b *belief) sight(upper, lower Part) (s [beliefSize]float64) {
	for _, p := range []Part{HousingBore, Journal, upper, lower} {
		s[p] = p.sign()
	}
	return s
}

// clearance returns mean and standard deviation of a clearance.
func (b *belief) clearance(s [beliefSize]float64) (mean, sd float64) {
	var variance float64
	for i := range s {
		mean += s[i] * b.mean[i]
		for j := range s {
			variance += s[i] * b.cov[i][j] * s[j]
		}
	}
	return mean, math.Sqrt(math.Max(0, variance))
}

// update conditions the belief on one reading of a clearance.
func (b *belief) update(s [beliefSize]float64, reading Estimate) error {
	var ps [beliefSize]float64 // P·s
	mean, sd := b.clearance(s)
	for i := range ps {
		for j := range s {
			ps[i] += b.cov[i][j] * s[j]
		}
	}
	total := sd*sd + reading.U*reading.U
	if total == 0 {
		return fmt.Errorf("bearing: the reading %g mm and all parts have no uncertainty: nothing can be weighed", reading.Value)
	}
	for i := range ps {
		b.mean[i] += ps[i] * (reading.Value - mean) / total
		for j := range ps {
			b.cov[i][j] -= ps[i] * ps[j] / total
		}
	}
	return nil
}
