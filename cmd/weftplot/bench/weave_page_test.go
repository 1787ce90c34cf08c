package bench_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// TestWeaveOnThePage opens the section More for the weave, sets what is in it, and leaves
// the machine and takes it again on the step Onto the cloth.
func TestWeaveOnThePage(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	s := serve(t, dir, "../demo/lighthouse-mat.svg")
	ctx := browser(t)
	must(t, chromedp.Do(ctx, chromedp.Navigate(s.address)))
	until(t, ctx, 10*time.Second, drawnCloths)
	step(t, ctx, "2")
	if eval[bool](t, ctx, `document.querySelector('#step-rug details.weave').open`) {
		t.Error("the section stands open")
	}
	must(t, chromedp.Do(ctx, chromedp.Click(`#step-rug details.weave summary`)))
	seen := eval[string](t, ctx, pictures)
	setField(t, ctx, "Line of the hem", "6rows")
	until(t, ctx, 10*time.Second, pictures+` !== `+quote(seen))
	until(t, ctx, 5*time.Second, `document.querySelector('#step-rug details.weave').textContent.includes('hem')`)
	label(t, ctx, "At the middle and the quarters of each side")
	label(t, ctx, "Go where they are nearest")
	setField(t, ctx, "Line to cut along", "2rows")
	until(t, ctx, 5*time.Second, `document.querySelector('#step-rug details.weave [role=alert]')?.textContent.includes('cut')`)
	setField(t, ctx, "Line to cut along", "12rows")
	choose(t, ctx, "Drawn first", "hem")
	waitFor(t, 10*time.Second, func() bool {
		data, _ := os.ReadFile(filepath.Join(dir, "lighthouse-mat-job", "job.toml"))
		text := string(data)
		return strings.Contains(text, `hem = '6rows'`) && strings.Contains(text, `cut = '12rows'`) && strings.Contains(text, "ticks = true") &&
			strings.Contains(text, `stripes = 'nearest'`) && strings.Contains(text, `first = ['hem']`)
	})

	step(t, ctx, "4")
	label(t, ctx, "No machine: it is printed")
	until(t, ctx, 10*time.Second, `[...document.querySelectorAll('#step-transfer select')].some(s => s.value === 'letter')`)
	label(t, ctx, "The machine")
	until(t, ctx, 10*time.Second, `[...document.querySelectorAll('#step-transfer select')].some(s => s.value === 'nothing is printed')`)
	until(t, ctx, 5*time.Second, `document.querySelector('nav').textContent.includes('Drawn on the backing')`)
}
