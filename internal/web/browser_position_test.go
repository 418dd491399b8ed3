// SPDX-License-Identifier: Apache-2.0

package web_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"witnessmark/internal/browsertest"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// openJob opens a job on the demonstration's V8 with nothing read yet.
func (w *workshop) openJob(number string) {
	w.Helper()
	ctx := context.Background()
	l, err := w.shop.Job(ctx, w.cast.HalfWay)
	if err != nil {
		w.Fatal(err)
	}
	if _, err := w.shop.OpenJob(ctx, w.member(job.Office).ID, shop.NewJob{Number: number, Sheet: l.State.Sheet.Sheet, Invented: true}); err != nil {
		w.Fatal(err)
	}
}

func (w *workshop) load(number string) *shop.Loaded {
	w.Helper()
	l, err := w.shop.Job(context.Background(), number)
	if err != nil {
		w.Fatal(err)
	}
	return l
}

// clearances are the readings kept on a job, in words, in order.
func (w *workshop) clearances(number string) []string {
	w.Helper()
	var out []string
	for _, r := range w.load(number).State.Readings {
		if r.Body.Of == job.OfClearance {
			out = append(out, fmt.Sprintf("%d %s %s", r.Body.Position, r.Body.Phase, r.Body.ReadBack()))
		}
	}
	return out
}

// finger taps and counts.
type finger struct {
	*browsertest.Page
	taps int
}

func (f *finger) tap(sel string) {
	f.taps++
	f.Click(sel)
}

func (f *finger) tapAndLoad(sel string) {
	f.taps++
	f.Follow(sel)
}

func barOf(value string) string { return "[data-bars=bar] input[value='" + value + "']" }

// Both readings of a position, each between two bars, take six taps: two bars
// and one to keep. Going on to the next position takes none.
func TestTapsOfAWholeEngine(t *testing.T) {
	w := newWorkshop(t)
	w.openJob("0500")
	f := &finger{Page: w.tablet(browsertest.Phone, job.Technician)}
	order := w.load("0500").Basis.Sheet.AccessOrder()
	for _, phase := range []string{job.AsFound, job.AsFitted} {
		f.Goto(fmt.Sprintf("%s/jobs/0500/position/%d/%s", w.url, order[0], phase))
		for i, position := range order {
			before := f.taps
			f.WaitText("h1", fmt.Sprintf("%d · as %s", position, phase))
			f.tap(barOf("0.038"))
			f.tap(barOf("0.051"))
			f.WaitText("#readback", fmt.Sprintf("Position %d, as %s: between 0.038 and 0.051 mm.", position, phase))
			if got := f.Texts(".verdict, .word"); len(got) > 0 {
				t.Errorf("a verdict before it is kept: %q", got)
			}
			f.tapAndLoad("#keep")
			if got := f.taps - before; got > 3 {
				t.Errorf("position %d as %s took %d taps, more than half of 6", position, phase, got)
			}
			if i+1 < len(order) {
				if got := f.Text(".kept"); !strings.Contains(got, fmt.Sprintf("Position %d kept: 0.044 mm, fits.", position)) {
					t.Errorf("after position %d the page says %q", position, got)
				}
			}
		}
		if got, want := f.URL(), w.url+"/jobs/0500?kept="; !strings.HasPrefix(got, want) {
			t.Errorf("the last position leads to %s", got)
		}
	}
	if n := len(w.clearances("0500")); n != 16 || f.taps != 6*8 {
		t.Errorf("%d readings with %d taps, want 16 with 48", n, f.taps)
	}
	if got := f.ConsoleErrors(); len(got) > 0 {
		t.Errorf("complaints: %q", got)
	}
}

// chosen are the bars that are tapped.
func chosen(p *browsertest.Page) string {
	return strings.Join(p.Texts("[data-bars=bar] label:has(:checked)"), " ")
}

func TestBarsAreOneOrTwoNeighbours(t *testing.T) {
	w := newWorkshop(t)
	w.openJob("0500")
	p := w.tablet(browsertest.Tablet, job.Technician)
	p.Goto(w.url + "/jobs/0500/position/1/found")
	for _, c := range []struct{ tap, want string }{
		{"0.038", "0.038"},
		{"0.051", "0.038 0.051"},
		{"0.064", "0.051 0.064"},   // a neighbour moves along
		{"0.025", "0.025 or less"}, // further off starts anew
		{"0.064", "0.064"},         // so does a second one further off
		{"0.051", "0.051 0.064"},   // either side is a neighbour
		{"0.064", "0.051"},         // a second tap takes a bar back
		{"0.051", ""},              //
		{"0.076", "0.076 or more"}, //
		{"0.064", "0.064 0.076 or more"},
	} {
		p.Click(barOf(c.tap))
		if got := strings.Join(strings.Fields(chosen(p)), " "); got != c.want {
			t.Fatalf("after %s: %q is tapped, want %q", c.tap, got, c.want)
		}
	}
	p.Press("0.04") // typing takes the place of the bars
	p.WaitFor(`document.querySelectorAll("[data-bars] :checked").length===0`)
	p.Click(barOf("0.051")) // and a bar that of what was typed
	if got := p.Value("#typed"); got != "" {
		t.Errorf("%q is still typed beside a bar", got)
	}
}

// The words of the page for bars are the server's own.
func TestReadBackIsTheServers(t *testing.T) {
	w := newWorkshop(t)
	w.openJob("0500")
	p := w.tablet(browsertest.Tablet, job.Technician)
	p.Goto(w.url + "/jobs/0500/position/4/fitted")
	p.Click("details summary")
	got := p.Eval(`(async () => {
		const form = document.getElementById("reading");
		const all = (name) => [...form.querySelectorAll("[data-bars=" + name + "] input")];
		const choices = (n) => [[], ...Array.from({length: n}, (_, i) => [i]), ...Array.from({length: n - 1}, (_, i) => [i, i + 1])];
		const wrong = [];
		let n = 0;
		for (const front of choices(5).slice(1)) for (const rear of choices(5)) for (const moved of [false, true]) {
			all("bar").forEach((b, i) => b.checked = front.includes(i));
			all("rear").forEach((b, i) => b.checked = rear.includes(i));
			form.elements.crank_moved.checked = moved;
			form.elements.crank_moved.dispatchEvent(new Event("change", {bubbles: true}));
			await 0;
			const body = new URLSearchParams(new FormData(form));
			body.set("look", "1");
			const said = await (await fetch(form.action, {method: "POST", body, headers: {Accept: "application/json"}})).json();
			const shown = document.getElementById("readback").textContent;
			n++;
			if (said.read_back !== shown) wrong.push(said.read_back + " / " + shown);
		}
		return n + " " + wrong.slice(0, 3).join("; ");
	})()`)
	if got != `"180 "` { // 9 fronts, 10 rears, moved or not
		t.Errorf("page and server differ: %s", got)
	}
	if n := len(w.clearances("0500")); n != 0 {
		t.Errorf("looking kept %d readings", n)
	}
}

// retype types over what stands in a field.
func retype(p *browsertest.Page, sel, text string) {
	p.Eval(`document.querySelector("` + sel + `").select()`)
	p.Press(text)
}

func TestTypedReadBack(t *testing.T) {
	w := newWorkshop(t)
	w.openJob("0500")
	p := w.tablet(browsertest.Phone, job.Technician)
	p.Goto(w.url + "/jobs/0500/position/4/fitted")
	p.Press("0,051-0,064")
	p.WaitText("#readback", "Position 4, as fitted: between 0.051 and 0.064 mm.")
	retype(p, "#typed", "1,000")
	p.Wait("#readback.not-understood")
	p.Follow("#keep") // kept all the same: the page comes back with what was typed
	if got := p.Value("#typed"); got != "1,000" || !p.Exists(".problem") {
		t.Errorf("after what can't be understood %q is typed, and a problem shows: %t", got, p.Exists(".problem"))
	}
	retype(p, "#typed", "0.042")
	p.WaitText("#readback", "Position 4, as fitted: 0.042 mm.")
	p.Follow("#again")
	if got := p.Text("[data-live=readings]"); !strings.Contains(got, "0.042 mm") {
		t.Errorf("reading again shows %q as read before", got)
	}
	if got := w.clearances("0500"); len(got) != 1 {
		t.Errorf("kept: %q", got)
	}
}

func TestBarsByKeyboard(t *testing.T) {
	w := newWorkshop(t)
	w.openJob("0500")
	p := w.tablet(browsertest.Tablet, job.Technician)
	p.Goto(w.url + "/jobs/0500/position/1/found")
	if got := p.Focused(); got != "input#typed[typed]" {
		t.Errorf("the focus is on %s, not where a gauge types", got)
	}
	p.Eval(`document.querySelector("[data-bars=bar] input").focus()`)
	p.Press("ArrowDown")
	p.Press("Space")
	p.Press("ArrowDown")
	p.Press("Space")
	p.WaitText("#readback", "between 0.038 and 0.051 mm")
	outline := p.Eval(`getComputedStyle(document.querySelector(".bar:has(:focus-visible)")).outlineStyle`)
	if outline != `"solid"` {
		t.Errorf("the focus does not show: outline %s", outline)
	}
	p.PressAndLoad("Enter")
	if got := w.clearances("0500"); len(got) != 1 || got[0] != "1 found between 0.038 and 0.051 mm" {
		t.Errorf("kept: %q", got)
	}
	p.Eval(`document.activeElement.blur()`)
	p.Press("0.038") // a gauge types although the focus was lost
	p.WaitText("#readback", "Position 2, as found: 0.038 mm.")
}

func TestWithoutScript(t *testing.T) {
	w := newWorkshop(t)
	w.openJob("0500")
	p := w.tablet(browsertest.Options{NoScript: true}, job.Technician)
	p.Goto(w.url + "/jobs/0500/position/1/found")
	p.Click(barOf("0.038"))
	p.Click(barOf("0.051"))
	p.Follow("#keep")
	if got := p.Text("#readback"); got != "Position 1, as found: between 0.038 and 0.051 mm." {
		t.Errorf("the read-back says %q", got)
	}
	if n := len(w.clearances("0500")); n != 0 {
		t.Fatal("it counted before it was read back")
	}
	p.Follow("button.go")
	if got := p.Text(".kept"); !strings.Contains(got, "Position 1 kept") {
		t.Errorf("the next page says %q", got)
	}
	if got := w.clearances("0500"); len(got) != 1 {
		t.Errorf("kept: %q", got)
	}
}

func TestGaugeChangesAtOnce(t *testing.T) {
	w := newWorkshop(t)
	w.openJob("0500")
	p := w.tablet(browsertest.Tablet, job.Technician)
	p.Goto(w.url + "/jobs/0500/position/1/found")
	p.Choose("select[name=gauge]", "BG-1")
	p.WaitGone("[data-bars]")
	p.Wait("html[data-ready]") // the page that came has read its script
	p.Press("0.059")
	p.WaitText("#readback", "0.059 mm")
	p.PressAndLoad("Enter")
	if got := w.clearances("0500"); len(got) != 1 || got[0] != "1 found 0.059 mm" {
		t.Errorf("kept: %q", got)
	}
	if p.Exists("[data-bars]") {
		t.Error("the next position is back on the strip gauge")
	}
}

func TestWhatWasTypedSurvivesAReload(t *testing.T) {
	w := newWorkshop(t)
	p := w.tablet(browsertest.Tablet, job.Technician)
	p.Goto(w.url + "/jobs/0412/shells/7")
	if n := p.Count("fieldset[data-all] :checked"); n != 0 {
		t.Fatalf("%d boxes are ticked", n)
	}
	p.Click("fieldset[data-all] > button")
	if n := p.Count("fieldset[data-all] :checked"); n != 7 {
		t.Errorf("one tap ticked %d of 7", n)
	}
	p.Fill("input[name=upper_id]", "U88")
	p.Reload()
	if got := p.Dialogs(); len(got) != 1 || got[0] != "beforeunload" {
		t.Errorf("leaving with something typed asks: %q", got)
	}
	if got, n := p.Value("input[name=upper_id]"), p.Count("fieldset[data-all] :checked"); got != "U88" || n != 7 {
		t.Errorf("after a reload %q is typed and %d are ticked", got, n)
	}
	p.Follow("form[action$='/shells'] button.go")
	p.Goto(w.url + "/jobs/0412/shells/7")
	if got := p.Dialogs(); len(got) != 1 {
		t.Errorf("leaving without having typed asks too: %q", got)
	}
	if got := w.load("0412").State.Positions[7].Shells; got == nil || got.Body.Upper.ID != "U88" {
		t.Errorf("kept: %+v", got)
	}
}
