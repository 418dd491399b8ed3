// SPDX-License-Identifier: Apache-2.0

package web_test

import (
	"strings"
	"testing"

	"witnessmark/internal/browsertest"
	"witnessmark/internal/job"
)

// drag draws with the pointer across an element, as a finger does.
const drag = `(()=>{const s=document.querySelector("#authority .signpad");s.scrollIntoView();const b=s.getBoundingClientRect();
const at=(t,x,y)=>s.dispatchEvent(new PointerEvent(t,{bubbles:true,cancelable:true,pointerId:1,pointerType:"touch",clientX:b.left+b.width*x,clientY:b.top+b.height*y}));
s.setPointerCapture=()=>{};at("pointerdown",.2,.7);at("pointermove",.4,.2);at("pointermove",.6,.8);at("pointerup",.6,.8);
return document.querySelector("#authority [name=strokes]").value})()`

// The estimate is turned round to the owner: taking one offer out changes
// total, operations, parts and companions at once; authority is signed on the
// page; a finding raises a change.
func TestEstimateIsAgreed(t *testing.T) {
	w := newWorkshop(t)
	p := w.tablet(browsertest.Tablet, job.Office)
	p.Goto(w.url + "/jobs/" + w.cast.Estimate + "/agree")
	const gaiters = `[data-work="rack_gaiters"] button`
	if row := p.Text(`[data-work="relief_valve"]`); !strings.Contains(row, "added") || !strings.Contains(row, "alone") || !strings.Contains(row, "share") {
		t.Errorf("an offer shows %q", row)
	}
	if got := p.Text(`[data-work="balance_bearings"]`); !strings.Contains(got, "price to come") {
		t.Errorf("a part without a price: %q", got)
	}
	total, parts := p.Text("#total"), p.Count("#part-lines tr")
	if !strings.Contains(p.Text("#companions"), "Wheel alignment") {
		t.Fatalf("the companions are %q", p.Text("#companions"))
	}
	p.Click(gaiters)
	p.Wait(gaiters + `[aria-pressed=false]`)
	if p.Text("#total") == total || p.Count("#part-lines tr") != parts-1 || strings.Contains(p.Text("#companions"), "Wheel alignment") {
		t.Errorf("taken out: total %s was %s, %d parts, companions %q", p.Text("#total"), total, p.Count("#part-lines tr"), p.Text("#companions"))
	}
	operations := p.Count("#operations li")
	p.Click(`[data-work="balance_bearings"] button`)
	p.Wait(`[data-work="balance_bearings"] button[aria-pressed=true]`)
	if p.Count("#operations li") <= operations || !strings.Contains(p.Text("#sums"), "price to come") {
		t.Errorf("%d operations were %d, sums %q", p.Count("#operations li"), operations, p.Text("#sums"))
	}
	p.Click(`[data-work="balance_bearings"] button`)
	p.Wait(`[data-work="balance_bearings"] button[aria-pressed=false]`)

	p.Fill("#authority [name=name]", "A. Nobody (invented)")
	p.Fill("#authority [name=ceiling]", "5000")
	if drawn := p.Eval(drag); !strings.Contains(drawn, "M") || !strings.Contains(drawn, "L") {
		t.Fatalf("the strokes are %q", drawn)
	}
	p.Follow("#authority button.go")
	if got := p.Text("#agreed"); !strings.Contains(got, "A. Nobody (invented)") || !strings.Contains(got, "Up to 5000 EUR in all") || !strings.Contains(got, "Not wanted") || !p.Exists("#agreed svg.signed path") {
		t.Errorf("agreed: %q", got)
	}
	p.Click("#changes > details > summary")
	p.Fill("#change [name=title]", "Mounts are sound")
	p.Fill("#change [name=why]", "Looked at with the engine carried")
	p.Choose("#change [name=remove]", "engine_mounts")
	p.Follow("#change button:not([type=button])")
	if got := p.Text(".change"); !strings.Contains(got, "Mounts are sound") || !strings.Contains(got, "-") || !strings.Contains(got, "takes out Engine mounts, pair") {
		t.Errorf("the change: %q", got)
	}
}
