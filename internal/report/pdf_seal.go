// SPDX-License-Identifier: Apache-2.0

package report

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/boombuler/barcode/qr"

	"witnessmark/internal/draw"
)

// QRText is what the code on the seal page holds, one fact a line: the verifier
// key, and the checkpoint's origin, size and root in hexadecimal. Its first 16
// digits are the fingerprint.
func (s SealView) QRText() string {
	return strings.Join([]string{s.Key, s.Origin, strconv.FormatInt(s.Covers, 10), s.Root}, "\n")
}

// sealPart is a page of its own, to be compared and kept.
func (d Data) sealPart(p *paper) {
	p.page()
	p.heading("Seal", 60)
	if len(d.Seals) == 0 {
		p.boxed("This record is not sealed yet: it can still be changed without anybody noticing.", draw.InkOut, strong)
		d.keyPart(p)
		return
	}
	last := d.Seals[len(d.Seals)-1]
	d.fingerprint(p, last)
	t := table{columns: []column{{title: "Entries", width: 30}, {title: "Sealed", width: 34}, {title: "Held by entry", width: 26}, {title: "Fingerprint", weight: 1}}}
	for _, s := range d.Seals {
		t.rows = append(t.rows, row{cells: []cell{plain(fmt.Sprintf("1 to %d", s.Covers)), plain(s.Time), plain(fmt.Sprint(s.Entry)), strongly(s.Fingerprint)}})
	}
	p.table(t)
	if open := d.unsealed(); open > 0 {
		p.para(counted(open, "entry was", "entries were")+" added since and not sealed yet.", strong.of(draw.InkWait))
		p.gap(1)
	}
	d.keyPart(p)
}

// unsealed counts the entries after the last seal, the one that holds it left
// out.
func (d Data) unsealed() int {
	last := d.Seals[len(d.Seals)-1]
	n := 0
	for _, l := range d.Lines {
		if l.Seq > last.Entry {
			n++
		}
	}
	return n
}

// fingerprint shows what people compare: large digits and the code.
func (d Data) fingerprint(p *paper, s SealView) {
	const side = 46.0
	p.need(side + 4)
	top := p.y
	if err := p.qr(s.QRText(), p.right-side, top, side); err != nil {
		p.doc.SetError(err)
	}
	w := p.width() - side - 8
	p.column(p.left, w, fmt.Sprintf("Entries 1 to %d of job %s were sealed %s.", s.Covers, d.View.Number, s.Time), type_{size: sizeLead})
	p.y += 3
	p.column(p.left, w, "Fingerprint", soft)
	p.y += 0.5
	p.column(p.left, w, s.Fingerprint, type_{size: 6.4, bold: true})
	p.y += 1.5
	p.column(p.left, w, "Whoever holds an earlier copy of this fingerprint can see that nothing up to there was changed since. The code holds the key, the origin, the number of entries and the root of the log, for a program to compare.", small)
	p.y = max(p.y, top+side) + 4
}

// qr draws a code as rectangles, its quiet zone inside the square.
func (p *paper) qr(text string, x, y, side float64) error {
	code, err := qr.Encode(text, qr.M, qr.Auto)
	if err != nil {
		return fmt.Errorf("report: QR code: %w", err)
	}
	if p.dry {
		return nil
	}
	const quiet = 4 // modules, ISO/IEC 18004
	n := code.Bounds().Dx()
	k := side / float64(n+2*quiet)
	p.doc.SetFillColor(0, 0, 0)
	for j := range n {
		for i := 0; i < n; {
			run := 0
			for i+run < n && dark(code.At(i+run, j)) {
				run++
			}
			if run > 0 {
				p.doc.Rect(x+float64(i+quiet)*k, y+float64(j+quiet)*k, float64(run)*k, k, "F")
			}
			i += run + 1
		}
	}
	return nil
}

func dark(c interface{ RGBA() (r, g, b, a uint32) }) bool {
	r, _, _, _ := c.RGBA()
	return r < 0x8000
}

func (d Data) keyPart(p *paper) {
	p.subheading("To verify", 30)
	p.para("The workshop’s public key, "+d.KeyPrint+":", body)
	p.para(d.Key, strong)
	p.gap(1.5)
	p.para("Anybody can verify the job’s bundle with this key: witnessmark verify BUNDLE.zip --key KEY. The log is a Merkle tree after RFC 6962, the seal a signed note (C2SP) with an Ed25519 key. A seal proves that the record is unchanged; it does not prove that what was entered is true.", body)
}
