package bench_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// filmed writes a film of a drawing, lines 10 pixels wide on white paper, in the
// plain form that Chromium's simulated camera plays (YUV4MPEG2, planes of 4:2:0).
func filmed(t *testing.T) string {
	t.Helper()
	const w, h = 640, 480
	var b bytes.Buffer
	fmt.Fprintf(&b, "YUV4MPEG2 W%d H%d F5:1 Ip A1:1 C420\n", w, h)
	frame := make([]byte, w*h*3/2)
	for i := range frame {
		frame[i] = 128
		if i < w*h {
			frame[i] = 235
			if x, y := i%w, i/w; y >= 100 && y < 110 && x >= 80 && x < 560 || x >= 300 && x < 310 && y >= 160 && y < 400 {
				frame[i] = 20
			}
		}
	}
	for range 2 {
		b.WriteString("FRAME\n")
		b.Write(frame)
	}
	name := filepath.Join(t.TempDir(), "drawing.y4m")
	must(t, os.WriteFile(name, b.Bytes(), 0o644))
	return name
}

// TestTheCamera photographs a drawing with the browser's simulated camera.
func TestTheCamera(t *testing.T) {
	long(t)
	t.Parallel()
	s := serve(t, t.TempDir(), "")
	ctx := ownBrowser(t, chromedp.Flag("use-fake-device-for-media-stream", true), chromedp.Flag("use-fake-ui-for-media-stream", true), chromedp.Flag("use-file-for-fake-video-capture", filmed(t)))
	must(t, chromedp.Do(ctx, chromedp.Navigate(s.address)))
	until(t, ctx, 20*time.Second, statusIs("Ready"))
	press(t, ctx, "Photograph the drawing")
	until(t, ctx, 30*time.Second, `document.querySelector('video')?.videoWidth > 0`)
	press(t, ctx, "Put the camera away")
	until(t, ctx, 5*time.Second, `!document.querySelector('video')`)
	press(t, ctx, "Photograph the drawing")
	until(t, ctx, 30*time.Second, `document.querySelector('video')?.videoWidth > 0 && document.querySelector('video').currentTime > 0`)
	press(t, ctx, "Take the photo")
	until(t, ctx, 30*time.Second, drawnCloths)
	until(t, ctx, 10*time.Second, `document.querySelector('.scan').alt.includes('with 2 lines')`)
	if !eval[bool](t, ctx, `document.querySelector('#step-drawing').textContent.includes('the rug is taken as')`) {
		t.Error("it does not say that the size of the rug is a usual one")
	}
}

// TestNoCamera: without a camera, or where the person says no, a sentence stands
// beside the file input.
func TestNoCamera(t *testing.T) {
	long(t)
	t.Parallel()
	s := serve(t, t.TempDir(), "")
	ctx := pageOf(t, s)
	until(t, ctx, 20*time.Second, statusIs("Ready"))
	press(t, ctx, "Photograph the drawing")
	until(t, ctx, 20*time.Second, `document.querySelector('#step-drawing [role=alert]')?.textContent.includes('camera cannot be used')`)
}
