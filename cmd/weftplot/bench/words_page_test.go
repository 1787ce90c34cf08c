package bench_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestWordsOnThePage types words, sets them in another alphabet, moves them by rows,
// and sees both pictures and the job file follow.
func TestWordsOnThePage(t *testing.T) {
	long(t)
	t.Parallel()
	dir := t.TempDir()
	s := serve(t, dir, "")
	ctx := pageOf(t, s)
	until(t, ctx, 10*time.Second, statusIs("Ready"))
	upload(t, ctx, "Drawing", "../demo/lighthouse-mat.svg")
	until(t, ctx, 20*time.Second, drawnCloths)

	step(t, ctx, "2")
	setField(t, ctx, "Words", "QUAY")
	until(t, ctx, 5*time.Second, `document.querySelector('#step-rug [role=alert]')?.textContent.includes('inside a border')`)
	setField(t, ctx, "Borders", "3")
	until(t, ctx, 5*time.Second, `document.body.textContent.includes('after 3 empty rows')`)
	seen := eval[string](t, ctx, pictures)
	setField(t, ctx, "Words", "QUAY")
	until(t, ctx, 5*time.Second, `document.querySelector('.lettering').textContent.includes('9 rows high')`)
	until(t, ctx, 10*time.Second, pictures+` !== `+quote(seen)) // on both sides
	before := eval[string](t, ctx, `document.querySelector('.lettering [aria-live]').textContent`)
	eval[any](t, ctx, `(() => { const s = [...document.querySelectorAll('.lettering select')][0]; s.value = 'counted'; s.dispatchEvent(new Event('change')); })(), 1`)
	until(t, ctx, 5*time.Second, `document.querySelector('.lettering [aria-live]').textContent !== `+quote(before))
	at := eval[string](t, ctx, `document.querySelector('.lettering [aria-live]').textContent.match(/([0-9]+) rows from the left/)[1]`)
	press(t, ctx, "Words right")
	press(t, ctx, "Words right")
	until(t, ctx, 5*time.Second, `document.querySelector('.lettering').textContent.includes(`+quote("high, ")+` + (`+at+` + 2) + `+quote(" rows from the left")+`)`)

	waitFor(t, 5*time.Second, func() bool {
		data, err := os.ReadFile(filepath.Join(dir, "lighthouse-mat-job", "job.toml"))
		text := string(data)
		return err == nil && strings.Contains(text, `words = 'QUAY'`) && strings.Contains(text, `alphabet = 'counted'`) && strings.Contains(text, `words-shift = '2,0'`)
	})
}

// pictures names the pictures that are shown, of both sides.
const pictures = `[...document.querySelectorAll('.cloth')].map(c => c.dataset.picture).join()`
