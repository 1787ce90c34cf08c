package main

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
	s := serve(t, t.TempDir(), "demo/lighthouse-mat.svg")
	ctx := browser(t)
	must(t, chromedp.Do(ctx, chromedp.Navigate(s.address)))
	until(t, ctx, 10*time.Second, drawnCloths)
	for _, size := range [][2]int64{{360, 740}, {1024, 768}, {1280, 1000}, {1920, 1080}} {
		must(t, chromedp.Do(ctx, chromedp.EmulateViewport(size[0], size[1])))
		for n := 1; n <= 8; n++ {
			step(t, ctx, fmt.Sprint(n))
			time.Sleep(500 * time.Millisecond)
			png, err := chromedp.Run(ctx, chromedp.FullScreenshot(100))
			must(t, err)
			must(t, os.WriteFile(filepath.Join(*viewsTo, fmt.Sprintf("%d-step%d.png", size[0], n)), png, 0o644))
		}
	}
}
