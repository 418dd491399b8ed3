// SPDX-License-Identifier: Apache-2.0

package api

import (
	"bytes"
	"context"

	"witnessmark/engine"
	"witnessmark/internal/report"
	"witnessmark/internal/shop"
	"witnessmark/record"
)

// Sheet is an engine sheet of the workshop.
type Sheet struct {
	Hash     string `json:"hash" doc:"names it by its bytes"`
	Family   string `json:"family"`
	Title    string `json:"title"`
	Edition  string `json:"edition,omitempty"`
	Invented bool   `json:"invented,omitempty" doc:"demonstration data"`
}

func sheetOf(i shop.SheetInfo) Sheet {
	return Sheet{Hash: i.Hash, Family: i.Sheet.Family, Title: i.Sheet.Title, Edition: i.Sheet.Edition, Invented: i.Sheet.Invented}
}

// Sheets is the engine sheets.
type Sheets struct {
	Sheets []Sheet `json:"sheets"`
}

type sheetsOutput struct {
	Body Sheets
}

func (s *server) sheets(ctx context.Context, _ *nothing) (*sheetsOutput, error) {
	all, err := s.shop.Sheets(ctx)
	if err != nil {
		return nil, err
	}
	out := &sheetsOutput{}
	out.Body.Sheets = []Sheet{}
	for _, i := range all {
		out.Body.Sheets = append(out.Body.Sheets, sheetOf(i))
	}
	return out, nil
}

type SheetPath struct {
	Hash string `path:"hash" maxLength:"80"`
}

// fileOutput is a file as it is.
type fileOutput struct {
	ContentType string `header:"Content-Type"`
	Disposition string `header:"Content-Disposition"`
	Policy      string `header:"Content-Security-Policy" hidden:"true"`
	Body        []byte
}

const (
	yamlType   = "application/yaml"
	filePolicy = "default-src 'none'; frame-ancestors 'none'; sandbox"
)

func (s *server) sheetFile(ctx context.Context, in *SheetPath) (*fileOutput, error) {
	sheet, err := s.sheet(ctx, in.Hash)
	if err != nil {
		return nil, err
	}
	return &fileOutput{ContentType: yamlType, Disposition: `attachment; filename="sheet.yaml"`, Policy: filePolicy, Body: sheet.Bytes()}, nil
}

// sheet is the engine sheet of the path.
func (s *server) sheet(ctx context.Context, hash string) (*engine.Sheet, error) {
	if _, err := record.ContentHash(hash).Hex(); err != nil {
		return nil, nothingAt("such engine sheet", Prefix+"/sheets")
	}
	sheet, err := s.shop.Sheet(ctx, hash)
	if err != nil {
		return nil, nothingAt("such engine sheet", Prefix+"/sheets")
	}
	return sheet, nil
}

type blankInput struct {
	SheetPath
	Paper string `query:"paper" enum:"a4,letter" doc:"left out: the workshop’s own"`
	Job   string `query:"job" maxLength:"64" doc:"its number, to be printed"`
}

// blank is sheets to fill in by hand.
func (s *server) blank(ctx context.Context, in *blankInput) (*fileOutput, error) {
	sheet, err := s.sheet(ctx, in.Hash)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := report.SheetsOfShop(ctx, &b, s.shop, sheet, report.PaperOf(s.shop, in.Paper), in.Job); err != nil {
		return nil, err
	}
	return &fileOutput{ContentType: pdfType, Disposition: `inline; filename="workshop-sheets.pdf"`, Policy: filePolicy, Body: b.Bytes()}, nil
}

type addSheetInput struct {
	RawBody []byte `contentType:"application/yaml"`
}

type sheetOutput struct {
	Body Sheet
}

// addSheet keeps a sheet by its content: sent twice, it is one.
func (s *server) addSheet(ctx context.Context, in *addSheetInput) (*sheetOutput, error) {
	info, err := s.shop.AddSheet(ctx, "sheet.yaml", append([]byte(nil), in.RawBody...))
	if err != nil {
		return nil, err
	}
	return &sheetOutput{Body: sheetOf(info)}, nil
}
