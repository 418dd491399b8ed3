// SPDX-License-Identifier: Apache-2.0

package web

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"path/filepath"

	"witnessmark/fastener"
	"witnessmark/internal/draw"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// tracesView is the files of traces on record, newest first, and the form for
// another.
type tracesView struct {
	Job       string
	Kept      string
	Problem   string
	Form      formView
	Fasteners []option
	Sets      []traceSet
}

// traceSet is one file with its chart.
type traceSet struct {
	job.TraceSetView
	Chart  draw.Chart
	Drawn  bool // the file is still there
	Lines  []traceLine
	Hidden int
}

type traceLine struct {
	job.TraceLine
	Look formView
}

func (s *server) tracesPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showTraces(q, http.StatusOK, l, "")
}

func (s *server) showTraces(q *request, status int, l *shop.Loaded, problem string) error {
	if l.Basis.Sheet == nil {
		return q.see(jobPath(l.ID) + "/sheet")
	}
	v := tracesView{Job: l.ID, Kept: q.lastKept(l), Problem: problem, Form: q.oneOf(l, "traces")}
	for _, f := range l.Basis.Sheet.Fasteners {
		v.Fasteners = append(v.Fasteners, option{f.ID, f.Title})
	}
	sets := l.View().Traces
	for i := len(sets) - 1; i >= 0; i-- {
		set := traceSet{TraceSetView: sets[i]}
		var err error
		if set.Chart, set.Drawn, err = s.shop.TraceChart(q.Context(), l, sets[i]); err != nil {
			return err
		}
		for n, line := range sets[i].Lines {
			t := traceLine{TraceLine: line}
			if line.Open {
				t.Look = q.oneOf(l, fmt.Sprintf("look-%d-%d", set.Seq, n))
			}
			set.Lines = append(set.Lines, t)
		}
		v.Sets = append(v.Sets, set)
	}
	return q.showForm(status, l, "Traces", "Assemble", tracesBody(v))
}

// keepTraces takes in a wrench's file.
func (s *server) keepTraces(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	render := func(status int, problem string) error { return s.showTraces(q, status, l, problem) }
	if err := shop.May(q.person.Role, "trace_kept"); err != nil {
		return err
	}
	name, data, err := q.sentFile("file", shop.MaxTraceFile)
	if err != nil {
		return q.again(&shop.Refusal{Cause: err}, render)
	}
	e, _, err := s.shop.KeepTraces(q.Context(), q.person.ID, l.ID, shop.TraceUpload{ID: q.value("id"), Fastener: q.value("fastener"), Name: name, Remark: q.value("remark"), Data: data,
		DeviceTime: q.deviceTime(), Columns: fastener.Columns{Angle: q.value("angle"), Torque: q.value("torque"), Fastener: q.value("bolt")}})
	if err != nil {
		return q.again(err, render)
	}
	return q.see(withKept(jobPath(l.ID)+"/traces", e.Seq))
}

// sentFile is a file of the form, bounded.
func (q *request) sentFile(field string, limit int64) (string, []byte, error) {
	if q.MultipartForm == nil || len(q.MultipartForm.File[field]) == 0 {
		return "", nil, errors.New("no file was sent: choose the wrench’s file")
	}
	h := q.MultipartForm.File[field][0]
	f, err := h.Open()
	if err != nil {
		return "", nil, fmt.Errorf("web: file: %w", err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, limit+1))
	if err != nil {
		return "", nil, fmt.Errorf("web: file: %w", err)
	}
	return filepath.Base(h.Filename), data, nil
}

// keepLooked keeps what was found at an odd trace.
func (s *server) keepLooked(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	body := job.TraceLooked{Trace: int64(q.number("trace")), Name: q.value("name"), Finding: q.value("finding")}
	return q.submit(l, "trace_looked_at", body, nil, jobPath(l.ID)+"/traces", func(status int, problem string) error {
		return s.showTraces(q, status, l, problem)
	})
}

// chartSVG draws a chart for a page.
func chartSVG(c draw.Chart, w, h float64) string {
	svg := draw.NewSVG(w, h, c.Alt())
	c.Draw(svg)
	return svg.String()
}
