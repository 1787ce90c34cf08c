package bench_test

import (
	"context"
	"testing"
	"time"

	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/cdproto/target"
	"github.com/chromedp/chromedp"
)

// another opens one more tab on the address.
func another(t *testing.T, ctx context.Context, address string) (context.Context, func()) {
	t.Helper()
	tab, end := chromedp.NewContext(ctx)
	must(t, chromedp.Do(tab, chromedp.Navigate(address)))
	until(t, tab, 10*time.Second, `document.querySelector('[role=status]')?.textContent`)
	return tab, end
}

// can tells whether a button of the step Drawing it can be pressed.
func can(name string) string {
	return `![...document.querySelectorAll('button')].find(b => b.textContent === ` + quote(name) + `).disabled`
}

// TestStopWithEightPages stops a job from the eighth of eight pages: six open
// streams would block every other request of a browser over HTTP/1.1.
func TestStopWithEightPages(t *testing.T) {
	long(t)
	s := serve(t, t.TempDir(), "../demo/lighthouse-mat.svg")
	ctx := openedDrawn(t, s)
	var last context.Context
	for range 7 {
		last, _ = another(t, ctx, s.address)
	}
	step(t, ctx, "8")
	tickAndDraw(t, ctx)
	until(t, last, 5*time.Second, statusIs("Drawing"))
	step(t, last, "8")
	eval[any](t, last, tickAll+`, 1`)
	for _, name := range []string{"Draw", "Resume", "Rehearse", "Once round the edge", "Hold", "Lift"} {
		if eval[bool](t, last, can(name)) {
			t.Errorf("a page that watches can press %s", name)
		}
	}
	began := time.Now()
	press(t, last, "Stop")
	until(t, ctx, 5*time.Second, statusIs("Stopped"))
	t.Logf("stopped after %v, with eight pages open", time.Since(began))
}

// TestTheNextPageTakesOver closes, loads again and doubles pages.
func TestTheNextPageTakesOver(t *testing.T) {
	long(t)
	t.Parallel()
	s := serve(t, t.TempDir(), "../demo/lighthouse-mat.svg")
	root := ownBrowser(t)
	must(t, chromedp.Do(root, chromedp.Navigate("about:blank")))
	first, end := another(t, root, s.address)
	second, _ := another(t, root, s.address)
	for _, tab := range []context.Context{first, second} {
		until(t, tab, 10*time.Second, drawnCloths)
		step(t, tab, "8")
	}
	const edge = "Once round the edge"
	until(t, first, 2*time.Second, can(edge))
	if eval[bool](t, second, can(edge)) {
		t.Fatal("the second page leads")
	}
	must(t, chromedp.Do(first, chromedp.Reload()))
	until(t, first, 10*time.Second, drawnCloths)
	until(t, first, 2*time.Second, can(edge))
	until(t, second, time.Second, "!("+can(edge)+")") // it may lead for the time a slow computer takes
	// A tab that the first one opens begins with all that the first has stored.
	opened := chromedp.WaitNewTarget(first, func(i *target.Info) bool { return i.Type == "page" })
	_, err := chromedp.Run(first, chromedp.Evaluate[any](`window.open(location.href), 1`, func(p *runtime.EvaluateParams) { yes := true; p.UserGesture = &yes }))
	must(t, err)
	var id target.ID
	select {
	case id = <-opened:
	case <-time.After(5 * time.Second):
		t.Fatal("no tab was opened")
	}
	double, _ := chromedp.NewContext(first, chromedp.WithTargetID(id))
	until(t, double, 10*time.Second, `document.querySelector('[role=status]')?.textContent`)
	time.Sleep(time.Second)
	if eval[bool](t, double, can(edge)) || !eval[bool](t, first, can(edge)) {
		t.Error("a doubled tab leads")
	}
	began := time.Now()
	end()
	until(t, second, 10*time.Second, can(edge))
	t.Logf("the next page took over after %v", time.Since(began)) // door holds it to half a second, by a clock of its own
}
