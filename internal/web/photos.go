// SPDX-License-Identifier: Apache-2.0

package web

import (
	"cmp"
	"errors"
	"fmt"
	"mime/multipart"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/internal/photo"
	"witnessmark/internal/shop"
)

// maxPhotoForm is the most that a form with photos may send: a few photos of
// the largest size. What the shop takes of one photo is less.
const maxPhotoForm = 4 * photo.MaxBytes

// limitOf is the most that a request may send. Photos come with a job’s forms,
// and of a label.
func limitOf(r *http.Request) int64 {
	if (strings.HasPrefix(r.URL.Path, "/jobs/") || r.URL.Path == "/scan") && strings.HasPrefix(r.Header.Get("Content-Type"), "multipart/form-data") {
		return maxPhotoForm
	}
	return maxForm
}

// photos takes in the photos of the form.
func (q *request) photos() ([]photo.Photo, error) {
	if q.MultipartForm == nil {
		return nil, nil
	}
	var out []photo.Photo
	for _, f := range q.MultipartForm.File["photo"] {
		if f.Size == 0 && f.Filename == "" { // the field was left empty
			continue
		}
		p, err := takePhoto(f)
		if err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	return out, nil
}

// hasFile reports whether a file was chosen.
func (q *request) hasFile(name string) bool {
	return q.MultipartForm != nil && slices.ContainsFunc(q.MultipartForm.File[name], func(f *multipart.FileHeader) bool { return f.Size > 0 })
}

func takePhoto(f *multipart.FileHeader) (photo.Photo, error) {
	file, err := f.Open()
	if err != nil {
		return photo.Photo{}, fmt.Errorf("web: photo: %w", err)
	}
	defer file.Close()
	p, err := photo.Take(file)
	var refused *photo.Refused
	if errors.As(err, &refused) {
		return photo.Photo{}, &shop.Refusal{Cause: fmt.Errorf("photo: %s. %s", refused.Why, sentence(refused.Next))}
	}
	return p, err
}

// photoView is one photo with what it shows.
type photoView struct {
	Job        string
	Commitment string
	Caption    string
	Seq        int64
	Position   int
	Erased     bool
	Marks      []job.Mark
	Remark     string
	Width      int
	Height     int
}

// photosOf are the photos of the entries that pick accepts.
func photosOf(l *shop.Loaded, pick func(job.Line) bool) []photoView {
	var out []photoView
	for _, line := range l.Record() {
		if line.Withdrawn || !pick(line) {
			continue
		}
		for _, c := range line.Photos {
			p := photoView{Job: l.ID, Commitment: c, Caption: line.Now, Seq: line.Seq, Position: line.Position}
			if m, ok := l.State.Marked[c]; ok {
				p.Marks, p.Remark = m.Body.Marks, m.Body.Remark
			}
			out = append(out, p)
		}
	}
	return out
}

// photosPage is the contact sheet of a job, or of one position with what was
// before beside what came after.
func (s *server) photosPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	position := q.number("position")
	v := contactView{Job: l.ID, Position: position}
	if position != 0 {
		v.Name = l.Basis.Namer()(position)
	}
	for _, p := range photosOf(l, func(line job.Line) bool { return position == 0 || line.Position == position }) {
		v.at(l, p)
		if after(l, p.Seq) {
			v.After = append(v.After, p)
		} else {
			v.Before = append(v.Before, p)
		}
	}
	slices.SortFunc(v.Places, func(a, b option) int { // 9 before 10
		return cmp.Or(cmp.Compare(len(a.Code), len(b.Code)), cmp.Compare(a.Code, b.Code))
	})
	return q.showForm(http.StatusOK, l, "Photos", "", contactBody(v))
}

// contactView is a contact sheet.
type contactView struct {
	Job           string
	Position      int
	Name          string
	Before, After []photoView
	Places        []option // positions that have photos
}

// at offers the position of a photo, once, on the sheet of the whole job.
func (v *contactView) at(l *shop.Loaded, p photoView) {
	o := option{strconv.Itoa(p.Position), "position " + l.Basis.Namer()(p.Position)}
	if v.Position == 0 && p.Position != 0 && !slices.Contains(v.Places, o) {
		v.Places = append(v.Places, o)
	}
}

// after reports whether an entry is about what went in, not what came out.
func after(l *shop.Loaded, seq int64) bool {
	switch l.Entries[seq-1].Kind {
	case "shell_fitted", "part_fitted", "witness_seen", "setting_made", "gear_read", "last_look", "run_step", "follow_up":
		return true
	}
	return false
}

// photoPage shows one photo full-screen, with what was drawn on it.
func (s *server) photoPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	v, err := s.onePhoto(q, l)
	if err != nil {
		return err
	}
	f := jobFrame(l, "Photo", "")
	f.Narrow = true
	return q.page(http.StatusOK, f, photoBody(v, q.newKey()))
}

func (s *server) onePhoto(q *request, l *shop.Loaded) (photoView, error) {
	c := q.PathValue("photo")
	for _, p := range photosOf(l, func(job.Line) bool { return true }) {
		if p.Commitment != c {
			continue
		}
		data, err := s.shop.Photo(q.Context(), l, c)
		if errors.Is(err, shop.ErrErased) {
			p.Erased = true
			return p, nil
		}
		if err != nil {
			return photoView{}, err
		}
		p.Width, p.Height, err = photo.Size(data)
		return p, err
	}
	return photoView{}, errNotFound
}

// photoFile sends the photo, or its small copy.
func (s *server) photoFile(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	get := s.shop.Photo
	if q.value("size") == "small" {
		get = s.shop.Thumbnail
	}
	data, err := get(q.Context(), l, q.PathValue("photo"))
	if errors.Is(err, shop.ErrErased) {
		return errNotFound
	}
	if err != nil {
		return err
	}
	h := q.w.Header()
	h.Set("Content-Type", "image/jpeg")
	h.Set("Content-Length", strconv.Itoa(len(data)))
	h.Set("Content-Disposition", "inline")
	h.Set("Content-Security-Policy", "default-src 'none'; sandbox")
	h.Set("Cache-Control", "private, max-age=86400")
	q.w.WriteHeader(http.StatusOK)
	_, err = q.w.Write(data)
	return err
}

// keepMarks keeps what was drawn on a photo, as a layer of its own.
func (s *server) keepMarks(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	marks, err := marksOf(q.Form["mark"])
	body := job.PhotoMarked{Photo: q.PathValue("photo"), Marks: marks, Remark: q.value("remark")}
	next := jobPath(l.ID) + "/photo/" + q.PathValue("photo")
	return q.submit(l, "photo_marked", body, err, next, func(status int, problem string) error {
		v, err := s.onePhoto(q, l)
		if err != nil {
			return err
		}
		f := jobFrame(l, "Photo", "")
		f.Narrow = true
		return q.page(status, f, photoBodyWith(v, q.newKey(), problem))
	})
}

// marksOf reads marks as the form writes them: "circle 0.1 0.2 0.3 0.4".
func marksOf(lines []string) ([]job.Mark, error) {
	var out []job.Mark
	for _, line := range lines {
		if strings.TrimSpace(line) == "" {
			continue
		}
		var m job.Mark
		if n, err := fmt.Sscanf(line, "%s %g %g %g %g", &m.Shape, &m.X1, &m.Y1, &m.X2, &m.Y2); err != nil || n != 5 {
			return nil, fmt.Errorf("mark %q: a mark is circle or arrow and four places", line)
		}
		out = append(out, m)
	}
	return out, nil
}
