// SPDX-License-Identifier: Apache-2.0

package web

import (
	"bytes"
	"io"
	"net/http"
	"slices"
	"strconv"

	"witnessmark/internal/report"
	"witnessmark/internal/shop"
)

// reportPDF sends the report for paper.
func (s *server) reportPDF(q *request) error {
	return s.printed(q, "report", report.Data.PDF)
}

// summaryPDF sends the owner's side alone.
func (s *server) summaryPDF(q *request) error {
	return s.printed(q, "summary", report.Data.SummaryPDF)
}

// paper is what was asked for; anything else is not found.
func (s *server) paper(q *request) (report.Options, error) {
	o := report.PaperOf(s.shop, q.value("paper"))
	if !slices.Contains(report.Papers, o.Paper) {
		return o, errNotFound
	}
	return o, nil
}

// paperWriter writes a job on paper.
type paperWriter func(report.Data, io.Writer, report.Options) error

func (s *server) printed(q *request, name string, write paperWriter) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	o, err := s.paper(q)
	if err != nil {
		return err
	}
	d, err := report.Gather(q.Context(), s.shop, l)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := write(d, &b, o); err != nil {
		return err
	}
	return q.file("application/pdf", "inline", name+"-"+fileName(l.ID)+".pdf", b.Bytes())
}

// blankSheets sends sheets to fill in by hand.
func (s *server) blankSheets(q *request) error {
	info, err := q.sheetInfo()
	if err != nil {
		return err
	}
	o, err := s.paper(q)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := report.SheetsOfShop(q.Context(), &b, s.shop, info.Sheet, o, q.value("job")); err != nil {
		return err
	}
	return q.file("application/pdf", "inline", "workshop-sheets-"+fileName(info.Sheet.Family)+".pdf", b.Bytes())
}

// bundle sends the job with everything in it, or without what is withheld.
func (s *server) bundle(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	hold := shop.Withhold{}
	for _, what := range q.URL.Query()["without"] {
		hold.Words = hold.Words || what == "words"
		hold.Photos = hold.Photos || what == "photos"
	}
	d, err := report.GatherWithout(q.Context(), s.shop, l, hold)
	if err != nil {
		return err
	}
	files, err := d.Files(q.Context(), report.PaperOf(s.shop, ""))
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := s.shop.Bundle(q.Context(), l.ID, files, hold, &b); err != nil {
		return err
	}
	return q.file("application/zip", "attachment", "job-"+fileName(l.ID)+".zip", b.Bytes())
}

// file sends a file that is whole in memory.
func (q *request) file(kind, disposition, name string, data []byte) error {
	h := q.w.Header()
	h.Set("Content-Type", kind)
	h.Set("Content-Length", strconv.Itoa(len(data)))
	h.Set("Content-Disposition", disposition+`; filename="`+name+`"`)
	q.w.WriteHeader(http.StatusOK)
	_, err := q.w.Write(data)
	return err
}
