// SPDX-License-Identifier: Apache-2.0

package report

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"

	"witnessmark/internal/export"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// Tables are the papers of a job that leave as tables, and TableKinds how.
var (
	Tables     = []string{"estimate", "parts", "account"}
	TableKinds = map[string]string{"csv": "text/csv; charset=utf-8", "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"}
)

// ErrNoAgreedWork says that a job has nothing to write an estimate of.
var ErrNoAgreedWork = errors.New("the job has no agreed work of a plan yet, so there is nothing to write out: agree it first")

// Table writes one of [Tables] as one of [TableKinds]. It returns
// [ErrNoAgreedWork] for a job without agreed work, and [shop.ErrNotFound] for a
// paper or a kind that there is none of.
func Table(l *shop.Loaded, of, kind string) ([]byte, error) {
	if !slices.Contains(Tables, of) || TableKinds[kind] == "" {
		return nil, fmt.Errorf("%s.%s: %w; there are %s", of, kind, shop.ErrNotFound, strings.Join(Tables, ", "))
	}
	_, e, ok := job.Agreed(l.State, l.Basis.Plan)
	if !ok {
		return nil, ErrNoAgreedWork
	}
	t := export.Parts(e)
	switch of {
	case "estimate":
		offered, err := job.Offered(l.State, l.Basis)
		if err != nil {
			return nil, err
		}
		t = export.Estimate(l.Basis.Plan, offered)
	case "account":
		a, _, err := job.AccountOf(l.State, l.Basis)
		if err != nil {
			return nil, err
		}
		t = export.Account(a)
	}
	var b bytes.Buffer
	write := t.CSV
	if kind == "xlsx" {
		write = t.XLSX
	}
	if err := write(&b); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
