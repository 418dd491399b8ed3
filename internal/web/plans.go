// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// plansRow is one line of the list of access plans.
type plansRow struct {
	Hash, Family, Title, Edition string
	Invented, Own                bool
	Jobs                         string
}

func (s *server) plansPage(q *request) error {
	all, err := s.shop.Plans(q.Context())
	if err != nil {
		return err
	}
	var rows []plansRow
	for _, x := range all {
		rows = append(rows, plansRow{Hash: x.Hash(), Family: x.Plan.Family, Title: x.Plan.Title, Edition: x.Plan.Edition, Invented: x.Plan.Invented, Own: x.Own, Jobs: joinWords(x.Jobs)})
	}
	return q.page(http.StatusOK, frame{Title: "Access plans"}, plansBody(rows))
}

// planPage is one plan to read.
func (s *server) planPage(q *request) error {
	info, err := q.planInfo()
	if err != nil {
		return err
	}
	v := job.ShowPlan(info.Plan)
	return q.page(http.StatusOK, frame{Title: v.Family + " · Access plan"}, planReadBody(info.Hash(), info.Own, v))
}

// planBytes is the plan's file as it came.
func (s *server) planBytes(q *request) error {
	info, err := q.planInfo()
	if err != nil {
		return err
	}
	return q.file("application/yaml", "attachment", "plan-"+fileName(info.Plan.Family)+".yaml", info.Plan.Bytes())
}

func (q *request) planInfo() (shop.PlanInfo, error) {
	return q.server.shop.PlanListed(q.Context(), q.PathValue("plan"))
}
