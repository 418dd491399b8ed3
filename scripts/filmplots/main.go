// SPDX-License-Identifier: Apache-2.0

// Command filmplots computes the convergence and comparison studies of
// docs/film.md and writes their plots and tables to docs/film. Run it from the
// top of the repository; it takes a minute or two:
//
//	go run ./scripts/filmplots
package main

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"

	"witnessmark/film"
)

const folder = "docs/film"

func main() {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		fail(err)
	}
	var doc strings.Builder
	doc.WriteString("<!-- SPDX-License-Identifier: Apache-2.0 -->\n\n# Tables of the film studies\n\nWritten by `go run ./scripts/filmplots`. The engine is invented.\n")
	for _, study := range []func(*strings.Builder) error{raimondiBoyd, boundaries, gridConvergence, stepConvergence, methods, widths, mapAccuracy, shapes, clearances, polar} {
		if err := study(&doc); err != nil {
			fail(err)
		}
	}
	if err := os.WriteFile(filepath.Join(folder, "tables.md"), []byte(doc.String()), 0o644); err != nil {
		fail(err)
	}
}

func fail(err error) {
	fmt.Fprintln(os.Stderr, "filmplots:", err)
	os.Exit(1)
}

func rpm(v float64) float64 { return v * math.Pi / 30 }
func deg(v float64) float64 { return v * 180 / math.Pi }

// engine is invented: a four-cylinder petrol engine of two litres.
func engine() film.Engine {
	return film.Engine{Crank: film.Crank{Radius: 0.0435, Rod: 0.144}, Bore: 0.0865, ReciprocatingMass: 0.52, RotatingMass: 0.42,
		Strokes: 4, Gas: film.Gas{Compression: 11, Intake: 95e3, Peak: 85e5}}
}

func engineCase(speed float64, m film.Method) (film.Case, error) {
	c, err := engine().Cycle(rpm(speed))
	return film.Case{Bearing: film.Bearing{Diameter: 0.052, Width: 0.018, Clearance: 50e-6}, Viscosity: 0.009, Speed: rpm(speed), Load: c, Method: m}, err
}
