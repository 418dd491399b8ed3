// SPDX-License-Identifier: Apache-2.0

package filmwork

// Result is the film of an engine, unrounded. What is computed later than the
// films themselves is nil until it is there.
type Result struct {
	SpeedRPM     float64        `json:"speed_rpm"`
	WarmUpRPM    float64        `json:"warm_up_speed_rpm"`
	InletC       float64        `json:"inlet_C"`
	WarmUpC      float64        `json:"warm_up_C"`
	ClearanceMM  float64        `json:"sheet_mid_clearance_mm"`
	LeastFilmUM  *float64       `json:"least_film_allowed_um,omitempty"`
	ModelSpread  float64        `json:"model_standard_deviation"` // relative
	PeriodDeg    float64        `json:"period_deg"`
	Oils         []Oil          `json:"oils"`
	Reference    []OilFilm      `json:"reference"` // at the sheet's middle clearance, by oil
	Positions    []PositionFilm `json:"positions"`
	Map          *Map           `json:"map,omitempty"`
	Assumed      []string       `json:"assumed"`
	Missing      []string       `json:"missing,omitempty"` // what the sheet lacks; then there is nothing else
	Middle       []Instant      `json:"-"`                 // the cycle at the middle clearance on the usual oil
	referenceRun *solved        // for what comes after
	runs         map[phase]*solved
}

// Oil is one oil that the sheet allows.
type Oil struct {
	Grade   string   `json:"grade"`
	When    string   `json:"when,omitempty"`
	Assumed bool     `json:"assumed"` // the sheet has no figures of the product
	Notes   []string `json:"notes"`
	// ReadyAtC is where it is as thin as the usual oil is at the sheet's
	// temperature for load.
	ReadyAtC *float64 `json:"ready_for_load_at_C,omitempty"`
	// HotMM2S and WarmUpMM2S are kinematic viscosities at the two inlets.
	HotMM2S    float64 `json:"hot_mm2_s"`
	WarmUpMM2S float64 `json:"warm_up_mm2_s"`
}

// PositionFilm is one position.
type PositionFilm struct {
	Position int        `json:"position"`
	Cylinder string     `json:"cylinder"`
	Found    *PhaseFilm `json:"found,omitempty"`
	Fitted   *PhaseFilm `json:"fitted,omitempty"`
	Shape    *ShapeFilm `json:"shape,omitempty"`
}

// Now is the film as the engine is: as fitted, else as found.
func (p PositionFilm) Now() *PhaseFilm {
	if p.Fitted != nil {
		return p.Fitted
	}
	return p.Found
}

// PhaseFilm is a position with one clearance.
type PhaseFilm struct {
	ClearanceMM float64   `json:"clearance_mm"`
	U           float64   `json:"standard_uncertainty_mm"`
	Censored    string    `json:"censored,omitempty"`
	Surfaces    *Surfaces `json:"surfaces,omitempty"` // nil: roughness not known
	Oils        []OilFilm `json:"oils"`
	Spread      *Spread   `json:"spread,omitempty"`
	Cycle       []Instant `json:"cycle,omitempty"` // hot, on the usual oil
}

// Surfaces is the roughness that a film is held against: Ra of journal and
// shells, each as measured or, where it was not, as the sheet has it.
type Surfaces struct {
	Roughness
	CombinedUM      float64 `json:"combined_roughness_um"`
	JournalMeasured bool    `json:"journal_measured"`
	ShellMeasured   bool    `json:"shell_measured"`
}

// OilFilm is the film on one oil.
type OilFilm struct {
	Hot    Film `json:"hot"`
	WarmUp Film `json:"warm_up"`
	// HotLowUM and HotHighUM are the ends of a grade's range; 0 for a product.
	HotLowUM  float64 `json:"hot_low_um,omitempty"`
	HotHighUM float64 `json:"hot_high_um,omitempty"`
}

// Film is one converged cycle.
type Film struct {
	MinFilmUM     float64  `json:"min_film_um"`
	AtDeg         float64  `json:"min_film_at_deg"`
	DirectionDeg  float64  `json:"direction_deg"` // from the rod towards the piston, in the sense of rotation
	Half          string   `json:"half"`          // rod or cap
	Ratio         float64  `json:"ratio_to_sheet_middle"`
	Eccentricity  float64  `json:"eccentricity_ratio_max"`
	MaxPressure   float64  `json:"max_pressure_MPa"`
	FrictionW     float64  `json:"friction_W"`
	SideFlow      float64  `json:"side_flow_mL_s"`
	TemperatureC  float64  `json:"temperature_C"`
	ViscosityMPas float64  `json:"viscosity_mPa_s"`
	Lambda        *float64 `json:"lambda,omitempty"`
	Converged     bool     `json:"converged"`
	// Failed says why there is no film, in words of package film.
	Failed string `json:"failed,omitempty"`
	// FailedKN is the load at which it failed.
	FailedKN float64 `json:"failed_load_kN,omitempty"`
}

// Held reports whether there is a film.
func (f Film) Held() bool { return f.Failed == "" }

// Instant is one moment of the cycle in the rod's frame, x to the piston, y 90°
// ahead in the sense of rotation.
type Instant struct {
	AngleDeg     float64 `json:"angle_deg"`
	X            float64 `json:"eccentricity_x"`
	Y            float64 `json:"eccentricity_y"`
	FilmUM       float64 `json:"film_um"`
	DirectionDeg float64 `json:"direction_deg"`
	Fx           float64 `json:"fx_N"`
	Fy           float64 `json:"fy_N"`
}

// ShapeFilm is what the measured form costs, by the field method on the usual
// oil, hot.
type ShapeFilm struct {
	Form    Shape   `json:"form"`
	RoundUM float64 `json:"round_um"` // the same clearance, round and straight
	AsIsUM  float64 `json:"as_measured_um"`
	WorstUM float64 `json:"worst_um"` // every difference larger by twice its spread
	Failed  string  `json:"failed,omitempty"`
}

// Spread is where the least film may lie, from the spread of clearance, oil
// temperature, load and the model.
type Spread struct {
	Samples int `json:"samples"`
	Failed  int `json:"failed"` // without a film
	// FilmUM has the least film that 0, 5 … 100 % of the samples stay under.
	FilmUM []float64 `json:"film_um_by_5_percent"`
	// Beside has the same of the ratio to the others, draw by draw: the model's
	// own doubt is common to all and falls out.
	Beside         []float64 `json:"ratio_to_others_by_5_percent"`
	BelowRoughness *float64  `json:"probability_below_roughness,omitempty"`
	BelowLimit     *float64  `json:"probability_below_limit,omitempty"`
}

// Map is the least film over clearance, speed and oil.
type Map struct {
	ClearancesMM []float64 `json:"clearances_mm"`
	SpeedsRPM    []float64 `json:"speeds_rpm"`
	// Ratio is by oil, speed and clearance, to the sheet's middle clearance on
	// its usual oil at rated speed; 0 where no film holds.
	Ratio [][][]float64 `json:"ratio_to_sheet_middle"`
}
