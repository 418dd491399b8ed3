// SPDX-License-Identifier: Apache-2.0

package web_test

import (
	"path/filepath"
	"strings"
	"testing"

	"witnessmark/internal/browsertest"
	"witnessmark/internal/job"
)

// The demonstration shows the film of every position and the oils side by
// side, says what it found so that an owner understands, and steps through the
// cycle by slider and by play.
func TestFilmOfTheDemo(t *testing.T) {
	w := newWorkshop(t)
	p := w.tablet(browsertest.Tablet, job.Technician)
	p.Goto(w.url + "/jobs/" + w.cast.HalfWay)
	p.Click("a[href$='/film']")
	p.WaitText(".film .lead", "Position 4 keeps four fifths of the film that the others keep")
	p.WaitText("main", "No oil changes a verdict: the clearance of position 4 is too wide")
	if rows := p.Eval(`document.querySelectorAll(".films tbody tr").length+" "+document.querySelectorAll(".oils tbody tr").length`); rows != `"8 2"` {
		t.Errorf("positions and oils: %s", rows)
	}
	for _, want := range []string{"the figures themselves only to a third or so", "not an approval", "Rigid parts", "wait for 60 °C before load"} {
		if text := p.Text("main"); !strings.Contains(text, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	before := p.Attr("[data-moves=orbit] circle.fi-act:last-child", "cx")
	p.Eval(`(()=>{const s=document.querySelector("#instant");s.value=90;s.dispatchEvent(new Event("input",{bubbles:true}));return ""})()`)
	p.WaitText("[data-words]", "360°: film")
	if after := p.Attr("[data-moves=orbit] circle.fi-act:last-child", "cx"); after == before {
		t.Error("the slider does not move the journal")
	}
	p.Click("[data-play]")
	p.WaitText("[data-words]", "368°: film")
	p.Click("[data-play]")
	for name, look := range map[string]browsertest.Options{"tablet": browsertest.Tablet, "dark": dark(browsertest.Tablet), "phone": browsertest.Phone,
		"print": {Print: true, Width: 794, Height: 1123}} {
		p.Look(look)
		if name != "print" {
			w.looksWell(p, "film", name)
		}
		if screenshots != "" {
			p.Screenshot(filepath.Join(screenshots, "film-"+name+".png"))
		}
	}
}
