// SPDX-License-Identifier: Apache-2.0

package web_test

import (
	"path/filepath"
	"strings"
	"testing"

	"witnessmark/internal/browsertest"
	"witnessmark/internal/job"
)

// shot takes a picture where pictures are wanted.
func (w *workshop) shot(p *browsertest.Page, name string) {
	if screenshots != "" {
		p.Screenshot(filepath.Join(screenshots, name+".png"))
	}
}

// The position that is too wide as found and as fitted leads through the cheap
// questions and a second strip to the housing bore; measuring it confirms.
func TestTooWideLeadsToTheBore(t *testing.T) {
	w := newWorkshop(t)
	p := w.tablet(browsertest.Tablet, job.Technician)
	p.Goto(w.url + "/jobs/" + w.cast.HalfWay)
	p.Follow(".finding a[href$='/clearance/4']")
	p.WaitText("#excess h2", "0.025 mm above the middle of the limits")
	p.WaitText("#excess .next", "Ask the cheap questions first: 7 are left.")
	w.shot(p, "measure-1-questions")
	for _, q := range job.FirstQuestions {
		p.Click("input[name=q_" + q + "][value=clear]")
	}
	p.Follow("#excess form button.go")
	p.WaitText("#excess .next", "Read again with a fresh strip")
	p.Follow("#excess a.go")
	p.Click(barOf("0.064"))
	p.Click(barOf("0.076"))
	p.Follow("#again")
	p.WaitText(".lead", "Measure the housing bore")
	p.Follow(".lead a")
	w.shot(p, "measure-2-where")
	p.WaitText("#excess .next", "Measure the housing bore")
	p.Follow("#excess a.go")

	// A gauge that types: a reading and Enter, down each plane.
	p.Wait("html[data-ready]")
	p.Click("input[name=cap_torqued]")
	p.Click("input[name=front_0]")
	for _, reading := range []string{"56.021", "56.022", "56.020"} {
		p.Press(reading)
		p.Press("Enter")
	}
	if got := p.Focused(); !strings.Contains(got, "middle_0") {
		t.Errorf("after the front plane the focus is on %s", got)
	}
	for i, reading := range []string{"2.2054", "56.021", "56.022"} { // inches, by a slip
		p.Fill([]string{"input[name=rear_0]", "input[name=rear_1]", "input[name=rear_2]"}[i], reading)
	}
	p.Follow("#grid button.go")
	p.WaitText("#grid .problem", "this looks like inches")
	p.Fill("input[name=rear_0]", "56.020")
	p.Follow("#grid button.go")
	p.WaitText(".result", "Housing bore at 20 °C")
	p.WaitText(".result", "larger than a new part")
	w.shot(p, "measure-3-bore")
	p.Follow("a[href$='/clearance/4']")
	p.WaitText("#excess .confirmed", "Confirmed: the housing bore brings 0.013 mm of the 0.025 mm and lies 0.005 mm beyond its own limits.")
	w.shot(p, "measure-4-confirmed")
	for _, path := range []string{"/clearance/4", "/measure/4?of=housing_bore"} {
		p.Goto(w.url + "/jobs/" + w.cast.HalfWay + path)
		for name, look := range map[string]browsertest.Options{"tablet-light": browsertest.Tablet, "phone-dark": dark(browsertest.Phone)} {
			p.Look(look)
			w.looksWell(p, path, name)
			w.shot(p, strings.NewReplacer("/", "", "?", "-", "=", "-").Replace(path)+"-"+name)
		}
		p.Look(browsertest.Tablet)
	}
	for _, got := range p.ConsoleErrors() {
		if !strings.Contains(got, "/measured") { // the answer that questions the grid
			t.Errorf("complaint: %s", got)
		}
	}
}
