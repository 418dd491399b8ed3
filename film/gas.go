// SPDX-License-Identifier: Apache-2.0

package film

import (
	"fmt"
	"math"
)

// Gas is the pressure in the cylinder. Either a table (Angle and Pressure, over
// one working cycle from firing top dead centre), or an ideal cycle scaled to
// Peak or to MeanEffective. Pressures are absolute, in Pa; angles in rad.
type Gas struct {
	Angle, Pressure []float64

	Compression   float64 // ratio of volumes
	Intake        float64 // in the cylinder at the end of induction
	Exhaust       float64 // while exhausting
	Peak          float64 // greatest pressure; or
	MeanEffective float64 // indicated, over the whole cycle

	BurnStart    float64 // from top dead centre, negative before; 0 with BurnDuration 0 means the usual
	BurnDuration float64
	WiebeM       float64 // 0 means 2
	WiebeA       float64 // 0 means 5
	Gamma        float64 // ratio of specific heats; 0 means 1.33
	PortOpen     float64 // two-stroke: after top dead centre; 0 means 105°
}

// What stands in for values that no sheet gave. Common practice, no source.
const (
	usualWiebeM    = 2
	usualWiebeA    = 5
	usualGamma     = 1.33
	usualBurnStart = -15 * math.Pi / 180
	usualBurnLasts = 55 * math.Pi / 180
	usualPortOpen  = 105 * math.Pi / 180
	atmosphere     = 101325 // Pa; the crankcase side of the piston
)

func (g Gas) usual() Gas {
	set := func(v *float64, d float64) {
		if *v == 0 {
			*v = d
		}
	}
	if g.BurnDuration == 0 {
		set(&g.BurnStart, usualBurnStart)
	}
	set(&g.BurnDuration, usualBurnLasts)
	set(&g.WiebeM, usualWiebeM)
	set(&g.WiebeA, usualWiebeA)
	set(&g.Gamma, usualGamma)
	set(&g.PortOpen, usualPortOpen)
	set(&g.Intake, atmosphere)
	set(&g.Exhaust, 1.05*atmosphere)
	return g
}

// Assumed says in words what stands in for values not given; empty for a table.
func (g Gas) Assumed() []string {
	if len(g.Angle) > 0 {
		return nil
	}
	var list []string
	add := func(unset bool, format string, args ...any) {
		if unset {
			list = append(list, fmt.Sprintf(format, args...))
		}
	}
	u := g.usual()
	add(g.BurnDuration == 0, "burning from %.0f° for %.0f° of crank angle", deg(u.BurnStart), deg(u.BurnDuration))
	add(g.WiebeM == 0, "Wiebe exponent %g, factor %g", u.WiebeM, u.WiebeA)
	add(g.Gamma == 0, "ratio of specific heats %g", u.Gamma)
	add(g.Intake == 0, "intake pressure %.3f bar", u.Intake/1e5)
	add(g.Exhaust == 0, "exhaust pressure %.3f bar", u.Exhaust/1e5)
	return list
}

func (g Gas) check() error {
	deg1 := func(name string, v, lo, hi float64) error {
		return within(name, "°", v*180/math.Pi, lo, hi)
	}
	if (g.Peak > 0) == (g.MeanEffective > 0) {
		return fmt.Errorf("gas: give either the peak pressure or the mean effective pressure")
	}
	for _, err := range []error{
		within("compression ratio", "", g.Compression, 4, 30),
		within("intake pressure", "bar", g.Intake/1e5, 0.1, 10),
		within("exhaust pressure", "bar", g.Exhaust/1e5, 0.1, 10),
		within("peak pressure", "bar", g.Peak/1e5, 0, 400),
		within("mean effective pressure", "bar", g.MeanEffective/1e5, 0, 60),
		deg1("start of burning", g.BurnStart, -90, 60),
		deg1("duration of burning", g.BurnDuration, 5, 150),
		within("Wiebe exponent", "", g.WiebeM, 0, 10),
		within("Wiebe factor", "", g.WiebeA, 1, 10),
		within("ratio of specific heats", "", g.Gamma, 1.2, 1.45),
		deg1("port opening", g.PortOpen, 70, 150),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

// gasSteps is the number of even steps of crank angle in a turn.
const gasSteps = 720

// pressures returns the cylinder pressure at even angles over one working cycle
// from firing top dead centre, the last repeating the first.
//
// While the valves are closed (from 180° before to 180° after top dead centre;
// two-stroke: between the ports) the charge is adiabatic with Wiebe's heat:
//
//	p V^γ = p0 V0^γ + (γ−1) Q ∫ V^(γ−1) dx,   x = 1 − exp(−a ((θ−θ0)/Δθ)^(m+1))
//
// Then the pressure falls to the exhaust's over 40°, stays, passes to the
// intake's over 40° and stays. Q is set so that the peak, or the mean effective
// pressure, is the one asked for. No heat is lost and no valve throttles.
//
// Source: Wiebe's function from memory; the first law for a closed charge.
func (g Gas) pressures(k Crank, bore float64, strokes int) ([]float64, error) {
	turns := strokes / 2
	n := turns * gasSteps
	if len(g.Angle) > 0 {
		return g.fromTable(n, float64(turns)*2*math.Pi)
	}
	g = g.usual()
	if err := g.check(); err != nil {
		return nil, err
	}
	c := newCharge(g, k, bore, strokes)
	motored := c.cycle(0)
	q := 0.0
	if g.Peak > 0 {
		if peak := c.closedPeak(0); g.Peak < peak*1.001 {
			return nil, fmt.Errorf("gas: the peak pressure of %.4g bar is below the %.4g bar of compression alone; check the compression ratio and the intake pressure", g.Peak/1e5, peak/1e5)
		}
		q = c.heatForPeak(g.Peak)
	} else {
		// The work is linear in the heat, apart from the blending after the
		// valve opens, which the second step takes up.
		w0 := c.work(motored)
		unit := c.displacement * 1e6
		for range 4 {
			trial := unit
			if q > 0 {
				trial = q
			}
			slope := (c.work(c.cycle(trial)) - w0) / trial
			q = (g.MeanEffective*c.displacement - w0) / slope
		}
		if !(q >= 0) {
			return nil, fmt.Errorf("gas: a mean effective pressure of %.4g bar cannot be reached", g.MeanEffective/1e5)
		}
	}
	return c.cycle(q), nil
}

func (g Gas) fromTable(n int, period float64) ([]float64, error) {
	zero := make([]float64, len(g.Angle))
	c, err := NewCycle(g.Angle, g.Pressure, zero, nil)
	if err != nil {
		return nil, fmt.Errorf("cylinder pressure: %w", err)
	}
	if math.Abs(c.Period()-period) > 1e-6 {
		return nil, &TableError{len(g.Angle), fmt.Sprintf("the pressure table covers %.6g°, the working cycle is %.6g°", deg(c.Period()), deg(period))}
	}
	p := make([]float64, n+1)
	for i := range p {
		p[i], _, _ = c.At(period * float64(i) / float64(n))
		if !(p[i] >= 0) {
			return nil, &TableError{0, "a cylinder pressure is negative; pressures are absolute"}
		}
	}
	return p, nil
}

// charge is the closed part of the cycle at even steps.
type charge struct {
	g            Gas
	n            int // steps of the whole cycle
	first, last  int // steps of the closed part, first negative
	volume       []float64
	vg           []float64 // V^γ
	heat         []float64 // (γ−1) ∫ V^(γ−1) dx, per joule
	base         float64   // p0 V0^γ
	displacement float64
	start        float64 // pressure as the closed part begins
}

func newCharge(g Gas, k Crank, bore float64, strokes int) *charge {
	area := math.Pi / 4 * bore * bore
	top, bottom := k.Ends()
	c := &charge{g: g, n: strokes / 2 * gasSteps, displacement: area * (top - bottom)}
	dead := c.displacement / (g.Compression - 1)
	c.first, c.last = -gasSteps/2, gasSteps/2
	if strokes == 2 {
		c.last = int(math.Round(g.PortOpen / (2 * math.Pi) * gasSteps))
		c.first = -c.last
	}
	for i := range c.n + 1 {
		c.volume = append(c.volume, dead+area*(top-k.At(2*math.Pi*float64(i)/gasSteps).X))
	}
	c.start = g.Intake
	c.base = g.Intake * math.Pow(c.at(c.first), g.Gamma)
	sum := 0.0
	before := g.burnt(2 * math.Pi * float64(c.first) / gasSteps)
	for i := c.first; i <= c.last; i++ {
		v := c.at(i)
		c.vg = append(c.vg, math.Pow(v, g.Gamma))
		if i > c.first {
			x := g.burnt(2 * math.Pi * float64(i) / gasSteps)
			mid := (v + c.at(i-1)) / 2
			sum += (g.Gamma - 1) * math.Pow(mid, g.Gamma-1) * (x - before)
			before = x
		}
		c.heat = append(c.heat, sum)
	}
	return c
}

// at returns the volume at step i of any sign.
func (c *charge) at(i int) float64 { return c.volume[((i%c.n)+c.n)%c.n] }

func (g Gas) burnt(theta float64) float64 {
	t := (theta - g.BurnStart) / g.BurnDuration
	if t <= 0 {
		return 0
	}
	return 1 - math.Exp(-g.WiebeA*math.Pow(t, g.WiebeM+1))
}

func (c *charge) closed(q float64, i int) float64 {
	return (c.base + q*c.heat[i-c.first]) / c.vg[i-c.first]
}

func (c *charge) closedPeak(q float64) float64 {
	p := 0.0
	for i := c.first; i <= c.last; i++ {
		p = max(p, c.closed(q, i))
	}
	return p
}

// heatForPeak returns the heat at which the greatest pressure is peak. Every
// step's pressure rises evenly with the heat, so it is the least heat that
// brings any step there.
func (c *charge) heatForPeak(peak float64) float64 {
	q := math.Inf(1)
	for i, h := range c.heat {
		if h > 0 {
			q = min(q, (peak*c.vg[i]-c.base)/h)
		}
	}
	return q
}

// cycle returns the pressure over the whole cycle for heat q (J).
func (c *charge) cycle(q float64) []float64 {
	p := make([]float64, c.n+1)
	const blend = gasSteps / 9 // 40°
	open := c.closed(q, c.last)
	until := c.n + c.first // where the closed part begins again
	toIntake := until - gasSteps/2
	if c.n == gasSteps { // two-stroke: exhaust, then scavenging
		toIntake = (c.last + until) / 2
	}
	for i := range p {
		switch {
		case i <= c.last:
			p[i] = c.closed(q, i)
		case i >= until:
			p[i] = c.closed(q, i-c.n)
		default:
			a := smooth(float64(i-c.last) / blend)
			b := smooth(float64(i-toIntake) / blend)
			p[i] = open + a*(c.g.Exhaust-open) + b*(c.g.Intake-c.g.Exhaust)
		}
	}
	p[c.n] = p[0]
	return p
}

// smooth rises from 0 to 1 with even slopes.
func smooth(t float64) float64 {
	t = math.Max(0, math.Min(1, t))
	return t * t * (3 - 2*t)
}

// work returns ∮ p dV.
func (c *charge) work(p []float64) float64 {
	w := 0.0
	for i := range c.n {
		w += (p[i] + p[i+1]) / 2 * (c.volume[i+1] - c.volume[i])
	}
	return w
}
