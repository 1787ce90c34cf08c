package bench_test

import (
	"os"
	"path/filepath"
	"testing"
	"time"
)

// TestCopiesOnThePage types names, sees the cloth with its loads and the list of copies
// on every step, and draws one load after the other.
func TestCopiesOnThePage(t *testing.T) {
	long(t)
	t.Parallel()
	dir := t.TempDir()
	mat := filepath.Join(t.TempDir(), "mat.svg")
	must(t, os.WriteFile(mat, []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="15in" height="10in" viewBox="0 0 300 200" fill="none" stroke="black"><path d="M0 0h300v200h-300z"/><path d="M30 30l200 100"/></svg>`), 0o666))
	s := serveAt(t, dir, mat, 600)
	ctx := openedDrawn(t, s)
	if !eval[bool](t, ctx, `document.querySelector('.copies').hidden`) {
		t.Error("copies of a single rug are listed")
	}
	step(t, ctx, "2")
	click(t, ctx, `#step-rug details.kit summary`)
	seen := eval[string](t, ctx, pictures)
	eval[any](t, ctx, `{ const a = document.querySelector('.kit textarea'); a.value = 'Ada\nBryn\nCleo'; a.dispatchEvent(new Event('change')); }`)
	until(t, ctx, 5*time.Second, `document.querySelectorAll('.copies tbody tr').length === 3`)
	setField(t, ctx, "Cloth", "26in")
	until(t, ctx, 5*time.Second, `document.querySelector('.copies').textContent.includes('3 copies in 2 loads: load 1 due, load 2 due.')`)
	until(t, ctx, 10*time.Second, pictures+` !== `+quote(seen))
	setField(t, ctx, "Cloth", "10in")
	until(t, ctx, 5*time.Second, `document.querySelector('.kit [role=alert]')?.textContent.includes('between the selvedges')`)
	setField(t, ctx, "Cloth", "26in")
	until(t, ctx, 10*time.Second, `document.querySelector('.copies tbody').textContent.includes('Bryn') && !document.querySelector('.kit [role=alert]')`)

	step(t, ctx, "8")
	until(t, ctx, 20*time.Second, `document.querySelector('#step-draw').textContent.includes('For load 1: lay the lower left corner of copy 1')`)
	tickAndDraw(t, ctx)
	until(t, ctx, 60*time.Second, `document.querySelector('[role=status]').textContent.startsWith('Ready: Load 1 of 2 is drawn')`)
	until(t, ctx, 5*time.Second, `document.querySelector('.copies').textContent.includes('load 1 drawn, load 2 due')`)
	dueInView(t, ctx, "2 of 3 copies drawn; next load 2.")
	until(t, ctx, 5*time.Second, `document.querySelector('#step-draw').textContent.includes('For load 2: lay the lower left corner')`)
	tickAndDraw(t, ctx)
	until(t, ctx, 60*time.Second, `document.querySelector('[role=status]').textContent.startsWith('Drawn')`)
	until(t, ctx, 5*time.Second, `document.querySelector('.copies').textContent.includes('load 1 drawn, load 2 drawn')`)
	step(t, ctx, "1")
	if !eval[bool](t, ctx, `document.querySelector('.copies').offsetParent !== null`) {
		t.Error("the list of copies is not in view")
	}
}
