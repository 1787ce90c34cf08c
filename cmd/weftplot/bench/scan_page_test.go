package bench_test

import (
	"fmt"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// penned draws lines 8 pixels wide on white paper, x0, y0, x1, y1, level or
// upright, and writes the picture as a file.
func penned(t *testing.T, w, h int, lines [][4]int) string {
	t.Helper()
	img := image.NewGray(image.Rect(0, 0, w, h))
	for i := range img.Pix {
		img.Pix[i] = 255
	}
	for _, l := range lines {
		for y := l[1] - 4; y < l[3]+4; y++ {
			for x := l[0] - 4; x < l[2]+4; x++ {
				img.SetGray(x, y, color.Gray{Y: 20})
			}
		}
	}
	name := filepath.Join(t.TempDir(), "penned.png")
	f, err := os.Create(name)
	must(t, err)
	defer f.Close()
	must(t, png.Encode(f, img))
	return name
}

// TestLinesFromPaper reads a scan, strikes a line out, puts it back, closes a gap
// and says how wide the drawing is on its paper.
func TestLinesFromPaper(t *testing.T) {
	long(t)
	t.Parallel()
	dir := t.TempDir()
	s := serve(t, dir, "")
	ctx := pageOf(t, s)
	until(t, ctx, 10*time.Second, statusIs("Ready"))
	// 1,000 px are taken as 180 mm: the gap is 40 px less the width of the line, 5.8 mm.
	file := penned(t, 1200, 900, [][4]int{{100, 100, 580, 100}, {620, 100, 1100, 100}, {100, 700, 1100, 700}})
	upload(t, ctx, "Drawing", file)
	const lines = `document.querySelector('.scan').alt`
	has := func(n int) string { return fmt.Sprintf(lines+`.includes('with %d lines')`, n) }
	until(t, ctx, 20*time.Second, `document.querySelector('.scan').naturalWidth > 100`)
	until(t, ctx, 5*time.Second, has(3))

	// A press on the lowest line, where it lies in the picture: 700 of 900 px down.
	strike := `{ const i = document.querySelector('.scan'); i.scrollIntoView(); const r = i.getBoundingClientRect();
		window.struck = false;
		for (let k = 0.5; k < 0.99 && !window.struck; k += 2) i.dispatchEvent(new MouseEvent('click', {bubbles: true, clientX: r.left + r.width / 2, clientY: r.top + r.height * %g})); }`
	eval[any](t, ctx, fmt.Sprintf(strike, 0.02))
	until(t, ctx, 5*time.Second, `document.querySelector('#step-drawing [role=alert]')?.textContent.includes('No line lies there')`)
	at := eval[float64](t, ctx, `fetch('/scan', {headers: {Authorization: 'Bearer ' + sessionStorage.getItem('secret')}}).then(r => r.text()).then(svg => {
		const [x, y, w, h] = /viewBox="([^"]*)"/.exec(svg)[1].split(' ').map(Number), m = /matrix\(([^)]*)\)/.exec(svg)[1].split(' ').map(Number);
		return (m[3] * 200 / 1000 * 180 + m[5] - y) / h; })`)
	eval[any](t, ctx, fmt.Sprintf(strike, at))
	until(t, ctx, 5*time.Second, has(2))
	press(t, ctx, "Take the last change back")
	until(t, ctx, 5*time.Second, has(3))

	// Two ends are joined by a press near each, here by the keys alone: the cross
	// begins in the middle and goes 2 of 100 at a press. The ends are those at
	// 580 and 620 of 1,200 px, 100 of 900 down.
	eval[any](t, ctx, `document.querySelector('input[value=join]').click(), document.querySelector('.onpaper').focus(), 1`)
	keys := func(key string, n int) {
		for range n {
			eval[any](t, ctx, `document.querySelector('.onpaper').dispatchEvent(new KeyboardEvent('keydown', {key: `+quote(key)+`, bubbles: true})), 1`)
		}
	}
	up := eval[float64](t, ctx, `fetch('/scan', {headers: {Authorization: 'Bearer ' + sessionStorage.getItem('secret')}}).then(r => r.text()).then(svg => {
		const [x, y, w, h] = /viewBox="([^"]*)"/.exec(svg)[1].split(' ').map(Number), m = /matrix\(([^)]*)\)/.exec(svg)[1].split(' ').map(Number);
		return (m[3] * 800 / 1000 * 180 + m[5] - y) / h; })`)
	keys("ArrowUp", int((0.5-up)/0.02+0.5))
	keys("ArrowLeft", 1)
	keys("Enter", 1)
	until(t, ctx, 5*time.Second, `document.querySelector('.onpaper').nextElementSibling.nextElementSibling.textContent.includes('the other line')`)
	keys("ArrowRight", 2)
	keys("Enter", 1)
	until(t, ctx, 5*time.Second, `document.querySelector('#step-drawing').textContent.includes('No two ends lie near each other')`)
	press(t, ctx, "Take the last change back")
	until(t, ctx, 5*time.Second, `document.querySelector('#step-drawing').textContent.includes('Close gap 1')`)
	keys("Enter", 1)
	keys("ArrowDown", 10)
	keys("Enter", 1)
	until(t, ctx, 5*time.Second, `document.querySelector('#step-drawing [role=alert]')?.textContent.includes('No other line ends at the second place')`)
	eval[any](t, ctx, `document.querySelector('input[value=strike]').click(), 1`)

	press(t, ctx, "Close gap 1")
	until(t, ctx, 5*time.Second, `document.querySelector('#step-drawing').textContent.includes('No two ends lie near each other')`)
	design := filepath.Join(dir, "penned-job", "design.svg")
	waitFor(t, 10*time.Second, func() bool {
		data, _ := os.ReadFile(filepath.Join(dir, "penned-job", "report.json"))
		return strings.Contains(string(data), `"strokes": 2`)
	})
	if data, err := os.ReadFile(design); err != nil || !strings.Contains(string(data), `width="215.9`) {
		t.Errorf("the design: %v %.200s", err, data)
	}
	setField(t, ctx, "The drawing on the paper is wide", "36cm")
	waitFor(t, 20*time.Second, func() bool {
		data, _ := os.ReadFile(design)
		return strings.Contains(string(data), `width="431.9`)
	})
	setField(t, ctx, "The drawing on the paper is wide", "0mm")
	until(t, ctx, 4*time.Second, `document.querySelector('#step-drawing [role=alert]')?.textContent.includes('not possible')`)
}
