package bench_test

import (
	"bufio"
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"weftplot/cmd/weftplot/bench"
)

// TestMain serves a bench where a test starts this program as a process of its
// own, which can be killed, and runs the tests else. Most of them wait for a
// plotter or a page, so more of them run side by side than there are cores.
func TestMain(m *testing.M) {
	if dir := os.Getenv("BENCH_DIR"); dir != "" {
		speed, err := strconv.ParseFloat(os.Getenv("BENCH_SPEED"), 64)
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		err = bench.Serve(context.Background(), bench.Options{Listen: "127.0.0.1:0", Dir: dir, Open: os.Getenv("BENCH_OPEN"), NoBrowser: true, Memory: filepath.Join(dir, "memory"), Names: nameOf, SimSpeed: speed, Out: os.Stdout, Err: os.Stderr})
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	flag.Set("test.parallel", "5")
	code := m.Run()
	shared.end()
	os.Exit(code)
}

// nameOf is what the files of a job folder call a setting in these tests.
func nameOf(setting string) string { return "--" + setting }

// served is a bench that runs for a test, in this process.
type served struct {
	address string // with the secret
	dir     string
	stop    func()
}

// lifeSpeed is how fast the simulated plotter runs where nothing else is said.
const lifeSpeed = 60

// inHaste is a job of a drawing in a folder of its own that puts little work into the order of
// its strokes, which few tests of the page look at. What is no drawing stays as it is.
func inHaste(t *testing.T, open string) string {
	t.Helper()
	if filepath.Ext(open) != ".svg" {
		return open
	}
	file, err := bench.QuickJob(t.TempDir(), open)
	must(t, err)
	return file
}

// serve starts a bench on a folder, with a design or a job on it. A drawing is put in order
// in haste; what a person uploads is not.
func serve(t *testing.T, dir, open string) served {
	t.Helper()
	return serveAt(t, dir, open, lifeSpeed)
}

// serveAt is serve, with a simulated plotter of another speed.
func serveAt(t *testing.T, dir, open string, speed float64) served {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	r, w := io.Pipe()
	open = inHaste(t, open)
	done := make(chan error, 1)
	go func() {
		done <- bench.Serve(ctx, bench.Options{Listen: "127.0.0.1:0", Dir: dir, Open: open, NoBrowser: true, Memory: t.TempDir(), Names: nameOf, SimSpeed: speed, Out: w, Err: io.Discard})
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

var thorough = bench.Thorough

// long skips a test that takes its time, but where all is to be tested.
func long(t *testing.T) {
	t.Helper()
	if !*thorough {
		t.Skip("-thorough runs the long tests of the page too")
	}
}

// chromium returns the command of Chromium, or skips the test where there is none.
func chromium(t *testing.T) string {
	t.Helper()
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if p, err := exec.LookPath(name); err == nil {
			return p
		}
	}
	t.Skip("there is no Chromium on this computer")
	return ""
}

// startBrowser starts Chromium on a folder of its own.
func startBrowser(path, dir string, flags ...chromedp.ExecAllocatorOption) (context.Context, context.CancelFunc) {
	all := append([]chromedp.ExecAllocatorOption{
		chromedp.ExecPath(path), chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		// What a page of ours does not need, and takes a tenth of the browser's time.
		chromedp.Flag("disable-extensions", true), chromedp.Flag("disable-default-apps", true), chromedp.Flag("disable-component-extensions-with-background-pages", true),
		chromedp.Flag("metrics-recording-only", true), chromedp.Flag("disable-breakpad", true), chromedp.Flag("mute-audio", true),
		chromedp.Flag("disable-features", "OptimizationHints,MediaRouter,DialMediaRouteProvider,Translate"),
		chromedp.UserDataDir(dir), chromedp.WindowSize(1280, 1000)}, flags...)
	alloc, cancel := chromedp.NewExecAllocator(context.Background(), all...)
	ctx, _ := chromedp.NewContext(alloc) // it ends with the allocator
	return ctx, cancel
}

// oneBrowser is a Chromium that tests share. Each gets a window of its own, with
// stores of its own.
type oneBrowser struct {
	once   sync.Once
	ctx    context.Context
	cancel func()
	dir    string
	err    error
}

var shared oneBrowser

func (b *oneBrowser) start(path string) {
	b.once.Do(func() {
		if b.dir, b.err = os.MkdirTemp("", "bench-browser-"); b.err != nil {
			return
		}
		// Windows lie over each other, and none is to be slowed down for that.
		b.ctx, b.cancel = startBrowser(path, b.dir, chromedp.Flag("disable-backgrounding-occluded-windows", true), chromedp.Flag("disable-renderer-backgrounding", true))
		b.err = chromedp.Do(b.ctx)
	})
}

func (b *oneBrowser) end() {
	if b.cancel != nil {
		b.cancel()
	}
	if b.dir != "" {
		os.RemoveAll(b.dir)
	}
}

// windows are the tests that may have a window of a browser at once: more pages than
// cores starve one another. A test takes one place at most.
var windows = make(chan struct{}, 2)

// aWindow waits until a test may open a window.
func aWindow(t *testing.T) {
	windows <- struct{}{}
	t.Cleanup(func() { <-windows })
}

// browser returns a window of the browser that tests share.
func browser(t *testing.T) context.Context {
	t.Helper()
	aWindow(t)
	shared.start(chromium(t))
	must(t, shared.err)
	ctx, cancel := chromedp.NewContext(shared.ctx, chromedp.WithNewBrowserContext())
	t.Cleanup(cancel)
	return ready(t, ctx)
}

// ownBrowser starts a browser for one test.
func ownBrowser(t *testing.T, flags ...chromedp.ExecAllocatorOption) context.Context {
	t.Helper()
	aWindow(t)
	ctx, cancel := startBrowser(chromium(t), t.TempDir(), flags...)
	t.Cleanup(cancel)
	return ready(t, ctx)
}

// ready opens the window of a test.
func ready(t *testing.T, ctx context.Context) context.Context {
	t.Helper()
	listenConsole(t, ctx)
	_, err := chromedp.Run(ctx, func(ctx context.Context, to *chromedp.Target) (cdp.Empty, error) {
		return cdp.Call(ctx, to, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true})
	})
	must(t, err)
	must(t, chromedp.Do(ctx, chromedp.EmulateViewport(1280, 1000)))
	ctx, cancel := context.WithTimeout(ctx, 10*time.Minute)
	t.Cleanup(cancel)
	return ctx
}

// listenConsole fails a test whose page throws what nobody catches, and reports
// what else it complains of.
func listenConsole(t *testing.T, ctx context.Context) {
	t.Helper()
	must(t, chromedp.Do(ctx))
	var mu sync.Mutex
	ended := false
	t.Cleanup(func() { mu.Lock(); ended = true; mu.Unlock() })
	go func() {
		for m, err := range chromedp.Console(ctx) {
			if err != nil {
				return
			}
			mu.Lock()
			switch said := fmt.Sprint(m); {
			case ended:
			case strings.Contains(said, "exception"):
				t.Errorf("console: %s", said)
			default:
				t.Logf("console: %s", said)
			}
			mu.Unlock()
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

// slack is by how much longer tests wait than they say: what they say is for a
// computer with nothing else to do, and no test judges how fast this one is.
const slack = 6

// until waits for JavaScript to be true.
func until(t *testing.T, ctx context.Context, within time.Duration, js string) {
	t.Helper()
	// The page looks by itself: a look from here is work for four processes. It answers now
	// and then all the same, for a page that is opened anew meanwhile never answers.
	look := fmt.Sprintf(`new Promise((is, fails) => {
		const end = performance.now() + 1000;
		const look = () => {
			try {
				if (%s) is(true);
				else if (performance.now() > end) is(false);
				else setTimeout(look, 20);
			} catch (e) { fails(e); }
		};
		look();
	})`, js)
	for deadline := time.Now().Add(within * slack); !eval[bool](t, ctx, look); {
		if time.Now().After(deadline) {
			t.Fatalf("after %v it is still not so: %s; the status is %q, alerts %q; the step reads %q", within, js,
				eval[string](t, ctx, `document.querySelector('[role=status]')?.textContent || ''`),
				eval[string](t, ctx, `[...document.querySelectorAll('[role=alert]')].map(a => a.textContent).join(' | ')`),
				eval[string](t, ctx, `document.querySelector('.step:not([hidden])')?.innerText || ''`))
		}
	}
}

// shown is true while a button of a name is on the page and can be pressed.
func shown(name string) string {
	return `[...document.querySelectorAll('button')].some(b => b.textContent === ` + quote(name) + ` && !b.disabled && b.offsetParent)`
}

// press presses the button of a name.
func press(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	until(t, ctx, 10*time.Second, shown(name))
	click(t, ctx, `//button[text()=`+quote(name)+`]`)
}

// click presses an element with the pointer, once more where the press went elsewhere, since
// news that come just then may move it. Where something else is in its place for long, the
// test fails.
func click(t *testing.T, ctx context.Context, which string) {
	t.Helper()
	within, cancel := context.WithTimeout(ctx, 10*time.Second*slack)
	defer cancel()
	find := `document.querySelector(` + strconv.Quote(which) + `)`
	if strings.HasPrefix(which, "//") {
		find = `document.evaluate(` + strconv.Quote(which) + `, document, null, XPathResult.FIRST_ORDERED_NODE_TYPE).singleNodeValue`
	}
	for {
		eval[any](t, ctx, `window.isPressed = false, `+find+`?.addEventListener('click', () => { window.isPressed = true; }, {once: true, capture: true}), 1`)
		if err := chromedp.Do(within, chromedp.Click(which)); err != nil {
			t.Fatalf("%s cannot be pressed: %v", which, err)
		}
		if eval[bool](t, ctx, `window.isPressed !== false`) {
			return
		}
		t.Logf("the press of %s went elsewhere", which)
	}
}

// step opens a step by its place in the list.
func step(t *testing.T, ctx context.Context, n string) {
	t.Helper()
	click(t, ctx, `//nav//button[starts-with(.,`+quote(n+" ")+`)]`)
}

func quote(s string) string { return `"` + s + `"` }

const drawnCloths = `['front','back'].every(k => document.querySelector('.' + k + ' .cloth')?.dataset.picture)`
