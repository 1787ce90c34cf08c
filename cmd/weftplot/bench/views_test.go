package bench_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

var viewsTo = flag.String("views", "", "write pictures of every view of the page to this folder")

// TestViews writes pictures of every view, to be looked at by eye.
func TestViews(t *testing.T) {
	if *viewsTo == "" {
		t.Skip("-views DIR writes pictures of every view")
	}
	must(t, os.MkdirAll(*viewsTo, 0o777))
	s := serve(t, t.TempDir(), "../demo/lighthouse-mat.svg")
	ctx := browser(t)
	must(t, chromedp.Do(ctx, chromedp.Navigate(s.address)))
	until(t, ctx, 10*time.Second, drawnCloths)
	sizes := [][2]int64{{360, 740}, {1024, 768}, {1280, 1000}, {1920, 1080}}
	for _, size := range sizes {
		must(t, chromedp.Do(ctx, chromedp.EmulateViewport(size[0], size[1])))
		for n := 1; n <= 8; n++ {
			step(t, ctx, fmt.Sprint(n))
			time.Sleep(500 * time.Millisecond)
			png, err := chromedp.Run(ctx, chromedp.FullScreenshot(100))
			must(t, err)
			must(t, os.WriteFile(filepath.Join(*viewsTo, fmt.Sprintf("%d-step%d.png", size[0], n)), png, 0o644))
		}
	}
	shoot := func(name string) {
		for _, size := range sizes {
			must(t, chromedp.Do(ctx, chromedp.EmulateViewport(size[0], size[1])))
			time.Sleep(400 * time.Millisecond)
			png, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
			must(t, err)
			must(t, os.WriteFile(filepath.Join(*viewsTo, fmt.Sprintf("%d-%s.png", size[0], name)), png, 0o644))
		}
	}
	step(t, ctx, "2")
	setField(t, ctx, "Finished width", "0in")
	shoot("refusal")
	step(t, ctx, "4")
	label(t, ctx, "Ironed on")
	label(t, ctx, "No machine: it is printed")
	until(t, ctx, 10*time.Second, `document.querySelector('.printing').textContent.includes('The iron is pressed at ')`)
	shoot("sheets")
	label(t, ctx, "Where the iron is pressed")
	shoot("iron")
	full := func(name string) {
		for _, size := range sizes {
			must(t, chromedp.Do(ctx, chromedp.EmulateViewport(size[0], size[1])))
			time.Sleep(400 * time.Millisecond)
			png, err := chromedp.Run(ctx, chromedp.FullScreenshot(100))
			must(t, err)
			must(t, os.WriteFile(filepath.Join(*viewsTo, fmt.Sprintf("%d-%s.png", size[0], name)), png, 0o644))
		}
	}
	full("printed")
	label(t, ctx, "The machine")
	label(t, ctx, "Drawn on the backing")
	until(t, ctx, 10*time.Second, `!document.querySelector('#step-transfer').textContent.includes('The paper shows:')`)
	step(t, ctx, "2")
	setField(t, ctx, "Finished width", "18in")
	setField(t, ctx, "Borders", "3")
	step(t, ctx, "3")
	time.Sleep(3 * time.Second)
	eval[any](t, ctx, `document.querySelector('.place')?.click(), 1`)
	shoot("place")
	step(t, ctx, "7")
	time.Sleep(time.Second)
	press(t, ctx, "Play")
	time.Sleep(3 * time.Second)
	press(t, ctx, "Pause")
	shoot("playing")
	step(t, ctx, "6")
	press(t, ctx, "Take the pen")
	until(t, ctx, 10*time.Second, `document.querySelector('#step-marks').textContent.includes('The pen is at')`)
	shoot("steering")
	press(t, ctx, "Leave the pen")
	step(t, ctx, "8")
	tickAndDraw(t, ctx)
	time.Sleep(3 * time.Second)
	shoot("drawing")
	eval[any](t, ctx, `[...document.querySelectorAll('button')].find(b => b.textContent === 'Lift').click(), 1`)
	until(t, ctx, 10*time.Second, statusIs("Held"))
	shoot("held")
	press(t, ctx, "Stop")
	until(t, ctx, 10*time.Second, statusIs("Stopped"))
	upload(t, ctx, "Drawing", "../../../testdata/scans/harbour-pencil.jpg")
	until(t, ctx, 20*time.Second, `document.querySelector('.scan').naturalWidth > 100`)
	step(t, ctx, "1")
	shoot("scan")
}
