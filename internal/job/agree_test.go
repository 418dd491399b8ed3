// SPDX-License-Identifier: Apache-2.0

package job

import (
	"slices"
	"testing"

	"witnessmark/record"
)

// Authority agrees the work; a change counts once it is accepted, with its own
// amount; one that is refused changes nothing.
func TestAuthorityAndChanges(t *testing.T) {
	consent := Consent{On: "2026-03-02", How: "spoken", Ceiling: "4600", Currency: "EUR"}
	bodies := []any{
		Opened{Number: "0412"},
		AuthorityGiven{Consent: consent, Want: []string{"rod_bearings", "engine_mounts"}, Total: "4213.38", Refused: []string{"rack_gaiters"}},
		ChangeFound{Title: "Cooler full of debris", Why: "Metal in the filter", Add: []string{"cooler"}, Price: "310.00", Currency: "EUR"},
		ChangeFound{Title: "Mounts are sound", Why: "Looked at", Remove: []string{"engine_mounts"}, Price: "-250.00", Currency: "EUR"},
		ChangeAnswered{Change: 3, Answer: "accepted", Consent: Consent{On: "2026-03-03", How: "spoken", Ceiling: "350", Currency: "EUR"}},
		ChangeAnswered{Change: 4, Answer: "refused", Consent: Consent{On: "2026-03-03", How: "spoken"}},
	}
	kinds := []string{"job_opened", "authority_given", "change_found", "change_found", "change_answered", "change_answered"}
	var entries []record.Entry
	for i, b := range bodies {
		p, err := Propose("job/0412", kinds[i], b)
		if err != nil {
			t.Fatal(err)
		}
		entries = append(entries, record.Entry{Seq: int64(i + 1), Proposal: p})
	}
	s := Fold(entries)
	if want, ok := AuthorisedWork(s); !ok || !slices.Equal(want, []string{"rod_bearings", "engine_mounts", "cooler"}) || !slices.Equal(want, s.Scope.Body.Want) {
		t.Errorf("authority for %v, agreed %v", want, s.Scope.Body.Want)
	}
	if c, currency, ok := AuthorityCeiling(s); !ok || c.String() != "4950" || currency != "EUR" {
		t.Errorf("up to %s %s", c, currency)
	}
	if _, ok := s.Refused["rack_gaiters"]; !ok {
		t.Error("the refusal is not on record")
	}
	if _, err := Propose("job/1", "authority_given", AuthorityGiven{Consent: Consent{On: "2026-03-02", How: "signed", Ceiling: "1"}, Want: []string{"a"}}); err == nil {
		t.Error("signed without a signature was taken")
	}
}
