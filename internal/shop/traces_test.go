// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"strings"
	"testing"

	"witnessmark/fastener"
	"witnessmark/internal/job"
	"witnessmark/sheets"
)

// What a wrench exports where commas are decimal, with a mojibake header, is
// understood; its bolts are named by position and letter; what can't be read
// is refused with its line.
func TestReadTraces(t *testing.T) {
	sheet, err := sheets.Named(sheets.V8)
	if err != nil {
		t.Fatal(err)
	}
	l := &Loaded{Basis: job.Basis{Sheet: sheet}}
	var b strings.Builder
	b.WriteString("Schraube;Winkel (Â°);Drehmoment (NÂ·m)\n")
	for _, name := range []string{"Pos 1 a", "01B", "2a", "9a", "free"} {
		for _, row := range []string{"0;1,0", "10;1,1", "20;7,0", "30;13,0", "40;19,0", "50;25,0", "60;31,0"} {
			b.WriteString(name + ";" + row + "\n")
		}
	}
	got, err := readTraces(l, TraceUpload{Fastener: "rod_bolt", Data: []byte(b.String())})
	if err != nil {
		t.Fatal(err)
	}
	want := []struct {
		position int
		bolt     string
	}{{1, "a"}, {1, "b"}, {2, "a"}, {0, ""}, {0, ""}}
	for i, w := range want {
		if tr := got.Traces[i]; tr.Position != w.position || tr.Bolt != w.bolt || tr.Odd {
			t.Errorf("trace %d: %+v, want %+v", i, tr, w)
		}
	}
	for name, x := range map[string]struct {
		in   TraceUpload
		says string
	}{
		"no file":     {TraceUpload{Fastener: "rod_bolt"}, "no file"},
		"no fastener": {TraceUpload{Fastener: "nail", Data: []byte("x")}, "not in the engine sheet"},
		"no columns":  {TraceUpload{Fastener: "rod_bolt", Data: []byte("a;b\n1;2\n")}, "angle and torque"},
		"backwards":   {TraceUpload{Fastener: "rod_bolt", Data: []byte("fastener,angle_deg,torque_Nm\n1a,10,5\n1a,60,25\n1a,20,26\n")}, "goes back"},
		"by hand":     {TraceUpload{Fastener: "rod_bolt", Columns: fastener.Columns{Angle: "w", Torque: "nix"}, Data: []byte("w,m\n1,2\n")}, "nix"},
		"too large":   {TraceUpload{Fastener: "rod_bolt", Data: make([]byte, MaxTraceFile+1)}, "more than 32"},
	} {
		if _, err := readTraces(l, x.in); err == nil || !strings.Contains(err.Error(), x.says) {
			t.Errorf("%s: %v, want %q", name, err, x.says)
		}
	}
}
