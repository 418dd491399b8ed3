// SPDX-License-Identifier: Apache-2.0

package api_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"net/http"
	"reflect"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/engine"
	"witnessmark/internal/api"
	"witnessmark/internal/api/client"
	"witnessmark/internal/job"
	"witnessmark/record"
)

func decode(data []byte, into any) error {
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber() // every digit counts
	return d.Decode(into)
}

// The assessment that is sent is the one that package job makes of the entries
// that are sent, whatever was entered: to the last digit, from nothing but
// what the interface gives.
func TestAssessmentIsOfTheEntries(t *testing.T) {
	k := newKit(t)
	c := k.as(job.Manager)
	c.HTTP = http.DefaultClient // the answers are held against the description elsewhere
	for _, id := range []string{"BG-1", "TW-1"} {
		_, err := c.AddTool(t.Context(), id, "tool_added", job.ToolAdded{ID: id, Kind: map[string]string{"BG-1": "bore_gauge", "TW-1": "torque_wrench"}[id], Title: id, NeedsCalibration: id == "TW-1"})
		k.must(err)
	}
	fewer(t, 25) // every entry is on disk before it is answered
	n := 0
	rapid.Check(t, func(r *rapid.T) {
		n++
		k.job = fmt.Sprintf("r-%d", n)
		_, err := c.OpenJob(t.Context(), api.NewJob{Number: k.job, Sheet: k.sheet})
		k.must(err)
		for range rapid.IntRange(1, 6).Draw(r, "entries") {
			kind, body, saw := k.anyEntry(r, c)
			_, err := c.Append(t.Context(), k.job, kind, body, saw)
			var p *api.Problem
			if err != nil && (!errors.As(err, &p) || p.Status >= http.StatusInternalServerError) {
				r.Fatal(err)
			}
		}
		var sent struct {
			Assessment any `json:"assessment"`
		}
		var answer []byte
		k.must(c.Send(t.Context(), http.MethodGet, "/jobs/"+k.job, nil, &answer))
		k.must(decode(answer, &sent))
		if made := k.assessed(c); !reflect.DeepEqual(made, sent.Assessment) {
			r.Fatalf("sent %v\nmade %v", sent.Assessment, made)
		}
	})
}

// fewer asks for fewer draws than usual, unless the command line says how many.
func fewer(t *testing.T, checks int) {
	t.Helper()
	f := flag.Lookup("rapid.checks")
	if f == nil || f.Value.String() != f.DefValue {
		return
	}
	if err := f.Value.Set(strconv.Itoa(checks)); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = f.Value.Set(f.DefValue) })
}

// anyEntry draws an entry; some are refused, which is as good.
func (k *kit) anyEntry(r *rapid.T, c *client.Client) (kind string, body any, saw int64) {
	position := rapid.IntRange(0, 9).Draw(r, "position")
	switch rapid.IntRange(0, 5).Draw(r, "kind") {
	case 0:
		return "wear_seen", job.WearSeen{Position: position, Half: rapid.SampledFrom([]string{"upper", "lower"}).Draw(r, "half"), Severity: rapid.IntRange(0, 5).Draw(r, "severity")}, 0
	case 1:
		return "last_look", job.LastLook{NothingLeft: rapid.Bool().Draw(r, "left"), RagsCounted: true}, 0
	case 2:
		return "stage_done", job.StageDone{Fastener: "rod_bolt", Tightening: rapid.SampledFrom([]string{job.Measuring, job.Final}).Draw(r, "tightening"), Stage: "1",
			Bolts: []job.BoltAt{{Position: position, Bolt: "A"}}, Set: "new", Tool: "TW-1"}, 0
	case 3:
		j, err := c.Job(k.Context(), k.job)
		k.must(err)
		return "correction", job.Correction{Replaces: rapid.Int64Range(2, j.Size+1).Draw(r, "replaces"), Reason: "misread"}, j.Size
	}
	value := rapid.SampledFrom([]string{"0.021", "0.030", "0.0447", "0.060", "0.0605", "0.081"}).Draw(r, "value")
	return "reading", clearance(k, rapid.SampledFrom([]string{job.AsFound, job.AsFitted}).Draw(r, "phase"), position, value), 0
}

// assessed makes the assessment again, from what is sent.
func (k *kit) assessed(c *client.Client) any {
	k.Helper()
	ctx := k.Context()
	entries, err := c.Entries(ctx, k.job, 0)
	k.must(err)
	state := job.Fold(entries)
	basis := job.Basis{Tools: job.Register{}, Workshop: job.FoldWorkshop(k.log(c, "/settings/entries")), Zone: k.shop.Zone()}
	if basis.Workshop.Confidence == 0 {
		w, err := c.Workshop(ctx)
		k.must(err)
		if !w.Assumed {
			basis.Workshop.Confidence = w.Confidence
		}
	}
	if h := state.Sheet.Sheet; h != "" { // it may have been withdrawn
		var file []byte
		k.must(c.Send(ctx, http.MethodGet, "/sheets/"+h, nil, &file))
		basis.Sheet, err = engine.Load("sheet.yaml", file)
		k.must(err)
	}
	var tools api.Tools
	k.must(c.Send(ctx, http.MethodGet, "/tools", nil, &tools))
	for _, t := range tools.Tools {
		basis.Tools[t.ID] = job.FoldTool(k.log(c, "/tools/"+t.ID+"/entries"))
	}
	data, err := json.Marshal(job.Assess(state, basis))
	k.must(err)
	var made any
	k.must(decode(data, &made))
	return made
}

func (k *kit) log(c *client.Client, path string) []record.Entry {
	k.Helper()
	var data []byte
	k.must(c.Send(k.Context(), http.MethodGet, path, nil, &data))
	var out []record.Entry
	for line := range bytes.Lines(data) {
		e, err := record.ParseLine(bytes.TrimSuffix(line, []byte("\n")))
		k.must(err)
		out = append(out, e)
	}
	return out
}
