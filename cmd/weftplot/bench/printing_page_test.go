package bench_test

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestPrintedOnPaper makes a job without a machine on the page, for the iron: its
// sheets and the places of the iron are laid over the picture, the files for print
// open, and what no paper holds is told beside its field.
func TestPrintedOnPaper(t *testing.T) {
	long(t)
	t.Parallel()
	ctx, dir := onPage(t, "../demo/lighthouse-mat.svg")
	step(t, ctx, "4")
	seen := eval[string](t, ctx, pictures)
	label(t, ctx, "No machine: it is printed")
	until(t, ctx, 10*time.Second, pictures+` !== `+quote(seen))
	const part = `document.querySelector('.printing')`
	until(t, ctx, 10*time.Second, part+`.textContent.includes('of letter, in ')`)
	if how := eval[string](t, ctx, `document.querySelector('#step-transfer input:checked').value`); how != "tracing" {
		t.Errorf("a job that is printed is %s, and nothing is drawn on the backing without a machine", how)
	}
	label(t, ctx, "Ironed on")
	until(t, ctx, 10*time.Second, part+`.textContent.includes('The iron is pressed at ')`)
	label(t, ctx, "Where the iron is pressed")

	// What the page says is what the report says.
	var told struct {
		Machine string
		Paper   struct {
			Size    string
			Pages   []struct{ Name string }
			Presses int
		}
	}
	folder := filepath.Join(dir, "lighthouse-mat-job")
	waitFor(t, 10*time.Second, func() bool {
		data, err := os.ReadFile(filepath.Join(folder, "report.json"))
		return err == nil && json.Unmarshal(data, &told) == nil && told.Paper.Presses > 0
	})
	text := eval[string](t, ctx, part+`.textContent`)
	for _, p := range told.Paper.Pages {
		if !strings.Contains(text, p.Name) {
			t.Errorf("sheet %s is not named on the page: %s", p.Name, text)
		}
	}

	printedFiles(t, ctx, folder)
	refusedPaper(t, ctx, folder)
	// Nothing is there to be moved, and the page says so.
	step(t, ctx, "8")
	until(t, ctx, 5*time.Second, `[...document.querySelectorAll('button')].filter(b => /^(Draw|Rehearse|Once round the edge)$/.test(b.textContent)).every(b => b.disabled)`)
	until(t, ctx, 5*time.Second, `document.querySelector('#step-draw').textContent.includes('No machine draws this job')`)
	step(t, ctx, "7")
	until(t, ctx, 5*time.Second, `document.querySelector('#step-dryrun').textContent.includes('No machine draws this job')`)
	step(t, ctx, "4")
	label(t, ctx, "The machine")
	until(t, ctx, 10*time.Second, `!document.querySelector('#step-transfer').textContent.includes('The paper shows:')`)
}

// printedFiles opens the files for print by their links.
func printedFiles(t *testing.T, ctx context.Context, folder string) {
	t.Helper()
	for _, f := range []string{"paper.pdf", "sheet.pdf"} {
		want, err := os.ReadFile(filepath.Join(folder, f))
		must(t, err)
		got := opened(t, ctx, f)
		if !bytes.Equal([]byte(got), want[:min(len(want), len(got))]) || !strings.HasPrefix(got, "%PDF-") {
			t.Errorf("%s opens as %.20q…", f, got)
		}
	}
}

// refusedPaper sets what no paper holds, and then what it does.
func refusedPaper(t *testing.T, ctx context.Context, folder string) {
	t.Helper()
	const part = `document.querySelector('.printing')`
	setField(t, ctx, "Overlap of the sheets", "30cm")
	until(t, ctx, 5*time.Second, part+`.querySelector('[role=alert]')?.textContent.includes('more than half')`)
	setField(t, ctx, "Overlap of the sheets", "20mm")
	until(t, ctx, 5*time.Second, `!`+part+`.querySelector('[role=alert]')`)
	waitFor(t, 10*time.Second, func() bool {
		data, _ := os.ReadFile(filepath.Join(folder, "job.toml"))
		return bytes.Contains(data, []byte(`overlap = '20mm'`)) && bytes.Contains(data, []byte(`machine = 'none'`)) && bytes.Contains(data, []byte(`print = 'letter'`))
	})
}

// label presses what a label names.
func label(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	// By the element itself: what is told meanwhile may move it from under the pointer.
	until(t, ctx, 10*time.Second, `(() => { const l = [...document.querySelectorAll('label')].find(l => l.firstChild && l.firstChild.textContent === `+quote(name)+` || l.textContent === `+quote(name)+`); if (!l) return false; l.click(); return true; })()`)
}

// opened presses the link to a file for print, and returns how what it opens begins.
func opened(t *testing.T, ctx context.Context, file string) string {
	t.Helper()
	return eval[string](t, ctx, `new Promise((done, fail) => {
		const link = document.querySelector('.printing a[data-file="/`+file+`"]'), make = URL.createObjectURL;
		let head = '';
		URL.createObjectURL = (blob) => { head = blob.text().then(s => s.slice(0, 8)); return make.call(URL, blob); };
		link.addEventListener('click', (e) => {
			if (!link.href.startsWith('blob:')) return;
			e.preventDefault();
			URL.createObjectURL = make;
			head.then(done);
		});
		setTimeout(() => fail('nothing opens'), 20000);
		link.click();
	})`)
}
