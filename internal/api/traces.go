// SPDX-License-Identifier: Apache-2.0

package api

import (
	"context"

	"witnessmark/fastener"
	"witnessmark/internal/shop"
)

// maxTraces is the largest file of traces that is taken.
const maxTraces = shop.MaxTraceFile

type tracesInput struct {
	JobPath
	ID       string `query:"id" required:"true" maxLength:"26" doc:"a ULID in capitals, made by the client: sent twice it counts once"`
	Fastener string `query:"fastener" required:"true" maxLength:"100" doc:"its id in the engine sheet"`
	Name     string `query:"name" maxLength:"200" doc:"of the file"`
	Angle    string `query:"angle" maxLength:"200" doc:"the column of the angle, where its name does not tell"`
	Torque   string `query:"torque" maxLength:"200" doc:"the column of the torque"`
	Bolt     string `query:"bolt" maxLength:"200" doc:"the column of the fastener"`
	RawBody  []byte `contentType:"text/csv"`
}

// addTraces keeps a file of traces and enters what it shows.
func (s *server) addTraces(ctx context.Context, in *tracesInput) (*keptOutput, error) {
	c := who(ctx)
	if err := shop.May(c.Role, "trace_kept"); err != nil {
		return nil, err
	}
	e, existed, err := s.shop.KeepTraces(ctx, c.ID, in.Job, shop.TraceUpload{ID: in.ID, Fastener: in.Fastener, Name: in.Name, Data: in.RawBody,
		Columns: fastener.Columns{Angle: in.Angle, Torque: in.Torque, Fastener: in.Bolt}})
	if err != nil {
		return nil, err
	}
	return kept(e, existed), nil
}
