// SPDX-License-Identifier: Apache-2.0

package web

import (
	"bytes"
	"net/http"
	"strings"

	"witnessmark/internal/report"
)

// reportPage shows the printable report, which carries its own style.
func (s *server) reportPage(q *request) error {
	html, err := s.report(q)
	if err != nil {
		return err
	}
	h := q.w.Header()
	h.Set("Content-Security-Policy", strings.Replace(contentPolicy, "style-src 'self'", "style-src "+report.StyleHash(), 1))
	h.Set("Content-Type", "text/html; charset=utf-8")
	q.w.WriteHeader(http.StatusOK)
	_, err = q.w.Write(html)
	return err
}

func (s *server) report(q *request) ([]byte, error) {
	l, err := q.job()
	if err != nil {
		return nil, err
	}
	d, err := report.Gather(q.Context(), s.shop, l)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := d.HTML(q.Context(), &b); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
