// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"runtime"
	"strconv"
	"strings"
	"testing"
)

// points gives the rows of one fastener back.
func points(f TraceFile, i int) string {
	var b strings.Builder
	for _, p := range f.Traces[i].Points {
		fmt.Fprintf(&b, "%.6g:%.6g ", p.Angle, p.Torque)
	}
	return strings.TrimSpace(b.String())
}

func TestReadTracesForms(t *testing.T) {
	for name, c := range map[string]struct {
		file string
		cols Columns
		want string // of the first fastener
	}{
		"as documented":       {"fastener,angle_deg,torque_Nm\na,0,1.5\na,1,2.5\n", Columns{}, "0:1.5 1:2.5"},
		"another order":       {"torque_Nm,note,angle_deg,fastener\n1.5,x,0,a\n2.5,y,1,a\n", Columns{}, "0:1.5 1:2.5"},
		"byte order mark":     {"\ufefffastener,angle_deg,torque_Nm\r\na,0,1.5\r\na,1,2.5", Columns{}, "0:1.5 1:2.5"},
		"decimal commas":      {"fastener;angle_deg;torque_Nm\na;0,0;1,5\na;1,0;2,5\n", Columns{}, "0:1.5 1:2.5"},
		"tabs":                {"fastener\tangle_deg\ttorque_Nm\na\t0\t1,5\na\t1\t2.5\n", Columns{}, "0:1.5 1:2.5"},
		"quoted":              {"fastener,angle_deg,torque_Nm\n\"a, \"\"b\"\"\",\"0\",\"1,5\"\n\"a, \"\"b\"\"\",1,2.5\n", Columns{}, "0:1.5 1:2.5"},
		"spaces":              {"fastener, angle_deg, torque_Nm\n a, 0, 1.5\n\n a, 1 ,+2.5 \n", Columns{}, "0:1.5 1:2.5"},
		"mojibake":            {"Schraube;Winkel [Â°];Drehmoment [NÂ·m]\na;0;1.5\na;1;2.5\n", Columns{}, "0:1.5 1:2.5"},
		"Latin-1":             {"Schraube;Winkel (\xb0);Drehmoment (N\xb7m)\na;0;1.5\na;1;2.5\n", Columns{}, "0:1.5 1:2.5"},
		"lines before":        {"report,7\n\n,,,\nfastener,angle_deg,torque_Nm\na,0,1.5\na,1,2.5\n", Columns{}, "0:1.5 1:2.5"},
		"no fastener":         {"angle_deg,torque_Nm\n0,1.5\n1,2.5\n", Columns{}, "0:1.5 1:2.5"},
		"named":               {"Id,Target torque,Angle,Torque\na,9,0,1.5\na,9,1,2.5\n", Columns{Fastener: "Id", Torque: "Torque"}, "0:1.5 1:2.5"},
		"exact before loose":  {"fastener,target_torque,angle_deg,torque_Nm\na,9,0,1.5\na,9,1,2.5\n", Columns{}, "0:1.5 1:2.5"},
		"pound-feet, radians": {"fastener,angle (rad),torque (ft-lb)\na,0,1\na,1,2\n", Columns{}, "0:1.35582 57.2958:2.71164"},
		"blank cells":         {"fastener,angle_deg,torque_Nm\na,0,1.5\na,,\na,1,2.5\na,2\na,3,NaN\na,4,4\n", Columns{}, "0:1.5 1:2.5 4:4"},
		"same tenth":          {"fastener,angle_deg,torque_Nm\na,0.01,1\na,0.03,2\n", Columns{}, "0.02:1.5"},
		"swings back a bit":   {"fastener,angle_deg,torque_Nm\na,0,1\na,1,2\na,0.5,1.5\na,2,3\n", Columns{}, "0:1 0.5:1.5 1:2 2:3"},
		"takes a new bite":    {"fastener,angle_deg,torque_Nm\na,0,10\na,9,20\na,9,3\na,0,0\na,9,2\na,10,22\n", Columns{}, "0:10 9:20 10:22"},
		"below zero":          {"fastener,angle_deg,torque_Nm\na,-1.05,-1\na,1,2\n", Columns{}, "-1.05:-1 1:2"},
		"mixed row by row":    {"fastener,angle_deg,torque_Nm\na,0,1\nb,7,7\na,1,2\nb,8,8\n", Columns{}, "0:1 1:2"},
	} {
		f, err := ReadTraces(strings.NewReader(c.file), c.cols)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if got := points(f, 0); got != c.want {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
}

func TestReadTracesRefuses(t *testing.T) {
	const head = "fastener,angle_deg,torque_Nm\n"
	for want, file := range map[string]string{
		"no line names the columns":                               "",
		`no line names the columns angle_deg and torque`:          "a,b,c\n1,2,3\n",
		"no rows under the header on line 2":                      "x\n" + head,
		"could both be the torque":                                "fastener,angle,peak torque,end torque\n",
		"not plain text":                                          "\xff\xfef\x00a\x00",
		"line 3: column 3 (torque): \"1.2.3\" is no number":       head + "a,0,1\na,1,1.2.3\n",
		"line 2: column 2 (angle): \"0x10\" is no number":         head + "a,0x10,1\n",
		"line 2: 5 cells, the header has 3; decimal commas can't": head + "a,0,5,1,5\n",
		"the angle goes back from 10° to 3°":                      head + "a,10,5\na,3,4\n",
		"names no fasteners: are several mixed?":                  "angle_deg,torque_Nm\n10,5\n3,4\n",
		"past anything a wrench reads":                            head + "a,1e9,1\n",
		"2 of 3 rows have no angle":                               head + "a,0,1\na,,1\na,2,\n",
		"longer than":                                             head + strings.Repeat("a", maxLine+1),
		"not known here":                                          "fastener,angle,torque in oz-in\n",
	} {
		_, err := ReadTraces(strings.NewReader(file), Columns{})
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
	if _, err := ReadTraces(strings.NewReader(head+"a,0,1\n"), Columns{Fastener: "bolt no"}); err == nil || !strings.Contains(err.Error(), `no column "bolt no"; it has fastener`) {
		t.Errorf("a column that isn't there: %v", err)
	}
	if _, err := ReadTraces(io.MultiReader(strings.NewReader(head), failing{}), Columns{}); err == nil {
		t.Error("a file that can't be read gave no error")
	}
}

type failing struct{}

func (failing) Read([]byte) (int, error) { return 0, io.ErrUnexpectedEOF }

func TestReadTracesNotes(t *testing.T) {
	f, err := ReadTraces(strings.NewReader("angle_deg,torque_Nm\n0,1\n1,2\n,\n30,9\n31,9\n"), Columns{})
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"1 of 5 rows", "all rows are taken for one", "nothing between 1° and 30°"} {
		if !strings.Contains(strings.Join(f.Notes, "; "), want) {
			t.Errorf("%q is not among %q", want, f.Notes)
		}
	}
	if f.Rows != 5 || f.Skipped != 1 {
		t.Errorf("%d rows, %d skipped", f.Rows, f.Skipped)
	}
}

func TestReadTracesTooMany(t *testing.T) {
	var b strings.Builder
	b.WriteString("fastener,angle_deg,torque_Nm\n")
	for i := range maxFasteners + 1 {
		fmt.Fprintf(&b, "%d,0,1\n", i)
	}
	if _, err := ReadTraces(strings.NewReader(b.String()), Columns{}); err == nil || !strings.Contains(err.Error(), "more than 10000 fasteners") {
		t.Errorf("got %v", err)
	}
}

// Two fasteners under one name, one sitting 20° or 6° later than the other: by
// turns, at the same angles or between them, or one after the other. None is
// read as if it were one.
func TestTracesOfTwoUnderOneName(t *testing.T) {
	torque := func(angle, seats float64) float64 { return 1 + 0.6*math.Max(0, angle-seats) }
	byTurns := func(late, off float64) string {
		var b strings.Builder
		for a := 0.0; a <= 130; a++ {
			fmt.Fprintf(&b, "a,%g,%.2f\na,%g,%.2f\n", a, torque(a, 40), a+off, torque(a+off, 40+late))
		}
		return b.String()
	}
	after := func(seats ...float64) string {
		var b strings.Builder
		for _, s := range seats {
			for a := 0.0; a <= 130; a++ {
				fmt.Fprintf(&b, "a,%g,%.2f\n", a, torque(a, s))
			}
		}
		return b.String()
	}
	for name, c := range map[string]struct{ rows, err, odd, note string }{
		"by turns, same angles":     {rows: byTurns(20, 0), odd: "two fasteners under one name"},
		"by turns, between":         {rows: byTurns(20, 0.5), odd: "two fasteners under one name"},
		"by turns, nearly alike":    {rows: byTurns(6, 0.5), odd: "two fasteners under one name"},
		"begins again":              {rows: after(40, 60), err: `fastener "a": the angle goes back from 130° to 105°; give two fasteners two names`},
		"begins again, never rises": {rows: after(40, 120), note: "128 rows at angles it had passed before were read over"},
		"one":                       {rows: after(40)},
	} {
		f, err := ReadTraces(strings.NewReader("fastener,angle_deg,torque_Nm\n"+c.rows), Columns{})
		if c.err != "" || err != nil {
			if c.err == "" || err == nil || !strings.Contains(err.Error(), c.err) {
				t.Errorf("%s: %v, want %q", name, err, c.err)
			}
			continue
		}
		got := ReadSet(f.Traces)[0]
		if got.Odd != (c.odd != "") || !strings.Contains(got.Why, c.odd) {
			t.Errorf("%s: odd %t, %q; want %q", name, got.Odd, got.Why, c.odd)
		}
		if notes := strings.Join(f.Notes, "; "); c.note == "" && notes != "" || !strings.Contains(notes, c.note) {
			t.Errorf("%s: notes %q, want %q", name, notes, c.note)
		}
	}
}

// endless repeats rows of one fastener within 100°, 40 bytes at a time, for as
// long as n lasts.
type endless struct{ n, rows int }

func (e *endless) Read(p []byte) (int, error) {
	if e.rows == 0 {
		e.rows++
		return copy(p, "fastener,angle_deg,torque_Nm\n"), nil
	}
	n := 0
	for n+40 < len(p) && e.rows <= e.n {
		b := append(p[n:n:len(p)], "a,"...)
		b = strconv.AppendFloat(b, 100*float64(e.rows)/float64(e.n), 'f', 3, 64)
		b = append(b, ",7.25\n"...)
		n += len(b)
		e.rows++
	}
	if n == 0 {
		return 0, io.EOF
	}
	return n, nil
}

// TestReadTracesStreams: memory depends on degrees, not on rows.
func TestReadTracesStreams(t *testing.T) {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f, err := ReadTraces(&endless{n: 500_000}, Columns{})
	runtime.ReadMemStats(&after)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(f.Traces[0].Points); n > 1002 || f.Rows != 500_000 {
		t.Errorf("%d points of %d rows", n, f.Rows)
	}
	if mb := (after.TotalAlloc - before.TotalAlloc) >> 20; mb > 2 {
		t.Errorf("%d MB were allocated for 500,000 rows over 100°", mb)
	}
}

func TestParseNumberAsStrconv(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	for range 20_000 {
		s := strconv.FormatFloat((rng.Float64()-0.5)*math.Pow(10, float64(rng.IntN(12))), 'f', rng.IntN(18), 64)
		want, _ := strconv.ParseFloat(s, 64)
		if got, ok := parseNumber([]byte(s), false); !ok || got != want {
			t.Fatalf("%s: %v, %v; want %v", s, got, ok, want)
		}
	}
}

func FuzzParseNumber(f *testing.F) {
	for _, s := range []string{"1.5", "-0", "+7", "1e3", "1,5", ".5", "5.", "", ".", "-", "123456789012345678", "0.1234567890123456789", "0x1p3", "1_0", "inf", "nan"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got, ok := parseNumber([]byte(s), false)
		want, err := strconv.ParseFloat(s, 64)
		usable := err == nil && !math.IsInf(want, 0) && !math.IsNaN(want) && !strings.ContainsAny(s, "xXpP_") && len(s) <= 64
		if ok != usable || ok && got != want {
			t.Fatalf("%q: %v, %v; strconv has %v, %v", s, got, ok, want, err)
		}
		comma, ok2 := parseNumber([]byte(strings.Replace(s, ".", ",", 1)), true)
		if ok && strings.Count(s, ".") <= 1 && (!ok2 || comma != got) {
			t.Fatalf("%q with a comma: %v, %v", s, comma, ok2)
		}
	})
}

func FuzzReadTraces(f *testing.F) {
	f.Add("fastener,angle_deg,torque_Nm\na,0,1.5\na,1,2.5\n")
	f.Add("fastener;angle_deg;torque_Nm\na;0,0;1,5\nb;1;\n")
	f.Add("x\n\"fastener\",angle (rad),torque ft-lb\n\"a\"\"\",0,1\n\"a,1,2\n")
	f.Add("angle_deg,torque_Nm\n0,1\n10,2\n20,9\n30,19\n40,19\n50,19\n")
	f.Fuzz(func(t *testing.T, s string) {
		file, err := ReadTraces(strings.NewReader(s), Columns{})
		if err != nil {
			return
		}
		for i, r := range ReadSet(file.Traces) {
			if r.Fastener != file.Traces[i].Fastener || math.IsNaN(r.FinalTorque) || math.IsInf(r.FinalTorque, 0) {
				t.Fatalf("%+v of %q", r, s)
			}
			for _, x := range []*float64{r.SnugAngle, r.SnugTorque, r.Rate, r.YieldAngle, r.AngleFromSnug} {
				if x != nil && (math.IsNaN(*x) || math.IsInf(*x, 0)) {
					t.Fatalf("%+v of %q", r, s)
				}
			}
		}
	})
}

// million is an invented file of a million rows.
func million() []byte {
	rng := rand.New(rand.NewPCG(1, 1))
	b := []byte("fastener,angle_deg,torque_Nm\n")
	for f := range 16 {
		for i := range 62_500 {
			a := 180 * float64(i) / 62_500
			b = fmt.Appendf(b, "B%d,%.3f,%.3f\n", f+1, a, hinged(a, 2, 40, 120)+0.3*rng.NormFloat64())
		}
	}
	return b
}

func BenchmarkReadTraces(b *testing.B) {
	file := million()
	b.SetBytes(int64(len(file)))
	b.ReportAllocs()
	for b.Loop() {
		f, err := ReadTraces(bytes.NewReader(file), Columns{})
		if err != nil {
			b.Fatal(err)
		}
		if len(ReadSet(f.Traces)) != 16 {
			b.Fatal("16 fasteners went in")
		}
	}
}

// hinged is a trace without noise: rising slowly to snug, at 0.5 N·m/° to
// yield, then nearly level.
func hinged(a, start, snug, yield float64) float64 {
	t := start + 0.01*min(a, snug)
	t += 0.5 * (min(max(a, snug), yield) - snug)
	return t + 0.05*max(0, a-yield)
}
