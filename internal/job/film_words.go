// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"math"
	"strings"

	"witnessmark/internal/filmwork"
)

// FilmCaution is said wherever a film is shown.
const FilmCaution = "A calculation for comparing choices, not an approval. The comparison is good; the micrometres are good to a third or so."

// share is a part of a whole as people say it.
type share struct {
	of    float64
	words string
}

var kept = []share{{0.1, "a tenth"}, {0.2, "a fifth"}, {0.25, "a quarter"}, {1. / 3, "a third"}, {0.4, "two fifths"}, {0.5, "half"}, {0.6, "three fifths"},
	{2. / 3, "two thirds"}, {0.75, "three quarters"}, {0.8, "four fifths"}, {0.9, "nine tenths"}}

// keeps says which part of the others' film a ratio is: "two thirds of the
// film".
func keeps(ratio float64) string {
	switch {
	case ratio <= 0.07:
		return "next to none of the film"
	case ratio < 0.95:
		return nearest(kept, ratio) + " of the film"
	case ratio <= 1.05:
		return "as much film"
	case ratio < 1.9:
		return nearest([]share{{0.1, "a tenth"}, {0.2, "a fifth"}, {0.25, "a quarter"}, {1. / 3, "a third"}, {0.5, "half"}, {0.75, "three quarters"}}, ratio-1) + " more film"
	}
	return "about twice the film or more"
}

// besideThem joins a ratio and what it is to: "two thirds of the film that the
// others keep".
func besideThem(ratio float64, them string) string {
	link := " that "
	switch {
	case ratio >= 0.95 && ratio <= 1.05:
		link = " as "
	case ratio > 1.05:
		link = " than "
		if ratio >= 1.9 {
			return "twice the film that " + them + " or more"
		}
	}
	return keeps(ratio) + link + them
}

// thinner is the same as a headline.
func thinner(ratio float64) string {
	switch {
	case ratio < 0.95:
		return nearest(kept, 1-ratio) + " thinner"
	case ratio <= 1.05:
		return "as thick as the others"
	}
	return nearest(kept, min(ratio-1, 1)) + " thicker"
}

// costs says what is lost of a film of which a share is left.
func costs(left float64) string {
	switch lost := 1 - left; {
	case lost < -0.015:
		return "nothing, it even helps a little"
	case lost < 0.015:
		return "next to nothing"
	case lost < 0.07:
		return fmt.Sprintf("about %.0f %% of the film", 100*lost)
	case lost > 0.93:
		return "nearly all of the film"
	}
	return nearest(kept, 1-left) + " of the film"
}

// formText names what a form departs by, as differences of diameters in µm.
func formText(s filmwork.Shape) string {
	var parts []string
	add := func(mm float64, what string) {
		if um := math.Abs(mm) * 1e3; um >= 0.05 {
			parts = append(parts, fmt.Sprintf("%.1f µm of %s", um, what))
		}
	}
	add(s.JournalTaper, "taper over the journal")
	add(s.JournalBarrel, map[bool]string{true: "barrel", false: "hollow"}[s.JournalBarrel > 0]+" along it")
	add(s.JournalOvality, "ovality of the journal")
	add(s.BoreOvality, "ovality of the bore")
	if len(parts) == 0 {
		return "round and straight"
	}
	return list(parts)
}

func nearest(list []share, v float64) string {
	best := list[0]
	for _, s := range list {
		if math.Abs(s.of-v) < math.Abs(best.of-v) {
			best = s
		}
	}
	return best.words
}

// modelDoubt is how far the absolute film may be off: a third or so.
const modelDoubt = 1. / 3

// halves rounds micrometres to the nearest half.
func halves(um float64) float64 { return math.Round(2*um) / 2 }

// filmSize says a film to the nearest half.
func filmSize(um float64) string {
	if um < 0.25 {
		return "less than 0.5 µm"
	}
	return fmt.Sprintf("%.1f µm", halves(um))
}

// filmBand is a film with the model's doubt, to the nearest half.
func filmBand(low, high float64) string {
	lo, hi := halves(low*(1-modelDoubt)), halves(high*(1+modelDoubt))
	if lo < 0.5 {
		return fmt.Sprintf("up to %.1f µm", max(hi, 0.5))
	}
	return fmt.Sprintf("%.1f to %.1f µm", lo, hi)
}

func oilBand(f filmwork.OilFilm) string {
	if !f.Hot.Held() {
		return "no film holds"
	}
	if f.HotLowUM > 0 && f.HotHighUM > 0 {
		return filmBand(f.HotLowUM, f.HotHighUM)
	}
	return filmBand(f.Hot.MinFilmUM, f.Hot.MinFilmUM)
}

// where says on which shell the film is least.
func where(f filmwork.Film) string {
	switch d := math.Abs(f.DirectionDeg); {
	case d <= 60:
		return "on the rod’s shell"
	case d >= 120:
		return "on the cap’s shell"
	case d <= 90:
		return "on the rod’s shell, near the parting line"
	}
	return "on the cap’s shell, near the parting line"
}

func atDeg(f filmwork.Film) string { return fmt.Sprintf("%.0f°", f.AtDeg) }

// filmFailure says why there is no film and what would give one.
func filmFailure(f filmwork.Film) string {
	if f.FailedKN > 0 {
		return fmt.Sprintf("No film holds: the calculation fails at %.0f kN of load. A smaller clearance, a thicker oil that the sheet allows or less load would.", f.FailedKN)
	}
	return sentence(f.Failed)
}

// ratioText is a ratio to two digits.
func ratioText(r float64) string {
	if r <= 0 {
		return "–"
	}
	return fmt.Sprintf("%.2f", r)
}

// filmAssumptions are those that always hold, then what the sheet left open.
// What a measured form costs is computed after the films, and shown on the job's
// page only.
func filmAssumptions(r *filmwork.Result, measured *filmwork.Shape, shown bool) []string {
	form := "Round and straight parts, no misalignment: no form was measured."
	switch {
	case shown:
		form = "The orbit is that of round and straight parts without misalignment; what the measured form costs stands beside it."
	case measured != nil:
		form = "The films are those of round and straight parts without misalignment. Measured were " + formText(*measured) + "; what that costs is on the job’s film page, computed last."
	}
	out := []string{
		"Rigid parts; one viscosity all through the film; smooth flow; no grooves or oil holes; always enough oil.",
		form,
		"The oil carries off all heat of friction; a multigrade thins under shear.",
		fmt.Sprintf("Hot: oil enters at %.0f °C, %.0f rev/min. Warming up: %.0f °C, %.0f rev/min.", r.InletC, r.SpeedRPM, r.WarmUpC, r.WarmUpRPM),
		fmt.Sprintf("Likelihood: standard deviations of 5 K of oil temperature, 10 %% of load and %.0f %% of the model, the last common to all positions; assumed.", 100*r.ModelSpread),
	}
	if len(r.Assumed) > 0 {
		out = append(out, "Not in the sheet, so assumed: "+strings.Join(r.Assumed, "; ")+".")
	}
	for _, o := range r.Oils {
		if len(o.Notes) > 0 {
			out = append(out, o.Grade+", assumed: "+strings.Join(o.Notes, "; ")+".")
		}
	}
	return out
}
