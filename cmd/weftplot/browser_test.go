package main

import (
	"bufio"
	"context"
	"flag"
	"io"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"weftplot/cmd/weftplot/bench"
)

// served is a bench that runs for a test, in this process.
type served struct {
	address string // with the secret
	dir     string
	stop    func()
}

// serve starts a bench on a folder, with a design or a job on it.
func serve(t *testing.T, dir, open string) served {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	r, w := io.Pipe()
	done := make(chan error, 1)
	go func() {
		done <- bench.Serve(ctx, bench.Options{Listen: "127.0.0.1:0", Dir: dir, Open: open, NoBrowser: true, Memory: t.TempDir(), Names: flagOf, Out: w, Err: io.Discard})
		w.Close()
	}()
	line, err := bufio.NewReader(r).ReadString('\n')
	if err != nil {
		t.Fatalf("the bench did not start: %v", <-done)
	}
	go io.Copy(io.Discard, r)
	stopped := false
	s := served{address: strings.TrimSpace(line), dir: dir, stop: func() {
		if stopped {
			return
		}
		stopped = true
		cancel()
		if err := <-done; err != nil {
			t.Errorf("the bench ended with %v", err)
		}
	}}
	t.Cleanup(s.stop)
	return s
}

var thorough = flag.Bool("thorough", false, "run the long tests of the page in a browser too, as .ci/run does")

// long skips a test that takes its time, but where all is to be tested.
func long(t *testing.T) {
	t.Helper()
	if !*thorough {
		t.Skip("-thorough runs the long tests of the page too")
	}
}

// browser starts Chromium, or skips the test where there is none.
func browser(t *testing.T) context.Context {
	t.Helper()
	path := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if p, err := exec.LookPath(name); err == nil {
			path = p
			break
		}
	}
	if path == "" {
		t.Skip("there is no Chromium on this computer")
	}
	alloc, cancel := chromedp.NewExecAllocator(context.Background(),
		chromedp.ExecPath(path), chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		chromedp.UserDataDir(t.TempDir()), chromedp.WindowSize(1280, 1000))
	t.Cleanup(cancel)
	ctx, cancel := chromedp.NewContext(alloc)
	t.Cleanup(cancel)
	listenConsole(t, ctx)
	ctx, cancel = context.WithTimeout(ctx, 3*time.Minute)
	t.Cleanup(cancel)
	return ctx
}

// listenConsole reports what the page complains of: a page that works does not.
func listenConsole(t *testing.T, ctx context.Context) {
	must(t, chromedp.Do(ctx))
	go func() {
		for m, err := range chromedp.Console(ctx) {
			if err != nil {
				return
			}
			t.Logf("console: %s", m)
		}
	}()
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// eval runs JavaScript in the page and returns its value.
func eval[T any](t *testing.T, ctx context.Context, js string) T {
	t.Helper()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](js, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatalf("%s: %v", js, err)
	}
	return v
}

// until waits for JavaScript to be true.
func until(t *testing.T, ctx context.Context, within time.Duration, js string) {
	t.Helper()
	deadline := time.Now().Add(within)
	for !eval[bool](t, ctx, "!!("+js+")") {
		if time.Now().After(deadline) {
			t.Fatalf("after %v it is still not so: %s; the status is %q, alerts %q", within, js,
				eval[string](t, ctx, `document.querySelector('[role=status]')?.textContent || ''`),
				eval[string](t, ctx, `[...document.querySelectorAll('[role=alert]')].map(a => a.textContent).join(' | ')`))
		}
		time.Sleep(30 * time.Millisecond)
	}
}

// press presses the button of a name.
func press(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	until(t, ctx, 10*time.Second, `[...document.querySelectorAll('button')].some(b => b.textContent === `+quote(name)+` && !b.disabled && b.offsetParent)`)
	must(t, chromedp.Do(ctx, chromedp.Click(`//button[text()=`+quote(name)+`]`)))
}

// step opens a step by its place in the list.
func step(t *testing.T, ctx context.Context, n string) {
	t.Helper()
	must(t, chromedp.Do(ctx, chromedp.Click(`//nav//button[starts-with(.,`+quote(n+" ")+`)]`)))
}

func quote(s string) string { return `"` + s + `"` }

const drawnCloths = `['front','back'].every(k => document.querySelector('.' + k + ' .cloth')?.dataset.picture)`
