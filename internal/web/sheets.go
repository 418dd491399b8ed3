// SPDX-License-Identifier: Apache-2.0

package web

import (
	"errors"
	"io"
	"net/http"
	"regexp"
	"slices"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/record"
)

// sheetsView is the list of engine sheets with the form that adds one.
type sheetsView struct {
	formView
	Rows     []sheetRow
	May      bool
	Problems []string // what was wrong in the file, line by line
}

func (s *server) sheetsPage(q *request) error {
	return s.showSheets(q, http.StatusOK, nil, "")
}

func (s *server) showSheets(q *request, status int, problems []string, problem string) error {
	all, err := s.shop.Sheets(q.Context())
	if err != nil {
		return err
	}
	v := sheetsView{formView: q.oneOf(nil, "sheet"), May: q.person.Role == job.Manager, Problems: problems}
	v.Problem = problem
	for _, x := range all {
		v.Rows = append(v.Rows, sheetRowOf(x))
	}
	return q.page(status, frame{Title: "Engine sheets"}, sheetsBody(v))
}

var errNoSheet = errors.New("nothing was sent: choose a file, or paste the sheet into the field")

// addSheet takes a sheet as a file or as text. It is kept by its content, so
// sending it twice is the same as once.
func (s *server) addSheet(q *request) error {
	name, data, err := q.sheetFile()
	if err != nil {
		return q.again(err, func(status int, problem string) error { return s.showSheets(q, status, nil, problem) })
	}
	info, err := s.shop.AddSheet(q.Context(), name, data)
	if err == nil {
		return q.see("/sheets/" + info.Hash)
	}
	t := troubleOf(err)
	if t.Status != http.StatusUnprocessableEntity || q.wantsJSON() {
		return err
	}
	return s.showSheets(q, t.Status, strings.Split(strings.TrimSpace(err.Error()), "\n"), "The sheet has problems. Nothing was kept; correct the file and send it again.")
}

func (q *request) sheetFile() (name string, data []byte, err error) {
	if err := q.ParseMultipartForm(maxForm); err != nil && !errors.Is(err, http.ErrNotMultipart) {
		return "", nil, err
	}
	file, head, err := q.FormFile("file")
	if err == nil {
		defer file.Close()
		if head.Size > 0 {
			data, err = io.ReadAll(file)
			return head.Filename, data, err
		}
	}
	if text := q.FormValue("text"); strings.TrimSpace(text) != "" {
		return "sheet.yaml", []byte(strings.ReplaceAll(text, "\r\n", "\n")), nil
	}
	return "", nil, &shop.Refusal{Cause: errNoSheet}
}

// sheetPage is one sheet to read.
func (s *server) sheetPage(q *request) error {
	info, err := q.sheetInfo()
	if err != nil {
		return err
	}
	return q.page(http.StatusOK, frame{Title: info.Sheet.Family + " · Engine sheet"}, sheetBody(viewSheet(info.Hash, info.Sheet)))
}

// sheetBytes is the sheet's file as it came.
func (s *server) sheetBytes(q *request) error {
	info, err := q.sheetInfo()
	if err != nil {
		return err
	}
	q.w.Header().Set("Content-Type", "application/yaml")
	q.w.Header().Set("Content-Disposition", `attachment; filename="`+fileName(info.Sheet.Family)+`.yaml"`)
	_, err = q.w.Write(info.Sheet.Bytes())
	return err
}

func (q *request) sheetInfo() (shop.SheetInfo, error) {
	hash := q.PathValue("hash")
	if _, err := record.ContentHash(hash).Hex(); err != nil {
		return shop.SheetInfo{}, errNotFound
	}
	sheet, err := q.server.shop.Sheet(q.Context(), hash)
	if err != nil {
		return shop.SheetInfo{}, errNotFound
	}
	return shop.SheetInfo{Hash: hash, Sheet: sheet}, nil
}

var notInName = regexp.MustCompile(`[^A-Za-z0-9._-]+`)

func fileName(s string) string {
	if s = strings.Trim(notInName.ReplaceAllString(s, "-"), "-."); s == "" {
		return "sheet"
	}
	return s
}

// pathWords turns a place in a sheet into words.
func pathWords(path string) string {
	return sentenceStart(strings.ReplaceAll(strings.ReplaceAll(path, "_", " "), ".", ", "))
}

func sortFacts(f []fact) {
	slices.SortFunc(f, func(a, b fact) int { return strings.Compare(a.Name, b.Name) })
}

// shortHash is enough of a hash for a person to compare.
func shortHash(h string) string {
	_, digits, _ := strings.Cut(h, ":")
	return digits[:min(12, len(digits))]
}
