package bench_test

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// lettered is a design with words that no font draws, and a layer whose name is
// markup: it is to be shown as it is written.
const lettered = `<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="150mm" viewBox="0 0 200 150">
<g id="&lt;img src=x onerror=window.owned=1&gt;" fill="none" stroke="black"><path d="M10 10H190V140H10Z"/></g><text x="40" y="80" font-size="20">סירה</text></svg>`

// visible tells whether a button of a name can be seen.
func visible(name string) string {
	return `[...document.querySelectorAll('button')].some(b => b.textContent === ` + quote(name) + ` && b.offsetParent)`
}

// pressHere presses the button of a name that can be seen; other steps may have
// one too.
func pressHere(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	until(t, ctx, 10*time.Second, visible(name))
	eval[any](t, ctx, `[...document.querySelectorAll('button')].find(b => b.textContent === `+quote(name)+` && b.offsetParent).click(), 1`)
}

// TestGoOnAllTheSame gives the page a design whose words cannot be drawn, and a
// blade on backing: each is told beside its cause and refused until a person
// decides, for that very reason; the report says so.
func TestGoOnAllTheSame(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	file := filepath.Join(t.TempDir(), "lettered.svg")
	must(t, os.WriteFile(file, []byte(lettered), 0o644))
	s := serve(t, dir, file)
	ctx := pageOf(t, s)
	until(t, ctx, 20*time.Second, drawnCloths)
	has := func(name, text string) bool {
		data, _ := os.ReadFile(filepath.Join(dir, "lettered-job", name))
		return strings.Contains(string(data), text)
	}
	until(t, ctx, 10*time.Second, `document.querySelector('#step-drawing .doubts [role=alert]')?.textContent.includes('ords of the design are left out')`)
	if eval[bool](t, ctx, `!!(window.owned || document.querySelector('img[src=x]'))`) || !eval[bool](t, ctx, `document.querySelector('#step-drawing').textContent.includes('<img src=x')`) {
		t.Error("the name of a layer is not shown as it is written")
	}
	step(t, ctx, "8")
	eval[any](t, ctx, tickAll+`, 1`)
	until(t, ctx, 5*time.Second, `document.querySelector('#step-draw').textContent.includes('Something stands against this job')`)
	if eval[bool](t, ctx, can("Draw")) || eval[bool](t, ctx, can("Rehearse")) || has("report.json", "strokes") {
		t.Error("what is refused can be drawn")
	}
	step(t, ctx, "1")
	pressHere(t, ctx, "Go on all the same")
	waitFor(t, 20*time.Second, func() bool {
		return has("job.toml", "really = true") && has("report.json", `"words-left-out"`)
	})
	until(t, ctx, 10*time.Second, `document.querySelector('#step-drawing .doubts').textContent.includes('You go on all the same')`)
	step(t, ctx, "8")
	tickUntil(t, ctx, "Draw")

	// Another reason is decided anew, beside the pen that causes it.
	step(t, ctx, "5")
	choose(t, ctx, "Pen", "drag-knife")
	until(t, ctx, 10*time.Second, `document.querySelector('#step-machine .doubts [role=alert]')?.textContent.includes('rag-knife cuts')`)
	if eval[bool](t, ctx, can("Draw")) {
		t.Error("a blade on backing can be drawn because words were left out before")
	}
	pressHere(t, ctx, "Go on all the same")
	waitFor(t, 20*time.Second, func() bool { return has("report.json", `"blade-on-backing"`) })
	pressHere(t, ctx, "Take that back")
	until(t, ctx, 10*time.Second, `document.querySelector('#step-machine .doubts [role=alert]')`)
	waitFor(t, 20*time.Second, func() bool { return !has("job.toml", "really = true") })
}

// TestAFileChangedByHand changes a picture in the job folder by hand: the page
// writes nothing over it until a person says so.
func TestAFileChangedByHand(t *testing.T) {
	long(t)
	t.Parallel()
	dir := t.TempDir()
	s := serve(t, dir, "../demo/lighthouse-mat.svg")
	ctx := pageOf(t, s)
	until(t, ctx, 20*time.Second, drawnCloths)
	step(t, ctx, "8")
	until(t, ctx, 20*time.Second, can("Rehearse"))
	sheet := filepath.Join(dir, "lighthouse-mat-job", "sheet.txt")
	must(t, os.WriteFile(sheet, []byte("my own notes"), 0o644))
	step(t, ctx, "2")
	setField(t, ctx, "Finished width", "14in")
	until(t, ctx, 20*time.Second, `document.querySelector('#step-draw [role=alert]')?.textContent.includes('changed since')`)
	if data, _ := os.ReadFile(sheet); string(data) != "my own notes" {
		t.Errorf("it was written over: %.40s", data)
	}
	step(t, ctx, "8")
	pressHere(t, ctx, "Write over it")
	until(t, ctx, 20*time.Second, can("Rehearse"))
	if data, _ := os.ReadFile(sheet); string(data) == "my own notes" {
		t.Error("it is not written over")
	}
}
