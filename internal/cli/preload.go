// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"strings"

	"github.com/goccy/go-yaml"
	"github.com/spf13/cobra"

	"witnessmark/fastener"
)

// preloadResult is what `preload` prints. Loads in kN, lengths in µm.
type preloadResult struct {
	PitchDiameter float64   `json:"pitch_diameter_mm"`
	StressArea    float64   `json:"stress_area_mm2"`
	Snug          minMax    `json:"snug_kN"`
	Final         minMaxMid `json:"final_kN"`
	Yield         float64   `json:"yield_kN"`
	Utilisation   minMax    `json:"utilisation_percent"`
	Service       minMax    `json:"service_utilisation_percent"`
	PastYield     bool      `json:"past_yield"`
	PastShare     float64   `json:"past_yield_share_percent"`
	Stretch       minMax    `json:"stretch_um"`
	Permanent     minMax    `json:"permanent_um"`
	ScatterRatio  float64   `json:"scatter_ratio"`

	// TorqueAlone is the same bolt by torque alone; absent if it is that already.
	TorqueAlone *torqueAlone `json:"by_torque_alone,omitempty"`

	Assumptions []string `json:"assumptions"`
	Notes       []string `json:"notes"`
}

type torqueAlone struct {
	Torque       float64   `json:"torque_Nm"`
	Final        minMaxMid `json:"final_kN"`
	ScatterRatio float64   `json:"scatter_ratio"`
}

type minMax struct {
	Min float64 `json:"min"`
	Max float64 `json:"max"`
}

type minMaxMid struct {
	Min    float64 `json:"min"`
	Max    float64 `json:"max"`
	Likely float64 `json:"likely"`
}

func newPreloadCommand(a *app) *cobra.Command {
	return example(&cobra.Command{
		Use:   "preload FILE.yaml",
		Short: "Clamp load that tightening stages produce, and how sure it is",
		Long: `Clamp load that tightening stages produce, and how sure it is.

FILE.yaml (- for standard input), quantities with their units:

  thread: M9x1                    # or M10, or 3/8-24 UNF
  class: 10.9                     # ISO 898-1, or {yield: 940 MPa, tensile: 1040 MPa}
  under_head: {outer: 13 mm, hole: 9.2 mm}
  friction: {thread: {min: 0.10, max: 0.16}, head: {min: 0.10, max: 0.16}}
  bolt: {segments: [{length: 25 mm, diameter: 8 mm}, {length: 10 mm}]}
  joint: {stiffness_ratio: 4}     # joint over bolt, or {stiffness: 1500 kN/mm}
  stages: [{torque: 20 Nm}, {angle: 130 deg}]

A segment without diameter is free thread. Also: friction.same (one draw for
thread and head), bolt.head (hexagon, socket), bolt.into (tapped, nut),
bolt.modulus, bolt.engaged_thread (if under half a diameter), joint.modulus
(of the tapped part), embedding, yield_factor, seed, and per stage tool: {iso_6789: II A}, or {tolerance_percent: 3},
{angle: 2 deg}, {stretch: 5 µm}; stages may be stretch: 0.15 mm, too.

min and max are the 2.5 and 97.5 % quantiles, likely the median. A calculation,
not an approval: the manufacturer's current service information prevails.`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return a.preload(args[0]) },
	}, "  witnessmark preload rodbolt.yaml\n  witnessmark preload rodbolt.yaml --json")
}

func (a *app) preload(file string) error {
	text, err := a.readFile(file, 64<<10)
	if err != nil {
		return err
	}
	c, err := preloadCase(text)
	if err != nil {
		return usagef("%s: %w", file, err)
	}
	result, err := preloadOf(c)
	if err != nil {
		return usagef("%s: %w", file, atPlace(text, err))
	}
	return couldNot(a.emit(result, func(w io.Writer) { printPreload(w, result) }))
}

// readFile reads a file of at most limit bytes; - is standard input.
func (a *app) readFile(name string, limit int64) ([]byte, error) {
	in := a.in
	if name != "-" {
		f, err := os.Open(name)
		if err != nil {
			return nil, couldNot(err)
		}
		defer f.Close()
		in = f
	}
	text, err := io.ReadAll(io.LimitReader(in, limit+1))
	if err != nil {
		return nil, couldNot(err)
	}
	if int64(len(text)) > limit {
		return nil, usagef("%s: over %d bytes; is this the right file?", name, limit)
	}
	return text, nil
}

// preloadCase reads the YAML of a case.
func preloadCase(text []byte) (fastener.Case, error) {
	var y preloadYAML
	if strings.TrimSpace(string(text)) == "" {
		return fastener.Case{}, errors.New("the file is empty; see witnessmark help preload")
	}
	if err := decodeYAML(text, &y); err != nil {
		return fastener.Case{}, err
	}
	c, err := y.toCase()
	return c, atPlace(text, err)
}

// decodeYAML decodes strictly, and turns a panic of the library into an error.
func decodeYAML(text []byte, into any) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("this can't be read as YAML (%v); look at the indentation and the quotes", p)
		}
	}()
	if err := plainYAML(text); err != nil {
		return err
	}
	if err := yaml.UnmarshalWithOptions(text, into, yaml.Strict()); err != nil {
		return yamlProblem(err)
	}
	return nil
}

func (y *preloadYAML) toCase() (fastener.Case, error) {
	c := fastener.Case{
		BearingOuter:   y.UnderHead.Outer.q.MM(),
		BearingHole:    y.UnderHead.Hole.q.MM(),
		FrictionThread: y.Friction.Thread.Spread,
		FrictionHead:   y.Friction.Head.Spread,
		SameFriction:   y.Friction.Same,
		JointStiffness: y.Joint.Stiffness.Spread,
		StiffnessRatio: y.Joint.Ratio.Spread,
		YieldFactor:    y.YieldFac.Spread,
		Embedding:      math.NaN(),
		Seed:           y.Seed,
	}
	if c.StiffnessRatio == (fastener.Spread{}) {
		c.StiffnessRatio = y.StiffnessRatio.Spread
	}
	if c.JointStiffness.Max != 0 && c.StiffnessRatio.Max != 0 {
		return c, errors.New("joint: stiffness and stiffness_ratio are both given; leave one out")
	}
	if y.Embedding != nil {
		c.Embedding = y.Embedding.q.MM()
	}
	if y.Thread == "" {
		return c, errors.New("thread: missing; write it like M9x1, M10 or 3/8-24 UNF")
	}
	var err error
	if c.Bolt, err = y.bolt(); err != nil {
		return c, err
	}
	if c.Material, err = y.material(c.Bolt.Thread); err != nil {
		return c, err
	}
	c.Stages, err = y.stages()
	return c, err
}

func (y *preloadYAML) bolt() (fastener.Bolt, error) {
	t, err := fastener.ParseThread(string(y.Thread))
	b := fastener.Bolt{Thread: t, Modulus: mpa(y.Bolt.Modulus), MateModulus: mpa(y.Joint.Modulus), Engaged: y.Bolt.Engaged.q.MM()}
	if err != nil {
		return b, err
	}
	for _, s := range y.Bolt.Segments {
		b.Segments = append(b.Segments, fastener.Segment{Length: s.Length.q.MM(), Diameter: s.Diameter.q.MM()})
	}
	switch y.Bolt.Head {
	case "", "hexagon":
	case "socket":
		b.Head = fastener.Socket
	default:
		return b, fmt.Errorf("bolt: head %q is neither hexagon nor socket", y.Bolt.Head)
	}
	switch y.Bolt.Into {
	case "", "tapped":
	case "nut":
		b.Mate = fastener.Nut
	default:
		return b, fmt.Errorf("bolt: into %q is neither tapped nor nut", y.Bolt.Into)
	}
	return b, nil
}

func (y *preloadYAML) material(t fastener.Thread) (fastener.Material, error) {
	s := y.Class
	if s.yield == 0 && s.tensile == 0 {
		s.yield, s.tensile = mpa(y.Yield), mpa(y.Tensile)
	}
	switch given := s.yield != 0 || s.tensile != 0; {
	case given && s.class != "":
		return fastener.Material{}, errors.New("class and strengths are both given; leave one out")
	case given:
		return fastener.Material{Yield: s.yield, Tensile: s.tensile}, nil
	case s.class == "":
		return fastener.Material{}, errors.New("class: missing; give it, such as 10.9, or yield and tensile")
	}
	return fastener.PropertyClass(s.class, t.Diameter)
}

func (y *preloadYAML) stages() ([]fastener.Stage, error) {
	var list []fastener.Stage
	for i, s := range y.Stages {
		if err := s.checkKind(); err != nil {
			return nil, fmt.Errorf("stage %d: %w", i+1, err)
		}
		st := fastener.Stage{TorqueNm: s.Torque.q.NewtonMetres(), AngleDeg: s.Angle.q.Degrees(), StretchMM: s.Stretch.q.MM()}
		if s.Tool != nil {
			if err := s.Tool.into(&st); err != nil {
				return nil, fmt.Errorf("stage %d: tool: %w", i+1, err)
			}
		}
		list = append(list, st)
	}
	return list, nil
}

// checkKind holds a stage's kind, where it is given, against what it has.
func (s yamlStage) checkKind() error {
	kind := map[[3]bool]yamlText{
		{true, false, false}: "torque", {false, true, false}: "angle", {true, true, false}: "torque_angle", {false, false, true}: "stretch",
	}[[3]bool{s.Torque.q != 0, s.Angle.q != 0, s.Stretch.q != 0}]
	if s.Kind == "" || s.Kind == kind {
		return nil
	}
	return fmt.Errorf("kind is %s, and it has what a stage of kind %q has; correct one of the two", s.Kind, kind)
}

func (t *yamlTool) into(st *fastener.Stage) error {
	st.TorqueTolerance = t.Tolerance / 100
	st.AngleTolerance = t.Angle.q.Degrees()
	st.StretchTolerance = t.Stretch.q.MM()
	if t.ISO6789 == "" {
		return nil
	}
	if t.Tolerance != 0 {
		return errors.New("iso_6789 and tolerance_percent are both given; leave one out")
	}
	class, err := fastener.ParseToolClass(string(t.ISO6789))
	if err != nil {
		return err
	}
	if st.TorqueNm == 0 {
		return errors.New("iso_6789 is about torque, and this stage has none; give angle or stretch instead")
	}
	st.TorqueTolerance, err = class.Tolerance(st.TorqueNm)
	return err
}

// preloadOf computes the case and the same bolt by torque alone.
func preloadOf(c fastener.Case) (preloadResult, error) {
	r, err := fastener.Preload(c)
	if err != nil {
		return preloadResult{}, err
	}
	out := preloadResult{
		PitchDiameter: r.PitchDiameter, StressArea: r.StressArea,
		Snug: scaled(r.Snug, 1e-3), Final: withLikely(r),
		Yield: r.Yield / 1000, Utilisation: minMax(r.Utilisation), Service: minMax(r.Service),
		PastYield: r.PastYield, PastShare: 100 * r.PastYieldShare,
		Stretch: scaled(r.Stretch, 1000), Permanent: scaled(r.Permanent, 1000),
		ScatterRatio: r.ScatterRatio, Assumptions: r.Assumptions, Notes: r.Notes,
	}
	if out.Notes == nil {
		out.Notes = []string{}
	}
	if byTorque(c.Stages) {
		return out, nil
	}
	alone, torque, err := fastener.TorqueAlone(c)
	if err != nil {
		return preloadResult{}, err
	}
	out.TorqueAlone = &torqueAlone{torque, withLikely(alone), alone.ScatterRatio}
	return out, nil
}

func byTorque(stages []fastener.Stage) bool {
	for _, s := range stages {
		if s.AngleDeg > 0 || s.StretchMM > 0 {
			return false
		}
	}
	return true
}

func scaled(i fastener.Interval, k float64) minMax { return minMax{i.Min * k, i.Max * k} }

func withLikely(r fastener.Result) minMaxMid {
	return minMaxMid{r.Final.Min / 1000, r.Final.Max / 1000, r.Likely / 1000}
}

func printPreload(w io.Writer, r preloadResult) {
	fmt.Fprintf(w, "Clamp load    %.1f to %.1f kN, likely %.1f kN (scatter ratio %.2f)\n", r.Final.Min, r.Final.Max, r.Final.Likely, r.ScatterRatio)
	fmt.Fprintf(w, "Snug          %.1f to %.1f kN\n", r.Snug.Min, r.Snug.Max)
	past := "not past yield"
	if r.PastYield {
		past = "past yield"
	}
	fmt.Fprintf(w, "Yield         %.1f kN while tightening; used %.0f to %.0f %% of the least yield strength; %s\n", r.Yield, r.Utilisation.Min, r.Utilisation.Max, past)
	fmt.Fprintf(w, "Stretch       %.0f to %.0f µm, of which %.0f to %.0f stay\n", r.Stretch.Min, r.Stretch.Max, r.Permanent.Min, r.Permanent.Max)
	fmt.Fprintf(w, "Thread        d2 %.4f mm, stress area %.2f mm²\n", r.PitchDiameter, r.StressArea)
	if t := r.TorqueAlone; t != nil {
		fmt.Fprintf(w, "Torque alone  %.1f N·m would give %.1f to %.1f kN (scatter ratio %.2f)\n", t.Torque, t.Final.Min, t.Final.Max, t.ScatterRatio)
	}
	fmt.Fprintf(w, "Assumed: %s.\n", strings.Join(r.Assumptions, "; "))
	for _, n := range r.Notes {
		fmt.Fprintf(w, "Note: %s.\n", n)
	}
	fmt.Fprintln(w, "A calculation, not an approval.")
}
