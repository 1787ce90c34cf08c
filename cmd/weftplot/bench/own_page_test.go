package bench_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestProfilesOfOnesOwn sets up a machine, a backing and a pen on the page, uses
// them, and forgets one.
func TestProfilesOfOnesOwn(t *testing.T) {
	long(t)
	t.Parallel()
	ctx, dir := onPage(t, "../demo/lighthouse-mat.svg")
	step(t, ctx, "5")
	eval[any](t, ctx, `[...document.querySelectorAll('summary')].find(s => s.textContent.startsWith('Set up a machine')).click(), 1`)
	change := func(from, to string) {
		t.Helper()
		eval[any](t, ctx, `{ const a = document.querySelector('#step-machine textarea'); if (!a.value.includes(`+quote(from)+`)) throw new Error(a.value); a.value = a.value.replace(`+quote(from)+`, `+quote(to)+`); }`)
	}
	for _, c := range []struct{ kind, builtIn, label, on string }{
		{"machine", "practice", "Machine", "5"}, {"pen", "fine-marker", "Pen", "5"}, {"backing", "monks-cloth", "Backing", "2"},
	} {
		choose(t, ctx, "Kind of profile", c.kind)
		press(t, ctx, "Begin with the "+c.kind+" of this job")
		until(t, ctx, 5*time.Second, `document.querySelector('#step-machine textarea').value.includes(`+quote(c.builtIn)+`)`)
		// Under a built-in name it is refused, beside the editor.
		press(t, ctx, "Check it and keep it on this computer")
		until(t, ctx, 5*time.Second, `document.querySelector('#step-machine details [role=alert]')?.textContent.includes('built-in')`)
		change(c.builtIn, "studio-"+c.kind)
		if c.kind == "backing" {
			change("12x13/in", "10x10/in")
		}
		press(t, ctx, "Check it and keep it on this computer")
		until(t, ctx, 5*time.Second, `document.querySelector('#step-machine').textContent.includes('studio-`+c.kind+` is kept')`)
		step(t, ctx, c.on)
		until(t, ctx, 5*time.Second, `[...document.querySelectorAll('option')].some(o => o.value === 'studio-`+c.kind+`')`)
		choose(t, ctx, c.label, "studio-"+c.kind)
		waitFor(t, 10*time.Second, func() bool {
			data, _ := os.ReadFile(filepath.Join(dir, "lighthouse-mat-job", "job.toml"))
			return strings.Contains(string(data), "studio-"+c.kind)
		})
		step(t, ctx, "5")
	}
	step(t, ctx, "2")
	until(t, ctx, 5*time.Second, `document.querySelector('nav').textContent.includes('studio-backing 10x10/in')`)
	step(t, ctx, "5")
	press(t, ctx, "Forget studio-pen")
	until(t, ctx, 5*time.Second, `![...document.querySelectorAll('button')].some(b => b.textContent === 'Forget studio-pen')`)
}
