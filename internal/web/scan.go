// SPDX-License-Identifier: Apache-2.0

package web

import (
	"errors"
	"fmt"
	"net/http"
	"slices"

	"witnessmark/internal/job"
	"witnessmark/internal/photo"
	"witnessmark/internal/shop"
)

// scanView is what a code led to.
type scanView struct {
	Problem string
	Code    string
	Found   []scanHit
}

// scanHit is a part or an operation that a number stands for.
type scanHit struct{ Title, At, Path string }

// isTicked reports whether a box was ticked when the form came back.
func isTicked(f formView, name, code string) bool { return slices.Contains(f.Many[name], code) }

func (s *server) scanPage(q *request) error {
	if code := q.URL.Query().Get("code"); code != "" {
		return s.openCode(q, code)
	}
	return q.page(http.StatusOK, frame{Title: "Scan"}, scanBody(scanView{}))
}

// scan opens what a typed code or the photo of a label leads to.
func (s *server) scan(q *request) error {
	code := q.value("code")
	if code == "" && q.MultipartForm != nil && len(q.MultipartForm.File["photo"]) > 0 && q.MultipartForm.File["photo"][0].Size > 0 {
		p, err := takePhoto(q.MultipartForm.File["photo"][0])
		if err != nil {
			return q.again(err, s.scanAgain(q))
		}
		var ok bool
		if code, ok, err = photo.Code(p); err != nil {
			return err
		} else if !ok {
			return q.again(&shop.Refusal{Cause: errors.New("no code was found on the photo: go closer, so that the code fills half of it, and keep it flat and sharp")}, s.scanAgain(q))
		}
	}
	if code == "" {
		return q.again(&shop.Refusal{Cause: errors.New("nothing was scanned: scan or type a code, or take a photo of the label")}, s.scanAgain(q))
	}
	return s.openCode(q, code)
}

func (s *server) scanAgain(q *request) func(int, string) error {
	return func(status int, problem string) error {
		return q.page(status, frame{Title: "Scan"}, scanBody(scanView{Problem: problem, Code: q.value("code")}))
	}
}

// openCode leads to the item of a label of ours, to a job by its number, or
// lists the parts that have such a number.
func (s *server) openCode(q *request, code string) error {
	found, err := s.shop.Find(q.Context(), code)
	switch {
	case err != nil:
		return q.again(err, s.scanAgain(q))
	case found.Label != nil:
		return q.see(labelPath(*found.Label))
	case found.Job != "":
		return q.see(jobPath(found.Job))
	}
	v := scanView{Code: code}
	for _, h := range found.Parts {
		v.Found = append(v.Found, scanHit{Title: h.Title, At: "job " + h.Job, Path: jobPath(h.Job) + "/parts#" + anchor("part", h.Part)})
	}
	if len(v.Found) == 1 {
		return q.see(v.Found[0].Path)
	}
	if len(v.Found) == 0 {
		v.Problem = fmt.Sprintf("%q is no label of this workshop, no job, and the number of no part of an open job. Look at it again, or open the job and type the number beside the part it should be.", code)
	}
	return q.page(http.StatusOK, frame{Title: "Scan"}, scanBody(v))
}

func labelPath(l job.Label) string {
	switch l.Kind {
	case job.LabelBag:
		return jobPath(l.Job) + "/refit#" + anchor("operation", l.Item)
	case job.LabelBin:
		return jobPath(l.Job) + "/parts#" + anchor("part", l.Item)
	}
	return jobPath(l.Job)
}
