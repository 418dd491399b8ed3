// SPDX-License-Identifier: Apache-2.0

package browsertest

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"strings"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// run carries out one action and returns its result.
func run[T any](p *Page, step string, a chromedp.Action[T]) T {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	v, err := chromedp.Run(ctx, a)
	p.must(step, err)
	return v
}

// call carries out one command of the browser's protocol on the page.
func call[P, R any](p *Page, step string, cmd cdp.Command[P, R], params P) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	_, err := chromedp.Call(ctx, cmd, params)
	p.must(step, err)
}

// Wait waits until sel selects something that is to be seen.
func (p *Page) Wait(sel string) {
	p.t.Helper()
	p.do("wait for "+sel, chromedp.WaitVisible(chromedp.CSS(sel)))
}

// WaitGone waits until sel selects nothing.
func (p *Page) WaitGone(sel string) {
	p.t.Helper()
	p.do("wait until there is no "+sel, chromedp.WaitNotPresent(chromedp.CSS(sel)))
}

// WaitText waits until the first element that sel selects holds a text.
func (p *Page) WaitText(sel, text string) {
	p.t.Helper()
	p.WaitFor(fmt.Sprintf(`!!document.querySelector(%s)?.innerText.includes(%s)`, quote(sel), quote(text)))
}

// WaitFor waits until an expression is true in the page.
func (p *Page) WaitFor(expression string) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	for {
		_, err := chromedp.Run(ctx, chromedp.Poll[bool](expression, chromedp.WithPollingTimeout(patience)))
		if err != nil && (strings.Contains(err.Error(), "Cannot find context") || strings.Contains(err.Error(), "navigated or closed")) {
			continue // the page went on to another while it was asked
		}
		p.must("wait for "+expression, err)
		return
	}
}

// Text is the text, as it is seen, of the first element that sel selects.
func (p *Page) Text(sel string) string {
	p.t.Helper()
	p.do("find "+sel, chromedp.WaitReady(chromedp.CSS(sel)))
	return run(p, "read "+sel, chromedp.Evaluate[string](fmt.Sprintf(`document.querySelector(%s).innerText`, quote(sel))))
}

// Texts are the texts of all elements that sel selects now.
func (p *Page) Texts(sel string) []string {
	p.t.Helper()
	return run(p, "read "+sel, chromedp.Evaluate[[]string](fmt.Sprintf(`[...document.querySelectorAll(%s)].map(e=>e.innerText)`, quote(sel))))
}

// Value is what stands in a field.
func (p *Page) Value(sel string) string {
	p.t.Helper()
	p.do("find "+sel, chromedp.WaitReady(chromedp.CSS(sel)))
	return run(p, "read "+sel, chromedp.Evaluate[string](fmt.Sprintf(`document.querySelector(%s).value`, quote(sel))))
}

// Attr is an attribute of the first element that sel selects, empty if it has
// none.
func (p *Page) Attr(sel, name string) string {
	p.t.Helper()
	p.do("find "+sel, chromedp.WaitReady(chromedp.CSS(sel)))
	return run(p, "read "+sel, chromedp.Evaluate[string](fmt.Sprintf(`document.querySelector(%s).getAttribute(%s)||""`, quote(sel), quote(name))))
}

// Exists says whether sel selects anything now.
func (p *Page) Exists(sel string) bool {
	p.t.Helper()
	return p.Count(sel) > 0
}

// Count is how many elements sel selects now.
func (p *Page) Count(sel string) int {
	p.t.Helper()
	return run(p, "count "+sel, chromedp.Evaluate[int](fmt.Sprintf(`document.querySelectorAll(%s).length`, quote(sel))))
}

// Focused describes the element that has the focus, as tag#id[name].
func (p *Page) Focused() string {
	p.t.Helper()
	return run(p, "read the focus", chromedp.Evaluate[string](
		`(e=>e.tagName.toLowerCase()+(e.id?"#"+e.id:"")+(e.getAttribute("name")?"["+e.getAttribute("name")+"]":""))(document.activeElement)`))
}

// Eval evaluates an expression in the page, awaits it if it is a promise, and
// returns the result as JSON.
func (p *Page) Eval(expression string) string {
	p.t.Helper()
	return string(run(p, "evaluate "+expression, chromedp.Evaluate[json.RawMessage](expression, chromedp.EvalAwaitPromise)))
}

// Overflow is by how many pixels the page is wider than the screen.
func (p *Page) Overflow() int {
	p.t.Helper()
	return run(p, "measure the page", chromedp.Evaluate[int](`document.documentElement.scrollWidth-document.documentElement.clientWidth`))
}

// Axe holds the page against the rules of axe-core and returns what breaks
// them, one line each. Rules that are named are the only ones.
func (p *Page) Axe(only ...string) []string {
	p.t.Helper()
	file := os.Getenv("WITNESSMARK_AXE")
	if file == "" {
		leaveOut(p.t, "axe-core is not there: ./test fetches it and sets WITNESSMARK_AXE")
	}
	script, err := os.ReadFile(file)
	if err != nil {
		leaveOut(p.t, "axe-core cannot be read: "+err.Error())
	}
	if run(p, "look for axe-core", chromedp.Evaluate[bool](`typeof axe=="undefined"`)) {
		run(p, "load axe-core", chromedp.Evaluate[int](string(script)+"\n;0"))
	}
	rules := ""
	if len(only) > 0 {
		rules = `runOnly:["` + strings.Join(only, `","`) + `"],`
	}
	return run(p, "run axe-core", chromedp.Evaluate[[]string](
		`axe.run({`+rules+`resultTypes:["violations"],preload:false}).then(r=>r.violations.flatMap(v=>v.nodes.map(n=>v.id+": "+v.help+" ("+n.target.join(" ")+") "+n.html.slice(0,160))))`,
		chromedp.EvalAwaitPromise))
}

// keyName turns the name of a key into the library's rune for it. Text that
// names no key is typed as it is.
func keyName(key string) string {
	if k, ok := keys[key]; ok {
		return k
	}
	return key
}

var keys = map[string]string{
	"Enter": kb.Enter, "Tab": kb.Tab, "Escape": kb.Escape, "Backspace": kb.Backspace, "Delete": kb.Delete,
	"ArrowUp": kb.ArrowUp, "ArrowDown": kb.ArrowDown, "ArrowLeft": kb.ArrowLeft, "ArrowRight": kb.ArrowRight,
	"Home": kb.Home, "End": kb.End, "Space": " ",
}

// quote writes a string as JavaScript does.
func quote(s string) string {
	b, _ := json.Marshal(s) // a string always marshals
	return strings.ReplaceAll(string(b), "\u2028", `\u2028`)
}
