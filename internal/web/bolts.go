// SPDX-License-Identifier: Apache-2.0

package web

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"witnessmark/engine"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// boltsView is every fastener of the sheet: the rod bolts position by
// position, the others one by one.
type boltsView struct {
	Job      string
	Seq      string // of what was kept last
	Kept     string
	Problem  string
	Choice   boltChoice
	Rod      *rodView
	Others   []otherView
	Wheels   *wheelsView // nil when the sheet asks nothing of the wheels
	Cautions []string
}

// rodView is the rod bolts along the crank.
type rodView struct {
	F         fastenerWords
	Sets      []option
	Torque    []toolChoice
	Angle     []toolChoice
	Stretch   []toolChoice
	Allowed   string // which bolts may measure, in the sheet's words
	Rows      []boltRow
	All       *boltTap // the same stage at every position that it is next for
	Witness   []boltTap
	WitnessOn string // positions whose mark is seen
	AllMarks  *boltTap
	PhotoKey  formKey
	Asked     []job.PhotoAsk
	Warning   string // about the tool chosen
}

// fastenerWords is what the sheet says of a fastener.
type fastenerWords struct {
	ID, Title string
	Facts     []string
	Stages    []string
	Source    string
	Unchecked bool
}

// boltRow is one position.
type boltRow struct {
	Position int
	Name     string
	Bolts    []job.BoltView
	Says     string   // what is on, in words
	Clamp    string   // clamp load that it comes to, with its spread
	Tap      *boltTap // the stage that comes next
	Again    *boltTap // begins anew although these bolts are finally tight
	Singles  []boltTap
	Loosen   *boltTap
	Read     string // page of the reading, when the cap is tight for it
	Wrong    string // page that corrects the last entry
}

// boltTap is one button: what it keeps, and what stands on it.
type boltTap struct {
	Fastener, Stage, Tool string
	Places                []string
	Label, Says           string
	Key                   formKey
}

// otherView is a fastener that does not stand at every position.
type otherView struct {
	F        fastenerWords
	Form     formView
	State    job.BoltView
	Tap      *boltTap
	Sets     []option
	Tools    []toolChoice
	Loosen   *boltTap
	Witness  *boltTap
	Wrong    string
	Cures    job.WordView // until when its sealant cures
	OnWheels bool         // tightened only with the wheels loaded
	Waits    bool         // held back until they are
}

func (s *server) boltsPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showBolts(q, http.StatusOK, l, "")
}

func (s *server) showBolts(q *request, status int, l *shop.Loaded, problem string) error {
	if l.Basis.Sheet == nil {
		return q.see(jobPath(l.ID) + "/sheet")
	}
	v := boltsView{Job: l.ID, Seq: q.URL.Query().Get("kept"), Kept: q.lastKept(l), Problem: problem,
		Cautions: stepCautions(l, "assemble", usualBolts...)}
	if f, ok := l.Basis.Sheet.RodBolts(); ok {
		v.Choice = chosen(q, l, f, s.today())
		v.Rod = s.rodView(q, l, f, v.Choice)
	}
	v.Wheels = wheelsOf(q, l)
	// What is tightened on the wheels comes last, below what says so.
	for _, onWheels := range []bool{false, true} {
		for _, f := range l.Basis.Sheet.Fasteners {
			if !f.PerPosition() && f.LoadedWheels == onWheels {
				v.Others = append(v.Others, s.otherView(q, l, f))
			}
		}
	}
	return q.showForm(status, l, "Bolts", "Assemble", boltsBody(v))
}

var usualBolts = []string{"A bolt that was tightened by angle or to yield, or that is for single use, is spent: it may measure, but it never stays in."}

// rodView puts the rod bolts into rows, in the order in which a technician
// comes to them.
func (s *server) rodView(q *request, l *shop.Loaded, f engine.Fastener, c boltChoice) *rodView {
	v := &rodView{PhotoKey: q.newKey(), Asked: l.PhotosAsked("witness_mark", 0), F: fastenerFacts(l, f), Sets: setOptions(l, f, c.Tightening), Allowed: measuringWords(f)}
	v.Torque, v.Angle, v.Stretch = stageTools(l, s.today(), f)
	v.Warning = toolWarning(c, v.Torque, v.Angle, v.Stretch)
	all := boltTap{Fastener: f.ID}
	marks := boltTap{Fastener: f.ID}
	least := len(f.Stages) + 1
	clamps := clampsAt(l)
	for _, n := range l.Basis.Sheet.AccessOrder() {
		row := s.boltRow(q, l, f, n, c)
		row.Clamp = clamps[n].Short
		next := job.Next(l.State, f, n, c.Tightening, c.Set)
		if row.Tap != nil {
			switch {
			case next.Index < least:
				least, all = next.Index, *row.Tap
				all.Places = slices.Clone(row.Tap.Places)
			case next.Index == least:
				all.Places = append(all.Places, row.Tap.Places...)
			}
		}
		s.witness(q, l, f, n, v, &marks)
		v.Rows = append(v.Rows, row)
	}
	if n := positionsIn(all.Places); n > 1 {
		all.Key, all.Label, all.Says = q.newKey(), fmt.Sprintf("%d positions at once", n), stageWords(l, f, c, least, all.Stage)
		v.All = &all
	}
	if positionsIn(marks.Places) > 1 {
		marks.Key, marks.Label = q.newKey(), fmt.Sprintf("All %d positions seen", positionsIn(marks.Places))
		v.AllMarks = &marks
	}
	return v
}

// boltRow is one position with its one tap.
func (s *server) boltRow(q *request, l *shop.Loaded, f engine.Fastener, n int, c boltChoice) boltRow {
	row := boltRow{Position: n, Name: l.Basis.Namer()(n)}
	seen := job.BoltsSeen(l.State, f, n)
	on := false
	for _, b := range seen {
		row.Bolts = append(row.Bolts, b.View())
		on = on || b.State != job.BoltNone
	}
	row.Says = placeWords(seen)
	next := job.Next(l.State, f, n, c.Tightening, c.Set)
	if !next.Done {
		tap := stageTap(q, f, next, c)
		tap.Says, tap.Label = strings.ToLower(tap.Label)+", "+tap.Says, "Position "+row.Name
		if allFinal(seen) {
			row.Again = &tap
		} else {
			row.Tap = &tap
		}
		for _, b := range next.Bolts {
			one := stageTap(q, f, next, c)
			one.Places, one.Label = []string{place(b)}, "Bolt "+b.Bolt+" only"
			row.Singles = append(row.Singles, one)
		}
	}
	if on {
		row.Loosen = &boltTap{Fastener: f.ID, Key: q.newKey(), Label: "Loosened"}
		for _, b := range seen {
			row.Loosen.Places = append(row.Loosen.Places, place(job.BoltAt{Position: n, Bolt: b.Bolt}))
		}
		row.Wrong = jobPath(l.ID) + "/record/" + strconv.FormatInt(job.LastAt(l.State, f, n), 10) + "/correct"
	}
	if next.Done && c.Tightening == job.Measuring {
		row.Read = positionPath(l.ID, n, job.AsFitted)
	}
	return row
}

// allFinal reports whether every final stage is on at a place: nothing begins
// anew there by one tap.
func allFinal(seen []job.BoltSeen) bool {
	return !slices.ContainsFunc(seen, func(b job.BoltSeen) bool { return b.State != job.BoltFinal })
}

// witness offers the mark of a position whose bolts are finally tight.
func (s *server) witness(q *request, l *shop.Loaded, f engine.Fastener, n int, v *rodView, all *boltTap) {
	if !f.WitnessMark {
		return
	}
	tap := boltTap{Fastener: f.ID, Label: "Position " + l.Basis.Namer()(n), Says: "mark across both heads seen"}
	seen := job.BoltsSeen(l.State, f, n)
	for _, b := range seen {
		if b.State == job.BoltFinal && !b.Witness {
			tap.Places = append(tap.Places, place(job.BoltAt{Position: n, Bolt: b.Bolt}))
		}
	}
	if len(tap.Places) == 0 {
		return
	}
	tap.Key = q.newKey()
	v.Witness = append(v.Witness, tap)
	all.Places = append(all.Places, tap.Places...)
}

// stageTap is the button of the stage that comes next.
func stageTap(q *request, f engine.Fastener, next job.NextStage, c boltChoice) boltTap {
	tap := boltTap{Fastener: f.ID, Stage: next.Stage.ID, Tool: c.tool(next.Stage.Kind), Key: q.newKey()}
	tap.Says = fmt.Sprintf("stage %d of %d, %s", next.Index, next.Of, asks(next.Stage))
	for _, b := range next.Bolts {
		tap.Places = append(tap.Places, place(b))
	}
	tap.Label = "Both bolts"
	switch {
	case len(next.Bolts) == 1 && next.Bolts[0].Bolt == job.AllBolts:
		tap.Label = "All"
	case len(next.Bolts) == 1:
		tap.Label = "Bolt " + next.Bolts[0].Bolt
	case len(next.Bolts) > 2:
		tap.Label = fmt.Sprintf("All %d bolts", len(next.Bolts))
	}
	return tap
}

// stageWords are those of a stage at several positions.
func stageWords(l *shop.Loaded, f engine.Fastener, c boltChoice, index int, id string) string {
	st, _ := f.Stage(id)
	of := job.Next(l.State, f, l.Basis.Sheet.AccessOrder()[0], c.Tightening, c.Set).Of
	return fmt.Sprintf("stage %d of %d, %s", index, of, asks(st))
}

func place(b job.BoltAt) string { return strconv.Itoa(b.Position) + ":" + b.Bolt }

// positionsIn counts the positions of places.
func positionsIn(places []string) int {
	seen := map[string]bool{}
	for _, p := range places {
		n, _, _ := cut(p)
		seen[n] = true
	}
	return len(seen)
}

// placesOf names the bolts of a row, as a form sends them.
func placesOf(r boltRow) string {
	var at []string
	for _, b := range r.Bolts {
		at = append(at, strconv.Itoa(r.Position)+":"+b.Bolt)
	}
	return strings.Join(at, ",")
}
