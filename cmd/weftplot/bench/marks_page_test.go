package bench_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// TestMarksOnALeaningCloth gives the page marks of a cloth that is turned by 2
// degrees and leans by 1, as a person finds them, and draws on it. The places are
// computed here: turn by a, then shear by s, of the count 12 x 13 an inch.
func TestMarksOnALeaningCloth(t *testing.T) {
	long(t)
	t.Parallel()
	dir := t.TempDir()
	ctx := openedDrawn(t, serveAt(t, dir, "../demo/lighthouse-mat.svg", 10*lifeSpeed))
	step(t, ctx, "2")
	setField(t, ctx, "Finished width", "14in")
	until(t, ctx, 5*time.Second, `document.querySelector('#step-rug').textContent.includes('14 in')`)
	a, lean := 2*math.Pi/180, math.Tan(1*math.Pi/180)
	upload := func(places [][2]float64) {
		var b strings.Builder
		for _, p := range places {
			x, y := p[0]*25.4/12, p[1]*25.4/13
			x += lean * y
			fmt.Fprintf(&b, "[[mark]]\nacross = %g\nalong = %g\nx = \"%.3fmm\"\ny = \"%.3fmm\"\n", p[0], p[1], 100+x*math.Cos(a)-y*math.Sin(a), 100+x*math.Sin(a)+y*math.Cos(a))
		}
		file := filepath.Join(t.TempDir(), "marks.toml")
		must(t, os.WriteFile(file, []byte(b.String()), 0o644))
		upload(t, ctx, "Marks from a file", file)
	}
	step(t, ctx, "6")
	corners := [][2]float64{{0, 0}, {168, 0}, {0, 248}, {168, 248}}
	upload(corners)
	// What the marks cannot tell, and which would help, stand beside the residuals.
	for _, words := range []string{"cannot show a bow", "The mark that would help most next: channel ", "mm off the fit", "in 95 of 100 cloths"} {
		until(t, ctx, 10*time.Second, `document.querySelector('#step-marks').textContent.includes(`+quote(words)+`)`)
	}
	upload(append(corners, [2]float64{84, 124}, [2]float64{84, 0}))
	until(t, ctx, 10*time.Second, `document.querySelector('#step-marks').textContent.includes('Mark 6')`)
	until(t, ctx, 10*time.Second, `document.querySelector('#step-marks').textContent.includes('Fitted as')`)
	t.Log(eval[string](t, ctx, `document.querySelector('#step-marks').innerText.slice(-700)`))
	waitFor(t, 5*time.Second, func() bool {
		data, _ := os.ReadFile(filepath.Join(dir, "lighthouse-mat-job", "job.toml"))
		return strings.Contains(string(data), "marks = 'marks.toml'")
	})
	step(t, ctx, "8")
	tickAndDraw(t, ctx)
	until(t, ctx, 60*time.Second, statusIs("Drawn"))
	if text := eval[string](t, ctx, `document.querySelector('[role=status]').textContent`); !strings.Contains(text, "as asked") {
		t.Error(text)
	}
}

// TestMarksFoundByHand steers the pen to places and marks them.
func TestMarksFoundByHand(t *testing.T) {
	long(t)
	t.Parallel()
	ctx, _ := onPage(t, "../demo/lighthouse-mat.svg")
	step(t, ctx, "6")
	press(t, ctx, "Take the pen")
	until(t, ctx, 10*time.Second, `document.querySelector('#step-marks').textContent.includes('The pen is at 0.00, 0.00')`)
	// On a small screen what moves the pen, and Stop, are seen at once.
	must(t, chromedp.Do(ctx, chromedp.EmulateViewport(1024, 768)))
	time.Sleep(300 * time.Millisecond)
	for _, name := range []string{"Pen left", "Pen right", "Pen away", "Pen near", "Stop", "Mark this place", "Go where the next mark should be"} {
		if !eval[bool](t, ctx, `(b => { const r = b.getBoundingClientRect(), e = document.elementFromPoint(r.left + r.width / 2, r.top + r.height / 2);
			return r.top >= 0 && r.bottom <= innerHeight && b.contains(e) })([...document.querySelectorAll('button')].find(b => b.textContent === `+quote(name)+`))`) {
			t.Errorf("at 1024 x 768 the button %s is not in view while the pen is steered", name)
		}
	}
	if on := eval[string](t, ctx, `document.activeElement.textContent`); on != "Pen away" {
		t.Errorf("the keyboard is at %q after the pen was taken", on)
	}
	choose(t, ctx, "A step is", "10")
	for n := 1; n <= 8; n++ {
		press(t, ctx, "Pen right")
		until(t, ctx, 5*time.Second, fmt.Sprintf(`document.querySelector('#step-marks').textContent.includes('The pen is at %d.00, 0.00')`, 10*n))
	}
	for n := 1; n <= 8; n++ {
		press(t, ctx, "Pen away")
		until(t, ctx, 5*time.Second, fmt.Sprintf(`document.querySelector('#step-marks').textContent.includes('The pen is at 80.00, %d.00')`, 10*n))
	}
	setField(t, ctx, "Channel across", "0")
	setField(t, ctx, "Channel along", "0")
	press(t, ctx, "Mark this place")
	until(t, ctx, 5*time.Second, `document.querySelector('#step-marks').textContent.includes('Mark 1 is taken')`)
	for n := 2; n <= 4; n++ {
		press(t, ctx, "Go where the next mark should be")
		time.Sleep(600 * time.Millisecond)
		press(t, ctx, "Mark this place")
		until(t, ctx, 10*time.Second, fmt.Sprintf(`document.querySelector('#step-marks').textContent.includes('Mark %d is taken')`, n))
	}
	until(t, ctx, 5*time.Second, `document.querySelector('#step-marks').textContent.includes('Fitted as')`)
	press(t, ctx, "Leave the pen")
	until(t, ctx, 5*time.Second, `document.querySelector('.frame').hidden`)
}
