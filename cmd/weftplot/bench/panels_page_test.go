package bench_test

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// TestLoadsOnThePage ticks the box that a refused size offers, sees the loads, and draws
// the first.
func TestLoadsOnThePage(t *testing.T) {
	t.Parallel()
	runner := filepath.Join(t.TempDir(), "runner.svg")
	must(t, os.WriteFile(runner, []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="16in" height="8in" viewBox="0 0 400 200" fill="none" stroke="black"><path d="M0 0h400v200h-400z"/><path d="M20 60h360M20 140h360M100 20v160M300 20v160"/></svg>`), 0o666))
	s := serveAt(t, t.TempDir(), runner, 600)
	ctx := browser(t)
	must(t, chromedp.Do(ctx, chromedp.Navigate(s.address), chromedp.EmulateViewport(1280, 1000)))
	until(t, ctx, 10*time.Second, drawnCloths)
	step(t, ctx, "2")
	if !eval[bool](t, ctx, `document.querySelector('.loads').hidden`) {
		t.Error("loads are offered for a rug that fits")
	}
	setField(t, ctx, "Finished width", "800mm")
	until(t, ctx, 5*time.Second, `document.querySelector('#step-rug [role=alert]') && !document.querySelector('.loads').hidden`)
	label(t, ctx, "Draw it in several loads")
	until(t, ctx, 10*time.Second, `document.querySelectorAll('.copies tbody tr').length === 2 && !document.querySelector('#step-rug [role=alert]')`)
	step(t, ctx, "8")
	until(t, ctx, 20*time.Second, `document.querySelector('#step-draw').textContent.includes('For load 1: lay the cloth so that the lower left corner of the rug lies at ')`)
	tickAll := `document.querySelectorAll('#step-draw .tick input').forEach(i => { if (!i.checked) i.click(); }), 1`
	eval[any](t, ctx, tickAll)
	press(t, ctx, "Draw")
	until(t, ctx, 60*time.Second, `document.querySelector('.copies').textContent.includes('load 1 drawn, load 2 due')`)
	until(t, ctx, 5*time.Second, `/weftplot register .* --load 2 .*--marks-for 2=/.test(document.querySelector('#step-draw').textContent)`)
	eval[any](t, ctx, tickAll)
	if !eval[bool](t, ctx, `[...document.querySelectorAll('button')].find(b => b.textContent === 'Draw').disabled`) {
		t.Error("a load without marks can be drawn")
	}
}
