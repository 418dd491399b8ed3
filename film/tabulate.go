// SPDX-License-Identifier: Apache-2.0

package film

import (
	"bytes"
	"context"
	_ "embed"
	"encoding/binary"
	"fmt"
	"math"
	"runtime"
	"sync"
)

// mobilityFile holds the values of [TabulateMobility] as little-endian
// float32: width ratio, u, w, quantity. scripts/filmmap makes it; a test solves
// some of its nodes again.
//
//go:embed mobility.bin
var mobilityFile []byte

const (
	ldNodes   = 9
	ldLow     = 0.14
	ldHigh    = 1.22
	fileWords = ldNodes * uNodes * wNodes * 4
)

// tableGrid is the mesh that the tabulated solutions were made on.
var tableGrid = Grid{Around: 384, Across: 16}

// nodeLD returns the i-th Chebyshev point in L/D.
func nodeLD(i int) float64 {
	return ldLow + (ldHigh-ldLow)*(0.5-0.5*math.Cos(math.Pi*(float64(i)+0.5)/ldNodes))
}

// TabulateMobility solves the film at every node of the mobility table and
// returns the contents of the table's file. It uses all cores and takes some
// minutes of processor time; progress, if not nil, is told the nodes done of all.
func TabulateMobility(ctx context.Context, progress func(done, total int)) ([]byte, error) {
	values := make([]float32, fileWords)
	rows := make(chan [2]int)
	var wg sync.WaitGroup
	var mu sync.Mutex
	var failed error
	done := 0
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for row := range rows {
				err := tabulateRow(row[0], row[1], values)
				mu.Lock()
				if err != nil && failed == nil {
					failed = err
				}
				done += wNodes
				if progress != nil {
					progress(done, ldNodes*uNodes*wNodes)
				}
				mu.Unlock()
			}
		})
	}
	for l := range ldNodes {
		for i := range uNodes {
			if ctx.Err() == nil {
				rows <- [2]int{l, i}
			}
		}
	}
	close(rows)
	wg.Wait()
	if failed == nil {
		failed = ctx.Err()
	}
	if failed != nil {
		return nil, failed
	}
	var b bytes.Buffer
	err := binary.Write(&b, binary.LittleEndian, values)
	return b.Bytes(), err
}

func tabulateRow(l, i int, values []float32) error {
	ld := nodeLD(l)
	f, err := NewFieldFilm(ld, tableGrid)
	if err != nil {
		return err
	}
	for j := range wNodes {
		v, err := f.scaledMobility(ld, i, j)
		if err != nil {
			return err
		}
		for k, x := range v {
			values[((l*uNodes+i)*wNodes+j)*4+k] = float32(x)
		}
	}
	return nil
}

// scaledMobility solves one node of the table.
func (f *FieldFilm) scaledMobility(ld float64, i, j int) (mobilityValues, error) {
	xi, eta := nodePosition(i, j)
	e := math.Hypot(xi, eta)
	ux, uy := xi/e, eta/e
	r := f.r
	r.round(e)
	r.seed(ux, -uy)
	r.vx, r.vy = ux, -uy
	if !r.underLoad(ux, -uy) {
		return mobilityValues{}, fmt.Errorf("film: no solution at L/D %g, ξ %g, η %g", ld, xi, eta)
	}
	vx, vy := r.vx*ux-r.vy*uy, r.vx*uy+r.vy*ux
	d := 1 - xi
	m := math.Sqrt(d) * (d + 0.35*ld*ld) / (math.Pi * ld * ld)
	return mobilityValues{2 * vx / (d * m), -2 * vy / (eta * m), r.peak() * math.Sqrt(d), r.sideFlow() / math.Hypot(vx, vy)}, nil
}

// tables keeps the tables already made, by width ratio; an engine has one or
// two. It is emptied when a stranger fills it, at 100 kB each.
var tables struct {
	sync.Mutex
	byRatio map[float64]*mobilityTable
}

const tablesKept = 64

// tableFor returns the table for a width ratio, by the polynomial in L/D
// through the tabulated ones.
func tableFor(ld float64) (*mobilityTable, error) {
	tables.Lock()
	defer tables.Unlock()
	if t, ok := tables.byRatio[ld]; ok {
		return t, nil
	}
	if len(mobilityFile) != 4*fileWords {
		return nil, fmt.Errorf("film: the mobility table has %d bytes, %d are needed", len(mobilityFile), 4*fileWords)
	}
	weight := lagrangeLD(ld)
	var values [uNodes][wNodes]mobilityValues
	for l, w := range weight {
		for i := range uNodes {
			for j := range wNodes {
				for k := range 4 {
					values[i][j][k] += w * fileValue(l, i, j, k)
				}
			}
		}
	}
	if tables.byRatio == nil || len(tables.byRatio) >= tablesKept {
		tables.byRatio = map[float64]*mobilityTable{}
	}
	t := newMobilityTable(ld, &values)
	tables.byRatio[ld] = t
	return t, nil
}

// fileValue reads quantity k of a node from the file.
func fileValue(l, i, j, k int) float64 {
	at := 4 * (((l*uNodes+i)*wNodes+j)*4 + k)
	return float64(math.Float32frombits(binary.LittleEndian.Uint32(mobilityFile[at:])))
}

func lagrangeLD(ld float64) (w [ldNodes]float64) {
	for l := range w {
		w[l] = 1
		for k := range ldNodes {
			if k != l {
				w[l] *= (ld - nodeLD(k)) / (nodeLD(l) - nodeLD(k))
			}
		}
	}
	return w
}
