// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"math"
	"math/rand/v2"
)

// model is a case with all that doesn't change from draw to draw computed
// once.
type model struct {
	c       Case
	bolt    Compliance
	joint   Spread  // δ_P
	d0, a0  float64 // smallest loaded section
	dkm     float64
	embed   float64 // rad
	thread  Thread
	tension float64 // δ_stretch
}

// drawn is one draw: the bolt that happens to be screwed in.
type drawn struct {
	threadArm, arm float64 // torque per newton: in the thread, in all; mm
	turn           float64 // turn of the head per newton, rad
	yield          float64 // F_y, N
}

// state is how far one drawn bolt has been tightened.
type state struct {
	load, permanent float64
	embedded, short bool
}

// samples holds one value per draw of everything that is reported.
type samples struct {
	snug, final, tight, service, stretch, permanent []float64
	past, short                                     int
}

func newModel(c Case) (model, error) {
	b, err := c.Bolt.Compliance()
	if err != nil {
		return model{}, err
	}
	m := model{c: c, bolt: b, joint: c.jointCompliance(b), thread: c.Bolt.Thread, tension: b.Stretch()}
	m.d0 = c.Bolt.SmallestDiameter()
	m.a0 = circleArea(m.d0)
	m.dkm = BearingDiameter(c.BearingOuter, c.BearingHole)
	m.embed = 2 * math.Pi * c.embedding() / m.thread.Pitch
	return m, nil
}

func (m model) run() samples {
	n := m.c.Draws
	if n == 0 {
		n = defaultDraws
	}
	rng := rand.New(rand.NewPCG(m.c.Seed, 0x7769746e657373)) // the second word only fixes the stream
	s := newSamples(n)
	moves := movesOf(m.c.Stages)
	snugAt := snugMove(moves)
	for i := range n {
		d, muThread := m.draw(rng)
		var st state
		for j, mv := range moves {
			if j == snugAt {
				s.snug[i] = st.load
			}
			// One number per move, tool or not: with common draws a case with
			// and without tools differs by nothing else.
			m.carryOut(&st, d, mv, 2*rng.Float64()-1)
		}
		if snugAt == 0 {
			s.snug[i] = st.load
		}
		m.keep(&s, i, st, muThread)
	}
	return s
}

// move is the smallest step: one torque, one angle or one stretch.
type move struct {
	kind             byte // 't', 'a', 's'
	value, tolerance float64
}

func movesOf(stages []Stage) []move {
	var list []move
	for _, s := range stages {
		if s.TorqueNm > 0 {
			list = append(list, move{'t', 1000 * s.TorqueNm, s.TorqueTolerance * 1000 * s.TorqueNm})
		}
		if s.AngleDeg > 0 {
			list = append(list, move{'a', s.AngleDeg * math.Pi / 180, s.AngleTolerance * math.Pi / 180})
		}
		if s.StretchMM > 0 {
			list = append(list, move{'s', s.StretchMM, s.StretchTolerance})
		}
	}
	return list
}

// snugMove returns the first angle or stretch that follows something: what
// stands before it is the snug load. 0 means that there is none, and that snug
// and final are the same.
func snugMove(moves []move) int {
	for i, mv := range moves {
		if i > 0 && mv.kind != 't' {
			return i
		}
	}
	return 0
}

func newSamples(n int) samples {
	block := make([]float64, 6*n)
	cut := func(k int) []float64 { return block[k*n : (k+1)*n : (k+1)*n] }
	return samples{snug: cut(0), final: cut(1), tight: cut(2), service: cut(3), stretch: cut(4), permanent: cut(5)}
}

func (m model) draw(rng *rand.Rand) (drawn, float64) {
	u := [4]float64{rng.Float64(), rng.Float64(), rng.Float64(), rng.Float64()}
	if m.c.SameFriction {
		u[1] = u[0]
	}
	mu := m.c.FrictionThread.at(u[0])
	k := threadArm(m.thread, mu)
	delta := m.bolt.Total() + m.joint.at(u[2])
	return drawn{
		threadArm: k,
		arm:       k + headArm(m.dkm, m.c.FrictionHead.at(u[1])),
		turn:      2*math.Pi*delta/m.thread.Pitch + k*m.bolt.Twist,
		yield:     YieldLoad(m.thread, m.d0, mu, m.c.Material.Yield*m.c.yieldFactor().at(u[3])),
	}, mu
}

// carryOut makes one move; e in [−1, 1) is how far the tool is off.
func (m model) carryOut(st *state, d drawn, mv move, e float64) {
	x := mv.value + e*mv.tolerance
	switch mv.kind {
	case 't':
		st.torque(d, x)
	case 'a':
		st.angle(d, x, m)
	case 's':
		st.stretch(d, x, m.tension)
	}
}

// torque is equation (1) of [Preload].
func (st *state) torque(d drawn, torque float64) {
	f := torque / d.arm
	if f > d.yield {
		f, st.short = d.yield, true
	}
	st.load = math.Max(st.load, f)
}

// angle is equation (2) of [Preload].
func (st *state) angle(d drawn, theta float64, m model) {
	if !st.embedded {
		theta, st.embedded = math.Max(0, theta-m.embed), true
	}
	f := st.load + theta/d.turn
	if f > d.yield {
		st.permanent += (f - d.yield) * d.turn * m.thread.Pitch / (2 * math.Pi)
		f = d.yield
	}
	st.load = f
}

// stretch is equation (3) of [Preload].
func (st *state) stretch(d drawn, s, compliance float64) {
	f := math.Max(0, (s-st.permanent)/compliance)
	if f > d.yield {
		st.permanent = s - d.yield*compliance
		f = d.yield
	}
	st.load = f
}

// keep notes what came of draw i.
func (m model) keep(s *samples, i int, st state, muThread float64) {
	sigma := st.load / m.a0
	tau := sigma * torsionRatio(m.thread, m.d0, muThread)
	percent := 100 / m.c.Material.Yield
	s.final[i] = st.load
	s.tight[i] = percent * math.Sqrt(sigma*sigma+3*tau*tau)
	s.service[i] = percent * math.Sqrt(sigma*sigma+3*tau*tau/4) // VDI 2230 R8, k_τ = 0.5
	s.stretch[i] = st.load*m.tension + st.permanent
	s.permanent[i] = st.permanent
	if st.permanent > 0 || st.short {
		s.past++
	}
	if st.short {
		s.short++
	}
}
