// SPDX-License-Identifier: Apache-2.0

package api_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"witnessmark/internal/api"
	"witnessmark/internal/api/client"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// wrench is a file of traces, one for each pair of a name and the angle at
// which it seats: 0.6 N·m a degree from there, to 130°.
func wrench(names string, seats ...int) string {
	var b strings.Builder
	b.WriteString("fastener,angle_deg,torque_Nm\n")
	for i, name := range strings.Fields(names) {
		for a := range 131 {
			fmt.Fprintf(&b, "%s,%d,%.2f\n", name, a, 1+0.6*float64(max(0, a-seats[i])))
		}
	}
	return b.String()
}

// byTurns are two fasteners under one name, row by row.
func byTurns() string {
	one, other := strings.Split(wrench("1a", 40), "\n"), strings.Split(wrench("1a", 60), "\n")
	rows := one[:1]
	for i := 1; i < len(one); i++ {
		rows = append(rows[:len(rows):len(rows)], one[i], other[i])
	}
	return strings.Join(rows, "\n")
}

// A file of traces comes in once, is read, and an odd one stands in the way; a
// file that can't be read is refused with its line and keeps nothing.
func TestTraces(t *testing.T) {
	k := newKit(t)
	c := k.as(job.Technician)
	send := func(id, of string, data string) (out api.Kept, err error) {
		q := url.Values{"id": {id}, "fastener": {of}, "name": {"w.csv"}}
		return out, c.Send(t.Context(), http.MethodPost, "/jobs/0500/traces?"+q.Encode(), []byte(data), &out)
	}
	newID := func() string {
		id, err := client.NewID()
		k.must(err)
		return id
	}
	before, err := c.Job(t.Context(), k.job)
	k.must(err)
	head := "fastener,angle_deg,torque_Nm\n"
	for name, x := range map[string]struct {
		data, says string
		status     int
	}{
		"backwards":      {head + "1a,10,5\n1a,60,25\n1a,20,26\n", `the angle goes back from 60° to 20°; give two fasteners two names`, 422},
		"begins again":   {wrench("1a 1a", 40, 60), `the angle goes back from 130° to 105°`, 422},
		"decimal commas": {head + "1a,10,0,5,1\n", "decimal commas can't be told from separators", 422},
		"no number":      {head + "1a,0,x\n", `column 3 (torque): "x" is no number`, 422},
		"no columns":     {"a;b\n1;2\n", "angle_deg and torque", 422},
		"not text":       {"\xff\xfea\x00\x01\x00", "not plain text", 422},
		"too long":       {head + strings.Repeat(" ", 32<<20), "Too large", 413},
	} {
		_, err := send(newID(), "rod_bolt", x.data)
		if p := k.refused(err, x.status, x.says); p == nil {
			t.Errorf("%s was taken", name)
		}
	}
	_, err = send(newID(), "wing_bolt", wrench("1a", 40))
	k.refused(err, 422, `"wing_bolt" is not in the engine sheet`)
	if after, err := c.Job(t.Context(), k.job); err != nil || after.Size != before.Size {
		t.Errorf("a bad file was kept: %d entries, had %d, %v", after.Size, before.Size, err)
	}

	id := newID()
	for range 2 { // sent twice, kept once
		_, err = send(id, "rod_bolt", wrench("1a 1b 2a 2b 3a", 40, 41, 40, 42, 68))
		k.must(err)
	}
	_, err = send(newID(), "rod_bolt", strings.ReplaceAll(byTurns(), "1a", "4a"))
	k.must(err)
	// Names in mojibake and decimal commas are read.
	german := strings.Replace(strings.ReplaceAll(strings.ReplaceAll(wrench("5a", 40), ",", ";"), ".", ","), "fastener;angle_deg;torque_Nm", "Bolt;Angle (Â°);Torque (NÂ·m)", 1)
	_, err = send(newID(), "rod_bolt", german)
	k.must(err)
	after, err := c.Job(t.Context(), k.job)
	k.must(err)
	if after.Size != before.Size+3 {
		t.Errorf("%d entries, want three more than %d", after.Size, before.Size)
	}
	odd := map[string]string{}
	for _, o := range k.loaded().Assessment.Obstacles {
		if o.Code == job.TraceOdd {
			odd[fmt.Sprintf("%d%s", o.Position, o.Items[0])] = o.Items[1]
		}
	}
	if len(odd) != 2 || !strings.Contains(odd["3a"], "starts late") || !strings.Contains(odd["4a"], "two fasteners under one name") {
		t.Errorf("odd: %q", odd)
	}
}

// That the vehicle stands on its wheels is an entry like any other.
func TestWheelsLoaded(t *testing.T) {
	k := newKit(t)
	c := k.as(job.Technician)
	_, err := c.Append(t.Context(), k.job, "wheels_loaded", struct{}{}, 0)
	k.refused(err, 422, "Loaded: say true when the vehicle stands on its wheels")
	yes := true
	_, err = c.Append(t.Context(), k.job, "wheels_loaded", job.WheelsLoaded{Loaded: &yes}, 0)
	k.must(err)
	if _, loaded := job.Wheels(k.loaded().State); !loaded {
		t.Error("the wheels are not loaded by the record")
	}
}

func (k *kit) loaded() *shop.Loaded {
	k.Helper()
	l, err := k.shop.Job(k.Context(), k.job)
	k.must(err)
	return l
}
