// SPDX-License-Identifier: Apache-2.0

package web

import (
	"encoding/json"
	"errors"
	"net/http"
	"strconv"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/record"
)

// recordView is the record itself: every entry, corrections beside what they
// replace.
type recordView struct {
	Job   string
	Lines []recordLine
	Kept  string
	Seals []sealLine
	// MayErase is for managers.
	MayErase bool
}

type recordLine struct {
	job.Line
	Beside string // words kept beside the log
	Shown  []photoView
}

type sealLine struct {
	Seq         int64
	Covers      int64
	Fingerprint string
	Time        string
}

func (s *server) recordPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	v := recordView{Job: l.ID, Kept: q.lastKept(l), Seals: seals(l), MayErase: q.person.Role == job.Manager}
	for _, line := range l.Record() {
		r := recordLine{Line: line}
		for _, c := range line.Photos {
			r.Shown = append(r.Shown, photoView{Job: l.ID, Commitment: c, Caption: line.Now, Seq: line.Seq})
		}
		if line.Commitment != "" && line.Kind == "note" {
			if r.Beside, err = s.shop.Words(q.Context(), line.Commitment); err != nil {
				return err
			}
		}
		v.Lines = append(v.Lines, r)
	}
	return q.showForm(http.StatusOK, l, "Record", "", recordBody(v))
}

// seals lists the seals with what people compare.
func seals(l *shop.Loaded) []sealLine {
	var out []sealLine
	for _, e := range l.Entries {
		if e.Kind != record.KindSeal {
			continue
		}
		if seal, err := record.ParseSeal(e); err == nil {
			out = append(out, sealLine{Seq: e.Seq, Covers: seal.Size, Fingerprint: seal.Fingerprint(), Time: e.Received.In(l.Basis.Zone).Format("2006-01-02 15:04")})
		}
	}
	return out
}

// correctView is the form that corrects or withdraws one entry.
type correctView struct {
	formView
	Line   job.Line
	Fields []correctField
}

// correctField is a simple value of the entry that can be written anew.
type correctField struct {
	Name, Title, Value string
	Long               bool
}

func (s *server) correctPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showCorrect(q, http.StatusOK, l, "")
}

func (s *server) showCorrect(q *request, status int, l *shop.Loaded, problem string) error {
	line, e, err := q.entry(l)
	if err != nil {
		return err
	}
	v := correctView{formView: q.form(l), Line: line, Fields: correctable(e)}
	v.Problem, v.Key.Saw = problem, saw(l)
	if q.Method == http.MethodPost {
		v.Key.Saw = q.value("saw")
	}
	return q.showForm(status, l, "Correct entry "+count(int(line.Seq)), "", correctBody(v))
}

// entry is the one that the path names, as it is and in words.
func (q *request) entry(l *shop.Loaded) (job.Line, record.Entry, error) {
	seq := int64(q.number("seq"))
	for i, line := range l.Record() {
		if line.Seq == seq {
			return line, l.Entries[i], nil
		}
	}
	return job.Line{}, record.Entry{}, errNotFound
}

// keepCorrection keeps a correction: the entry withdrawn, or written anew with
// the fields of the form.
func (s *server) keepCorrection(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	_, e, err := q.entry(l)
	if err != nil {
		return err
	}
	body := job.Correction{Replaces: e.Seq, Reason: q.value("reason")}
	if q.value("how") != "withdraw" {
		body.Kind, body.Version = e.Kind, e.Version
		body.Body, err = rewritten(e, q)
	}
	return q.submit(l, "correction", &body, err, jobPath(l.ID)+"/record", func(status int, problem string) error {
		return s.showCorrect(q, status, l, problem)
	})
}

// correctable are the fields of an entry that a form can show: its texts,
// numbers, yes and no, and its readings as typed. Lists and the rest stay as
// they are.
func correctable(e record.Entry) []correctField {
	switch e.Kind {
	case "correction", "seal", "handover", "concession", "job_opened", "note", "details", "sheet_adopted", "pairing_adopted":
		return nil
	}
	var body map[string]json.RawMessage
	if json.Unmarshal(e.Body, &body) != nil {
		return nil
	}
	var fields []correctField
	for _, name := range keysInOrder(e.Body) {
		var text string
		var number json.Number
		var yes bool
		var read struct {
			Text string `json:"text"`
			Unit string `json:"unit"`
		}
		raw := body[name]
		f := correctField{Name: name, Title: sentenceOf(name)}
		switch {
		case json.Unmarshal(raw, &text) == nil:
			f.Value, f.Long = text, len(text) > 60
		case json.Unmarshal(raw, &yes) == nil:
			f.Value = strconv.FormatBool(yes)
		case json.Unmarshal(raw, &number) == nil:
			f.Value = number.String()
		case json.Unmarshal(raw, &read) == nil && read.Text != "":
			f.Value = read.Text
		default:
			continue
		}
		fields = append(fields, f)
	}
	return fields
}

var errUnchanged = errors.New("nothing was changed: write what is right, or withdraw the entry")

// rewritten is the entry's body with the form's fields in place of its own.
func rewritten(e record.Entry, q *request) ([]byte, error) {
	var body map[string]json.RawMessage
	if err := json.Unmarshal(e.Body, &body); err != nil {
		return nil, err
	}
	changed := false
	for _, f := range correctable(e) {
		typed := q.value("field." + f.Name)
		if _, sent := q.Form["field."+f.Name]; !sent || typed == f.Value {
			continue
		}
		raw, err := like(body[f.Name], typed)
		if err != nil {
			return nil, err
		}
		body[f.Name], changed = raw, true
	}
	if !changed {
		return nil, errUnchanged
	}
	return json.Marshal(body)
}

// canCorrect is false for what a correction can't mend.
func canCorrect(l recordLine) bool {
	switch l.Kind {
	case record.KindSeal, "job_opened":
		return false
	}
	return !l.Unknown
}

func orTyped(typed map[string]string, name, old string) string {
	if t, ok := typed[name]; ok {
		return t
	}
	return old
}
