// SPDX-License-Identifier: Apache-2.0

package report

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"slices"
	"strings"
	"sync"
	"testing"

	"witnessmark/internal/draw"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// fixture is a small invented job with something in every section, written
// down here so that no change elsewhere moves it.
func fixture(t testing.TB) Data {
	t.Helper()
	value := func(text, word, state, chance string) *job.ValueView {
		return &job.ValueView{Text: text, Unit: "mm", WithUnit: text + " mm", Spread: "±0.006 mm", Limit: "0.030 to 0.060 mm",
			Verdict: job.WordView{Word: word, State: state}, Chance: chance, Notes: []string{"Confidence 80 %, set by the engine sheet."}}
	}
	point := func(v float64, state string) *draw.Point {
		return &draw.Point{Value: v, Low: v - 0.006, High: v + 0.006, State: state}
	}
	line := func(seq int64, kind, title, words string) job.Line {
		return job.Line{Seq: seq, Kind: kind, Title: title, Words: words, Now: words, Person: "A. Nobody", Received: "2026-02-03 09:15"}
	}
	corrected := line(5, "reading", "Reading", "Position 1 (A), as fitted, clearance: 0.083 mm.")
	corrected.Now = "Position 1 (A), as fitted, clearance: 0.038 mm."
	corrected.Replaced = []job.Line{line(6, "correction", "Correction", "Entry 5 corrected.")}
	key := "nowhere-works+00000000+AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA="
	d := Data{
		Workshop: "Nowhere Works (invented)", Program: "0.0-test", Printed: "2026-04-06 09:30", PrintedAt: printed,
		Purpose: "Big-end bearings renewed", Opened: "2026-02-03 08:00", HandedOver: "2026-02-05 16:00", HandoverRemark: "Running-in explained.",
		Summary: []string{"1 of 2 connecting-rod bearings were measured as fitted and fit.", "Position 2: not proven.", "Main bearings were not inspected."},
		Owner:   shop.Contact{Name: "Owner (invented)"}, Vehicle: shop.VehicleDetails{Plate: "INV 1", Identity: "INVENTED000000001"},
		Advice: []string{"No full load until 1500 km."}, Cautions: []string{"Hot oil burns. Let the engine cool below 50 °C."},
		Differences: []string{"Position 2 is not proven; at the handover it fitted."},
		Sheet: SheetView{Family: "XX1", Title: "Engine (invented)", Edition: "1", Hash: "sheet:0000",
			Limits: []LimitView{{"Clearance, new", "0.030 to 0.060 mm", "book, p. 1", "not checked"}}},
		Instruments: []InstrumentView{{ID: "SG-1", Title: "Strip gauge", Details: "scale 0.025 and 0.038 mm", Uses: 2, Last: "2026-02-03",
			Standing: job.WordView{Word: "needs no calibration", State: "soft"}}},
		Tightenings: []job.TighteningView{
			{Fastener: "Rod bolt", Place: "position 1 (A), bolt a", Set: "new", State: job.BoltFinal, Words: "finally tightened", Stages: []job.StageView{{Stage: "turn · 90°", Tool: "AG-1", Person: "A. Nobody", Time: "2026-02-04 10:00"}}},
			{Fastener: "Rod bolt", Place: "position 1 (A), bolt b", Set: "new", State: job.BoltFinal, Words: "finally tightened", Stages: []job.StageView{{Stage: "turn · 90°", Tool: "AG-1", Person: "A. Nobody", Time: "2026-02-04 10:00"}}},
			{Fastener: "Sump bolt", Place: "all", Words: "no stage on record"}},
		Lines: []job.Line{
			line(1, "job_opened", "Job opened", "Job 0001 opened."), line(2, "arrival", "Arrival", "Arrived: odometer 100 km."),
			line(3, "wear_seen", "Wear seen", "Position 1 (A), upper shell: wear 1 of 4."), line(4, "debris_found", "Debris found", "Debris, filter: none."),
			corrected, line(6, "correction", "Correction", "Entry 5 corrected. Reason: two digits swapped."),
			line(7, "shell_fitted", "Shells fitted", "Position 1 (A): shells fitted."), line(8, "run_step", "Run step", "Run: first start."),
			line(9, "note", "Note", "Note: µ ± ≤ ° ⌀ ’ are shown, and so is a \"quote\"."), line(10, "handover", "Handover", "Handed over."),
			line(12, "follow_up", "Follow-up", "Follow-up, call: quiet."),
		},
		Photos: []Photo{{Seq: 3, Position: 1, Place: "position 1 (A)", Title: "Wear seen", Words: "Position 1 (A), upper shell: wear 1 of 4.", Person: "A. Nobody", Time: "2026-02-03 09:15",
			JPEG: picture(), Width: 480, Height: 360, Marks: []job.Mark{{Shape: "circle", X1: 0.5, Y1: 0.5, X2: 0.7, Y2: 0.5}, {Shape: "arrow", X1: 0.1, Y1: 0.1, X2: 0.4, Y2: 0.4}}},
			{Seq: 9, Title: "Note", Words: "Note.", Person: "A. Nobody", Time: "2026-02-03 09:15", Gone: goneErased}},
		Seals: []SealView{{Covers: 10, Fingerprint: "0123 4567 89ab cdef", Time: "2026-02-05 16:01", Entry: 11, Key: key, Origin: "nowhere-works/0001", Root: "0123456789abcdef" + strings.Repeat("0", 48)}},
		Key:   key, KeyPrint: "00000000",
	}
	d.View = job.View{Number: "0001", Vehicle: "Car (invented)", Odometer: "100 km", Invented: true, Unit: "mm", Limits: "0.030 to 0.060 mm",
		AllFit: "Chance that all positions fit: 70 %, taking the readings as independent.", Mains: "Main bearings not inspected.", Notices: []string{job.InventedNotice},
		Positions: []job.PositionView{
			{Position: 1, Cylinder: "A", Name: "1 (A)", Found: value("0.051", "fits", "fits", ""), Fitted: value("0.038", "fits", "fits", ""), Verdict: job.WordView{Word: "fits", State: "fits"}},
			{Position: 2, Cylinder: "B", Name: "2 (B)", Fitted: value("0.057", "not proven", "unproven", "about 1 in 3 that it is over"), Verdict: job.WordView{Word: "not proven", State: "unproven"}}},
		EndFloat: value("0.140", "fits", "fits", ""),
		Checks: []job.CheckView{{Title: "Ready to close up", Ready: true, Conceded: []job.ObstacleView{{What: "Position 2 (B) reads 0.057 mm.", Conceded: "Conceded by B. Nobody: the owner was told.", RestsOn: "entry 8"}}},
			{Title: "Ready to start", Ready: true}, {Title: "Before you hand over", Standing: []job.ObstacleView{{What: "The leak check is not on record.", How: "Do it and record it."}}}},
		Settings: []job.SettingView{{Title: "Chain slack", Read: "3.0 mm", Limit: "2.0 to 4.0 mm", Source: "book, p. 2", Verdict: job.WordView{Word: "within", State: "fits"}}},
		Strip: draw.Strip{Title: "Big-end clearance along the crank", Unit: "mm", Decimals: 3, Min: &draw.Limit{Value: 0.03}, Max: &draw.Limit{Value: 0.06},
			Columns: []draw.StripColumn{{Position: 1, Cylinder: "A", Throw: 1, AsFound: point(0.051, "fits"), AsFitted: point(0.038, "fits"), Verdict: "fits"},
				{Position: 2, Cylinder: "B", Throw: 2, AsFitted: point(0.057, "unproven"), Verdict: "not proven"}}},
	}
	return d
}

// picture is a small picture with enough in it to be as large as a photo.
var picture = sync.OnceValue(func() []byte {
	const w, h = 480, 360
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	seed := uint32(1)
	for y := range h {
		for x := range w {
			seed = seed*1664525 + 1013904223
			n := uint8(seed >> 27)
			img.Set(x, y, color.RGBA{uint8(x/2) + n, uint8(y/2) + n, 90 + n, 255})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 88}); err != nil {
		panic(err)
	}
	return b.Bytes()
})

// crowded is a job of sixteen positions in which every text is as long as it
// may be, or longer than a line in one word.
func crowded(t testing.TB) Data {
	few, d := fixture(t), fixture(t)
	long := strings.Repeat("long words of somebody who writes everything down ", 9)
	word := strings.Repeat("Donaudampfschifffahrtsgesellschaft", 7)
	d.Purpose, d.Owner.Name, d.View.Vehicle, d.Workshop = long, word, word, word
	d.View.Notices = append(d.View.Notices, "3 entries are of a kind that this version does not know. They are kept and shown in the record.")
	d.Summary = append(d.Summary, long, word)
	d.Advice = append(d.Advice, long, word, long)
	d.Cautions = append(d.Cautions, long, word)
	for i := range 3 {
		for j := range 14 {
			d.View.Checks[i].Ready = false
			d.View.Checks[i].Standing = append(d.View.Checks[i].Standing, job.ObstacleView{What: fmt.Sprintf("%d: %s", j, long), How: word})
		}
	}
	d.View.Positions, d.View.Strip.Columns, d.Tightenings = nil, nil, nil
	for i := 1; i <= 16; i++ {
		p := few.View.Positions[i%2]
		c := few.View.Strip.Columns[i%2]
		p.Name, p.Position, c.Position, c.Throw = fmt.Sprintf("%d (B%d)", i, i), i, i, (i+1)/2
		d.View.Positions, d.View.Strip.Columns = append(d.View.Positions, p), append(d.View.Strip.Columns, c)
		for _, b := range []string{"a", word} {
			tt := few.Tightenings[0]
			tt.Place, tt.Stages = fmt.Sprintf("position %d (B%d), bolt %s", i, i, b), append(slices.Clone(tt.Stages), job.StageView{Stage: long, Tool: word, Person: long, Time: "2026-02-04 10:00"})
			d.Tightenings = append(d.Tightenings, tt)
		}
	}
	for i := range d.Lines {
		d.Lines[i].Now, d.Lines[i].Person = d.Lines[i].Now+" "+word+" "+long, word
	}
	d.Lines = append(d.Lines, job.Line{Seq: 99, Kind: "note", Title: "Note", Now: strings.Repeat("one line of ten thousand\n", 600) + "漢字 🛢 \x00 \xff\xfe end", Person: "A. Nobody", Received: "2026-02-03 09:15"})
	for i := range d.Photos {
		d.Photos[i].Words, d.Photos[i].Person = long, word
	}
	return d
}
