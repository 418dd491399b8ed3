// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"time"

	"witnessmark/fastener"
	"witnessmark/internal/draw"
	"witnessmark/internal/job"
	"witnessmark/record"
)

// MaxTraceFile is the largest file of traces that is taken, in bytes: a
// million rows are about 20 MB.
const MaxTraceFile = 32 << 20

// TraceUpload is a file of traces from a digital wrench.
type TraceUpload struct {
	ID, Fastener, Name, Remark string
	Columns                    fastener.Columns // empty: found by their usual names
	Data                       []byte
	DeviceTime                 time.Time
}

// KeepTraces reads a file of traces, keeps it beside the log and enters what
// it shows. What can't be read is refused with its line.
func (s *Shop) KeepTraces(ctx context.Context, person, jobID string, in TraceUpload) (record.Entry, bool, error) {
	if e, ok, err := s.kept(ctx, Subject(jobID), in.ID); ok || err != nil {
		return e, ok, err
	}
	l, err := s.Job(ctx, jobID)
	if err != nil {
		return record.Entry{}, false, err
	}
	body, err := readTraces(l, in)
	if err != nil {
		return record.Entry{}, false, &Refusal{Cause: err}
	}
	c, err := s.store.PutBlob(ctx, record.Blob{Data: in.Data})
	if err != nil {
		return record.Entry{}, false, fmt.Errorf("shop: keep traces: %w", err)
	}
	body.File = string(c)
	return s.Append(ctx, person, Input{ID: in.ID, Subject: Subject(jobID), DeviceTime: in.DeviceTime, Kind: "trace_kept", Body: body})
}

func readTraces(l *Loaded, in TraceUpload) (job.TraceKept, error) {
	body := job.TraceKept{Fastener: in.Fastener, Name: in.Name, Remark: in.Remark}
	if l.Basis.Sheet == nil {
		return body, errors.New("the job has no engine sheet, so the file's fasteners have no names: adopt the sheet first")
	}
	f, ok := l.Basis.Sheet.Fastener(in.Fastener)
	if !ok {
		return body, fmt.Errorf("fastener %q is not in the engine sheet: choose one of it", in.Fastener)
	}
	switch {
	case len(in.Data) == 0:
		return body, errors.New("no file was sent: choose the wrench's file")
	case len(in.Data) > MaxTraceFile:
		return body, fmt.Errorf("the file has %d MB, more than %d: split it, or send fewer rows", len(in.Data)>>20, MaxTraceFile>>20)
	}
	file, err := fastener.ReadTraces(bytes.NewReader(in.Data), in.Columns)
	if err != nil {
		return body, fmt.Errorf("the traces can't be read: %w", err)
	}
	if n := in.Columns; n != (fastener.Columns{}) {
		body.Columns = []string{n.Angle, n.Torque, n.Fastener}
	}
	body.Rows, body.Notes = file.Rows, file.Notes
	body.Traces = job.TracesOf(fastener.ReadSet(file.Traces), f, l.Basis.Sheet)
	return body, nil
}

func namedColumns(names []string) fastener.Columns {
	if len(names) != 3 {
		return fastener.Columns{}
	}
	return fastener.Columns{Angle: names[0], Torque: names[1], Fastener: names[2]}
}

// TraceChart draws the file of traces of an entry; ok is false when it was
// erased. It is read once and remembered.
func (s *Shop) TraceChart(ctx context.Context, l *Loaded, set job.TraceSetView) (c draw.Chart, ok bool, err error) {
	s.mu.Lock()
	c, ok = s.charts[set.File]
	s.mu.Unlock()
	if ok {
		return c, true, nil
	}
	for _, k := range l.State.Traces {
		if k.At.Seq != set.Seq {
			continue
		}
		b, err := s.store.Blob(ctx, record.Commitment(k.Body.File))
		if errors.Is(err, ErrErased) {
			return c, false, nil
		}
		if err != nil {
			return c, false, fmt.Errorf("shop: traces: %w", err)
		}
		file, err := fastener.ReadTraces(bytes.NewReader(b.Data), namedColumns(k.Body.Columns))
		if err != nil {
			return c, false, fmt.Errorf("shop: traces of entry %d: %w", set.Seq, err)
		}
		c = job.TraceChart(set.Title, file.Traces, k.Body, l.Basis.Namer())
		s.mu.Lock()
		if len(s.charts) >= maxHeld {
			clear(s.charts)
		}
		s.charts[set.File] = c
		s.mu.Unlock()
		return c, true, nil
	}
	return c, false, nil
}
