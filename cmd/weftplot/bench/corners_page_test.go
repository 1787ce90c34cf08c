package bench_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// TestCornersOutsideThePhoto hands over a photo of white paper on a white table, cut off by
// the frame at the left and above: its corners are not found, and are dragged to where
// they lie, two of them outside the photo. Then they can be moved again.
func TestCornersOutsideThePhoto(t *testing.T) {
	long(t)
	t.Parallel()
	s := serve(t, t.TempDir(), "")
	ctx := pageOf(t, s)
	until(t, ctx, 10*time.Second, statusIs("Ready"))
	setField(t, ctx, "Sheet of paper", "20x15cm")
	upload(t, ctx, "Drawing", penned(t, 700, 540, [][4]int{{100, 100, 580, 100}, {100, 400, 580, 400}}))
	// handle finds a corner by its name, to be seen.
	handle := func(name string) string {
		return `[...document.querySelectorAll('.photo circle')].find(c => c.getAttribute('aria-label') === ` + quote(name) + ` && c.getBoundingClientRect().width)`
	}
	until(t, ctx, 20*time.Second, `!!`+handle("Upper left corner"))
	names := []string{"Upper left corner", "Upper right corner", "Lower right corner", "Lower left corner"}
	want := [][2]float64{{-40, -10}, {660, -10}, {660, 515}, {-40, 515}}
	for i, name := range names {
		at := eval[[]float64](t, ctx, `{ const c = `+handle(name)+`; c.scrollIntoView({block: 'center'}); const r = c.getBoundingClientRect();
			const to = new DOMPoint(`+fmt.Sprint(want[i][0], ",", want[i][1])+`).matrixTransform(c.ownerSVGElement.getScreenCTM());
			[r.left + r.width / 2, r.top + r.height / 2, to.x, to.y]; }`)
		must(t, chromedp.Do(ctx,
			chromedp.MouseEvent(input.DispatchMouseEventTypeMousePressed, at[0], at[1], chromedp.ButtonLeft, chromedp.ClickCount(1)),
			chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, at[2], at[3], chromedp.ButtonLeft),
			chromedp.MouseEvent(input.DispatchMouseEventTypeMouseReleased, at[2], at[3], chromedp.ButtonLeft, chromedp.ClickCount(1))))
	}
	until(t, ctx, 5*time.Second, `document.querySelector('#step-drawing').textContent.includes('Lower left corner: -40 across, 515 down, in pixels of the photo, outside it.')`)
	pressHere(t, ctx, "Read the sheet within these corners")
	until(t, ctx, 30*time.Second, `document.querySelector('.scan').alt.includes('with 2 lines')`)
	press(t, ctx, "Move the corners of the sheet")
	until(t, ctx, 10*time.Second, `!!`+handle("Upper left corner"))
	for i, name := range names {
		got := eval[[]float64](t, ctx, `{ const c = `+handle(name)+`; [Number(c.getAttribute('cx')), Number(c.getAttribute('cy'))]; }`)
		if math.Hypot(got[0]-want[i][0], got[1]-want[i][1]) > 2 {
			t.Errorf("the %s is shown at %v, not at %v", name, got, want[i])
		}
	}
	// The keys move one too, as far as the margin goes.
	eval[any](t, ctx, `{ const c = `+handle(names[0])+`; c.focus(); for (let k = 0; k < 60; k++) c.dispatchEvent(new KeyboardEvent('keydown', {key: 'ArrowLeft', bubbles: true})); 1; }`)
	if x := eval[float64](t, ctx, `Number(`+handle(names[0])+`.getAttribute('cx'))`); math.Abs(x+0.3*540) > 1e-6 {
		t.Errorf("the upper left corner goes to %v across, and the margin to %v", x, -0.3*540)
	}
	eval[any](t, ctx, `{ const c = `+handle(names[0])+`; for (let k = 0; k < 22; k++) c.dispatchEvent(new KeyboardEvent('keydown', {key: 'ArrowRight', bubbles: true})); 1; }`)
	pressHere(t, ctx, "Read the sheet within these corners")
	until(t, ctx, 30*time.Second, `!`+handle("Upper left corner"))
}
