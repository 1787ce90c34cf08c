package bench_test

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// TestAccess holds every view to the rules that axe-core 4.14.1 checks (MPL-2.0,
// testdata/axe, used here only): WCAG 2.2 A and AA, and good practice.
func TestAccess(t *testing.T) {
	long(t)
	t.Parallel()
	axe, err := os.ReadFile("testdata/axe/axe.min.js")
	must(t, err)
	ctx, _ := onPage(t, "../demo/lighthouse-mat.svg")
	// The page's own policy keeps foreign script out; the debugger may.
	eval[any](t, ctx, string(axe)+`; 1`)
	look := func(view string) {
		t.Helper()
		eval[any](t, ctx, `window.found = null; axe.run().then(r => { window.found = r }); 1`)
		until(t, ctx, 60*time.Second, `window.found`)
		n := eval[int](t, ctx, `window.found.passes.length`)
		if n < 10 {
			t.Errorf("%s: only %d rules had something to look at", view, n)
		}
		for _, v := range eval[[]string](t, ctx, `window.found.violations.flatMap(v => v.nodes.map(n => v.id + ': ' + n.html.slice(0, 160) + ' ' + (n.any[0]?.message || '')))`) {
			t.Errorf("%s: %s", view, v)
		}
		t.Logf("%s: %d rules hold", view, n)
	}
	for _, width := range []int64{360, 1280} {
		must(t, chromedp.Do(ctx, chromedp.EmulateViewport(width, 1000)))
		for n := 1; n <= 8; n++ {
			step(t, ctx, fmt.Sprint(n))
			time.Sleep(200 * time.Millisecond)
			eval[any](t, ctx, `document.querySelectorAll('details').forEach(d => d.open = true), 1`)
			look(fmt.Sprintf("%d px, step %d", width, n))
			if wide := eval[int](t, ctx, `document.documentElement.scrollWidth`); wide > int(width) {
				t.Errorf("step %d is %d px wide on a page of %d", n, wide, width)
			}
		}
	}
	must(t, chromedp.Do(ctx, chromedp.EmulateViewport(1280, 1000)))
	step(t, ctx, "2")
	setField(t, ctx, "Finished width", "9in")
	setField(t, ctx, "How many", "4")
	until(t, ctx, 10*time.Second, `document.querySelectorAll('.copies tbody tr').length === 4`)
	look("copies")
	step(t, ctx, "8")
	until(t, ctx, 60*time.Second, `document.querySelector('#step-draw').textContent.includes('For load 1')`)
	look("copies to draw")
	step(t, ctx, "2")
	setField(t, ctx, "How many", "\b")
	until(t, ctx, 10*time.Second, `document.querySelector('.copies').hidden`)
	setField(t, ctx, "Finished width", "26in")
	until(t, ctx, 10*time.Second, `!document.querySelector('.loads').hidden`)
	look("loads offered")
	label(t, ctx, "Draw it in several loads")
	until(t, ctx, 20*time.Second, `document.querySelectorAll('.copies tbody tr').length > 1`)
	look("loads")
	step(t, ctx, "8")
	look("loads to draw")
	step(t, ctx, "2")
	setField(t, ctx, "Finished width", "9in")
	until(t, ctx, 20*time.Second, `document.querySelector('.copies').hidden`)
	label(t, ctx, "Draw it in several loads")
	until(t, ctx, 10*time.Second, `document.querySelector('.loads').hidden`)
	step(t, ctx, "4")
	label(t, ctx, "Ironed on")
	label(t, ctx, "No machine: it is printed")
	until(t, ctx, 10*time.Second, `document.querySelector('.printing').textContent.includes('The iron is pressed at ')`)
	look("printed on paper")
	setField(t, ctx, "Overlap of the sheets", "30cm")
	until(t, ctx, 5*time.Second, `document.querySelector('.printing [role=alert]')`)
	look("paper refused")
	for _, n := range []string{"5", "6", "7", "8"} {
		step(t, ctx, n)
		look("no machine, step " + n)
	}
	step(t, ctx, "4")
	label(t, ctx, "The machine")
	label(t, ctx, "Drawn on the backing")
	until(t, ctx, 10*time.Second, `!document.querySelector('#step-transfer').textContent.includes('The paper shows:')`)
	step(t, ctx, "6")
	until(t, ctx, 10*time.Second, `[...document.querySelectorAll('button')].some(b => b.textContent === 'Take the pen' && !b.disabled)`)
	press(t, ctx, "Take the pen")
	until(t, ctx, 10*time.Second, `document.querySelector('#step-marks').textContent.includes('The pen is at')`)
	look("steering")
	press(t, ctx, "Leave the pen")
	until(t, ctx, 5*time.Second, `document.querySelector('.frame').hidden`)
	step(t, ctx, "2")
	setField(t, ctx, "Finished width", "0in")
	until(t, ctx, 4*time.Second, `document.querySelector('#step-rug [role=alert]')`)
	look("a refusal")
	setField(t, ctx, "Finished width", "18in")
	until(t, ctx, 4*time.Second, `!document.querySelector('#step-rug [role=alert]')`)
	step(t, ctx, "8")
	tickAndDraw(t, ctx)
	until(t, ctx, 5*time.Second, statusIs("Drawing"))
	press(t, ctx, "Lift")
	until(t, ctx, 5*time.Second, statusIs("Held"))
	look("held")
	press(t, ctx, "Stop")
	until(t, ctx, 10*time.Second, statusIs("Stopped"))
	look("half drawn")
	file := filepath.Join(t.TempDir(), "lettered.svg")
	must(t, os.WriteFile(file, []byte(lettered), 0o644))
	scan := penned(t, 1200, 900, [][4]int{{100, 100, 580, 100}, {620, 100, 1100, 100}})
	step(t, ctx, "1")
	for _, c := range []struct{ file, there, view string }{
		{file, `document.querySelector('#step-drawing .doubts [role=alert]')`, "what stands against a job"},
		{scan, `document.querySelector('.scan').naturalWidth > 100`, "lines on paper"},
	} {
		upload(t, ctx, "Drawing", c.file)
		until(t, ctx, 20*time.Second, c.there)
		look(c.view)
	}
}

// TestLargeText sets the text of the page to twice its size, and the page to the
// width of a telephone (WCAG 2.2, 1.4.4 and 1.4.10): nothing is to be scrolled in
// two ways but what is a picture, a table or a program, and nothing is cut off.
func TestLargeText(t *testing.T) {
	long(t)
	t.Parallel()
	ctx, _ := onPage(t, "../demo/lighthouse-mat.svg")
	const beyond = `[...document.querySelectorAll('body *')].filter(e => {
		const r = e.getBoundingClientRect();
		return r.width && r.right > innerWidth + 1 && !e.closest('.cloth, pre, textarea, .skip');
	}).map(e => e.tagName + ' ' + e.className + ' ' + e.textContent.slice(0, 40)).slice(0, 5)`
	look := func(view string) {
		t.Helper()
		time.Sleep(150 * time.Millisecond)
		if list := eval[[]string](t, ctx, beyond); len(list) > 0 {
			t.Errorf("%s: wider than the page: %q", view, list)
		}
		if cut := eval[[]string](t, ctx, `[...document.querySelectorAll('button, label, h1, h2, h3')].filter(e => e.offsetParent && e.scrollWidth > e.clientWidth + 1 && getComputedStyle(e).overflowX !== 'visible').map(e => e.textContent)`); len(cut) > 0 {
			t.Errorf("%s: cut off: %q", view, cut)
		}
	}
	for _, c := range []struct {
		width, height int64
		text          string
	}{{360, 740, "100%"}, {360, 740, "200%"}, {1280, 1000, "200%"}, {1024, 768, "200%"}} {
		must(t, chromedp.Do(ctx, chromedp.EmulateViewport(c.width, c.height)))
		eval[any](t, ctx, `document.documentElement.style.fontSize = `+quote(c.text)+`, 1`)
		for n := 1; n <= 8; n++ {
			step(t, ctx, fmt.Sprint(n))
			eval[any](t, ctx, `document.querySelectorAll('details').forEach(d => d.open = true), 1`)
			look(fmt.Sprintf("%d px, text %s, step %d", c.width, c.text, n))
		}
	}
	must(t, chromedp.Do(ctx, chromedp.EmulateViewport(360, 740)))
	step(t, ctx, "6")
	press(t, ctx, "Take the pen")
	until(t, ctx, 10*time.Second, `document.querySelector('#step-marks').textContent.includes('The pen is at')`)
	look("steering")
	// With text twice its size on a telephone, Stop is in view all the same.
	if !eval[bool](t, ctx, `(r => r.top >= 0 && r.bottom <= innerHeight)(document.querySelector('.stop').getBoundingClientRect())`) {
		t.Error("Stop is not in view while the pen is steered")
	}
	press(t, ctx, "Leave the pen")
}
