package bench_test

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"weftplot/plot/jobfolder"

	"github.com/chromedp/chromedp"
)

const tickAll = `document.querySelectorAll('#step-draw input[type=checkbox]').forEach(i => i.checked || i.click())`

// tickAndDraw ticks what is to be ticked before drawing, and draws.
func tickAndDraw(t *testing.T, ctx context.Context) {
	t.Helper()
	tickUntil(t, ctx, "Draw")
	press(t, ctx, "Draw")
}

// tickUntil ticks what is to be ticked until the button of a name can be pressed. A job that
// is made meanwhile takes the ticks away, so that ticking once is not enough.
func tickUntil(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	until(t, ctx, 10*time.Second, `(`+tickAll+`, `+shown(name)+`)`)
}

// resumeToTheEnd goes on with a half-drawn job, and tests that the cloth is as asked.
func resumeToTheEnd(t *testing.T, ctx context.Context) {
	t.Helper()
	tickUntil(t, ctx, "Resume")
	press(t, ctx, "Resume")
	until(t, ctx, 60*time.Second, statusIs("Drawn"))
	text := eval[string](t, ctx, `document.querySelector('[role=status]').textContent`)
	t.Log(text)
	if !strings.Contains(text, "as asked") {
		t.Errorf("the cloth is not as asked: %s", text)
	}
}

// statusIs is true once the status begins with a word.
func statusIs(word string) string {
	return `document.querySelector('[role=status]').textContent.startsWith(` + quote(word) + `)`
}

// TestWholeJob draws the demo's drawing on the simulated plotter, from the page
// alone, with everything that a person does on the way.
func TestWholeJob(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	s := serve(t, dir, "")
	ctx := pageOf(t, s)
	until(t, ctx, 10*time.Second, statusIs("Ready"))
	if at := eval[string](t, ctx, `location.href`); strings.Contains(at, "#") {
		t.Errorf("the secret stays in the address: %s", at)
	}
	upload(t, ctx, "Drawing", "../demo/lighthouse-mat.svg")
	until(t, ctx, 20*time.Second, drawnCloths)

	step(t, ctx, "2")
	setField(t, ctx, "Finished width", "18in")
	until(t, ctx, 5*time.Second, `document.body.textContent.includes('18 in (45.7 cm)')`)
	setField(t, ctx, "Borders", "3")
	until(t, ctx, 5*time.Second, `document.querySelector('#step-rug').textContent.includes('216 ×')`)

	where := filepath.Join(dir, "lighthouse-mat-job")
	waitFor(t, 5*time.Second, func() bool {
		data, err := os.ReadFile(filepath.Join(where, "job.toml"))
		return err == nil && strings.Contains(string(data), `border = '3'`) && strings.Contains(string(data), "457.2mm")
	})

	step(t, ctx, "8")
	press(t, ctx, "Once round the edge")
	until(t, ctx, 5*time.Second, statusIs("Going round the edge"))
	until(t, ctx, 30*time.Second, statusIs("Ready"))
	press(t, ctx, "Rehearse")
	until(t, ctx, 5*time.Second, statusIs("Rehearsing"))
	press(t, ctx, "Stop")
	until(t, ctx, 10*time.Second, statusIs("Stopped"))
	if eval[bool](t, ctx, `![...document.querySelectorAll('button')].find(b => b.textContent === 'Draw').disabled`) {
		t.Error("Draw can be pressed with nothing ticked")
	}
	tickAndDraw(t, ctx)
	until(t, ctx, 5*time.Second, statusIs("Drawing"))
	press(t, ctx, "Hold")
	until(t, ctx, 10*time.Second, statusIs("Held"))
	press(t, ctx, "Go on")
	until(t, ctx, 10*time.Second, statusIs("Drawing"))
	press(t, ctx, "Lift")
	until(t, ctx, 10*time.Second, statusIs("Held"))
	press(t, ctx, "Go on")
	until(t, ctx, 10*time.Second, statusIs("Drawing"))
	press(t, ctx, "Stop")
	until(t, ctx, 10*time.Second, statusIs("Stopped"))
	journal := filepath.Join(where, "plot.gcode"+jobfolder.JournalExt)
	if data, err := os.ReadFile(journal); err != nil || !strings.Contains(string(data), "left safe") {
		t.Fatalf("the journal: %v, %s", err, data)
	}
	// A setting that would spoil the half-drawn cloth is refused beside its field.
	step(t, ctx, "2")
	setField(t, ctx, "Finished width", "12in")
	until(t, ctx, 4*time.Second, `document.querySelector('#step-rug [role=alert]')?.textContent.includes('half drawn')`)

	step(t, ctx, "8")
	resumeToTheEnd(t, ctx)
	if data, _ := os.ReadFile(journal); !strings.Contains(string(data), "left done") {
		t.Errorf("the journal does not say that all is drawn:\n%s", data)
	}
}

// setField types into a labelled field and leaves it by Tab.
func setField(t *testing.T, ctx context.Context, label, value string) {
	t.Helper()
	id := eval[string](t, ctx, `[...document.querySelectorAll('label')].find(l => l.textContent === `+quote(label)+`).htmlFor`)
	eval[any](t, ctx, `document.getElementById(`+quote(id)+`).select(), 1`)
	must(t, chromedp.Do(ctx, chromedp.SendKeys(`#`+id, value+"\t")))
}

func waitFor(t *testing.T, within time.Duration, is func() bool) {
	t.Helper()
	for deadline := time.Now().Add(within * slack); !is(); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatalf("after %v it is still not so", within)
		}
	}
}
