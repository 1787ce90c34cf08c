package bench_test

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// drawn is a drawing in a file of its own.
func drawn(t *testing.T, name, data string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), name)
	must(t, os.WriteFile(file, []byte(data), 0o666))
	return file
}

// pageOf is a window of the shared browser in which a bench's page is open.
func pageOf(t *testing.T, s served) context.Context {
	t.Helper()
	ctx := browser(t)
	must(t, chromedp.Do(ctx, chromedp.Navigate(s.address)))
	return ctx
}

// openedDrawn is pageOf, once both cloths are drawn.
func openedDrawn(t *testing.T, s served) context.Context {
	t.Helper()
	ctx := pageOf(t, s)
	until(t, ctx, 10*time.Second, drawnCloths)
	return ctx
}

// onPage is a bench with a drawing on it, whose page is open and drawn. Jobs are made in the
// folder that it returns.
func onPage(t *testing.T, drawing string) (ctx context.Context, dir string) {
	t.Helper()
	dir = t.TempDir()
	return openedDrawn(t, serve(t, dir, drawing)), dir
}

// wide makes the window as large as a screen.
func wide(t *testing.T, ctx context.Context, width, height int64) {
	t.Helper()
	must(t, chromedp.Do(ctx, chromedp.EmulateViewport(width, height)))
}

// upload puts a file into the input of a label.
func upload(t *testing.T, ctx context.Context, label, file string) {
	t.Helper()
	file, err := filepath.Abs(file)
	must(t, err)
	must(t, chromedp.Do(ctx, chromedp.SetUploadFiles(`//input[@type='file'][@id=//label[text()=`+quote(label)+`]/@for]`, []string{file})))
}

// buttonNamed finds a button by its words.
func buttonNamed(name string) string {
	return `[...document.querySelectorAll('button')].find(b => b.textContent === ` + quote(name) + `)`
}

// atHand fails a test where a button is not to be seen, or lies under something, without a
// scroll.
func atHand(t *testing.T, ctx context.Context, names ...string) {
	t.Helper()
	for _, name := range names {
		if !eval[bool](t, ctx, `(b => { const r = b.getBoundingClientRect(), e = document.elementFromPoint(r.left + r.width / 2, r.top + r.height / 2);
			return r.top >= 0 && r.bottom <= innerHeight && b.contains(e) })(`+buttonNamed(name)+`)`) {
			t.Errorf("the button %s is not in view at %s", name, eval[string](t, ctx, `innerWidth + ' x ' + innerHeight`))
		}
	}
}

// dueInView fails a test where what is done and due is not in view, on the screen of a phone
// and of a desk, at the top of the page and at its end.
func dueInView(t *testing.T, ctx context.Context, says string) {
	t.Helper()
	until(t, ctx, 10*time.Second, `document.querySelector('.due').textContent === `+quote(says))
	for _, size := range [][2]int64{{360, 740}, {1280, 1000}} {
		wide(t, ctx, size[0], size[1])
		for _, share := range []string{"0", "1"} {
			until(t, ctx, 5*time.Second, `(s => { s.scrollTop = `+share+` * s.scrollHeight; const d = document.querySelector('.due'), r = d.getBoundingClientRect();
				return r.top >= 0 && r.bottom <= innerHeight && r.height > 10 && document.elementFromPoint(r.left + 20, r.top + r.height / 2) === d; })(document.body.classList.contains('working') ? document.querySelector('.table') : document.scrollingElement)`)
		}
		look(t, ctx, "due-"+strings.ReplaceAll(strings.TrimSuffix(says, "."), " ", "-"))
	}
}

// look keeps what the window shows as a picture where -views names a folder.
func look(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	if *viewsTo == "" {
		return
	}
	time.Sleep(300 * time.Millisecond)
	png, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
	must(t, err)
	must(t, os.WriteFile(filepath.Join(*viewsTo, name+"-"+eval[string](t, ctx, `String(innerWidth)`)+".png"), png, 0o644))
}
