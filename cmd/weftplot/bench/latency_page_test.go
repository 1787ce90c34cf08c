package bench_test

import (
	"context"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

var measure = flag.Bool("measure", false, "measure how long the page takes")

// changed sets a setting n times and returns how long each took until both
// pictures were drawn anew, and the longest that the page was blocked, in ms.
func changed(t *testing.T, ctx context.Context, n int) (took []float64, blocked float64) {
	t.Helper()
	eval[any](t, ctx, `window.longest = 0; new PerformanceObserver(l => { for (const e of l.getEntries()) window.longest = Math.max(window.longest, e.duration) }).observe({entryTypes: ['longtask']}); 1`)
	for i := range n {
		ms := eval[float64](t, ctx, fmt.Sprintf(`new Promise(done => {
			const input = document.getElementById([...document.querySelectorAll('label')].find(l => l.textContent === 'Finished width').htmlFor);
			const cloths = [...document.querySelectorAll('.cloth')], was = cloths.map(c => c.dataset.picture), began = performance.now();
			const o = new MutationObserver(() => { if (cloths.every((c, i) => c.dataset.picture !== was[i])) { o.disconnect(); done(performance.now() - began); } });
			for (const c of cloths) o.observe(c, {attributes: true, attributeFilter: ['data-picture']});
			input.value = '%dmm'; input.dispatchEvent(new Event('change'));
		})`, 300+i))
		took = append(took, ms)
		time.Sleep(time.Duration(100+i*7%200) * time.Millisecond)
	}
	return took, eval[float64](t, ctx, `window.longest`)
}

// many writes a design of n strokes of four cubics each.
func many(t *testing.T, n int) string {
	var b strings.Builder
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="400mm" viewBox="0 0 400 400"><g fill="none" stroke="#000">`)
	side := 1
	for side*side < n {
		side++
	}
	step := 400 / float64(side)
	for i := range n {
		x, y := float64(i%side)*step, float64(i/side)*step
		fmt.Fprintf(&b, `<path d="M%.3f %.3fc%.3f %.3f %.3f %.3f %.3f 0s%.3f %.3f %.3f 0s%.3f %.3f %.3f 0s%.3f %.3f %.3f 0"/>`,
			x+step*.1, y+step*.5, step*.05, step*.3, step*.15, step*.3, step*.2, step*.15, -step*.3, step*.2, step*.15, step*.3, step*.2, step*.15, -step*.3, step*.2)
	}
	b.WriteString(`</g></svg>`)
	name := filepath.Join(t.TempDir(), fmt.Sprintf("many-%d.svg", n))
	must(t, os.WriteFile(name, []byte(b.String()), 0o644))
	return name
}

// TestHowLong prints how long the page takes. It judges nothing: the computer
// may be busy.
func TestHowLong(t *testing.T) {
	if !*measure {
		t.Skip("-measure prints how long the page takes")
	}
	for _, c := range []struct {
		name, file string
		n          int
	}{{"demo", "../demo/lighthouse-mat.svg", 50}, {"2,000 strokes", many(t, 2000), 50}, {"20,000 strokes", many(t, 20000), 3}} {
		t.Run(c.name, func(t *testing.T) {
			s := serve(t, t.TempDir(), c.file)
			ctx := browser(t)
			must(t, chromedp.Do(ctx, chromedp.Navigate(s.address)))
			until(t, ctx, 60*time.Second, drawnCloths)
			step(t, ctx, "2")
			time.Sleep(3 * time.Second)
			took, blocked := changed(t, ctx, c.n)
			slices.Sort(took)
			fps := eval[float64](t, ctx, panning)
			t.Logf("%-15s median %.0f ms, 95th percentile %.0f ms, longest task %.0f ms, %.0f frames a second", c.name, took[len(took)/2], took[len(took)*95/100], blocked, fps)
		})
	}
}

// panning drags and turns the wheel for two seconds and counts frames.
const panning = `new Promise(done => {
	const c = document.querySelector('.front .cloth'), r = c.getBoundingClientRect();
	const ev = (type, x, y) => new PointerEvent(type, {pointerId: 1, clientX: x, clientY: y, bubbles: true});
	c.setPointerCapture = () => {};
	let n = 0; const began = performance.now();
	c.dispatchEvent(ev('pointerdown', r.left + 100, r.top + 100));
	const tick = () => {
		n++;
		const t = performance.now() - began;
		c.dispatchEvent(ev('pointermove', r.left + 100 + 80 * Math.sin(t / 200), r.top + 100 + 50 * Math.cos(t / 300)));
		if (n % 3 === 0) c.dispatchEvent(new WheelEvent('wheel', {deltaY: 40 * Math.sin(t / 400), clientX: r.left + 150, clientY: r.top + 150, cancelable: true}));
		if (t < 2000) requestAnimationFrame(tick); else { c.dispatchEvent(ev('pointercancel', 0, 0)); done(n / t * 1000); }
	};
	requestAnimationFrame(tick);
})`
