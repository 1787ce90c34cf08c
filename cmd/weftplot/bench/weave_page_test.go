package bench_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestWeaveOnThePage opens the section More for the weave, sets what is in it, and leaves
// the machine and takes it again on the step Onto the cloth.
func TestWeaveOnThePage(t *testing.T) {
	t.Parallel()
	ctx, dir := onPage(t, "../demo/lighthouse-mat.svg")
	step(t, ctx, "2")
	if eval[bool](t, ctx, `document.querySelector('#step-rug details.weave').open`) {
		t.Error("the section stands open")
	}
	click(t, ctx, `#step-rug details.weave summary`)
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

// TestMotifsOnThePage repeats a layer along the border, puts a line into a channel, and
// leaves slanting lines as they lie.
func TestMotifsOnThePage(t *testing.T) {
	long(t)
	t.Parallel()
	ctx, dir := onPage(t, drawn(t, "posts.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="220mm" viewBox="0 0 300 220" fill="none" stroke="#000"><g id="house"><path d="M60 180V80L150 30L240 80V180Z"/></g><g id="post"><path d="M150 180V100"/></g>
<g id="wave"><path d="M0 212V200L10 190L20 200V212Z M10 190V205"/></g></svg>`))
	step(t, ctx, "2")
	eval[any](t, ctx, `document.querySelectorAll('#step-rug details').forEach(d => { d.open = true; }), 1`)
	choose(t, ctx, "Motif", "wave")
	until(t, ctx, 5*time.Second, `document.querySelector('details.repeat [role=alert]')?.textContent.includes('Borders')`)
	setField(t, ctx, "Borders", "4")
	until(t, ctx, 5*time.Second, `document.body.textContent.includes('after 4 empty rows')`)
	choose(t, ctx, "Motif", "wave")
	until(t, ctx, 10*time.Second, `!document.querySelector('details.repeat [role=alert]')`)
	setField(t, ctx, "Height of the motif", "10rows")
	label(t, ctx, "The size of the rug")
	until(t, ctx, 20*time.Second, `document.querySelector('details.repeat ul').textContent.includes('(as here)')`)
	choose(t, ctx, "Layer of the line", "post")
	choose(t, ctx, "The line runs", "up the rug")
	setField(t, ctx, "In channel", "2")
	press(t, ctx, "Put it there")
	until(t, ctx, 5*time.Second, `document.querySelector('.channels [role=alert]')?.textContent.includes('channel 2')`)
	setField(t, ctx, "In channel", "50")
	press(t, ctx, "Put it there")
	until(t, ctx, 10*time.Second, `document.querySelector('.channels ul').textContent.includes('The line of post that runs up the rug: channel 50')`)
	label(t, ctx, "As they lie")
	waitFor(t, 10*time.Second, func() bool {
		data, _ := os.ReadFile(filepath.Join(dir, "posts-job", "job.toml"))
		text := string(data)
		return strings.Contains(text, `repeat = 'wave'`) && strings.Contains(text, `repeat-give = 'size'`) && strings.Contains(text, `repeat-height = '10rows'`) &&
			strings.Contains(text, `channel = ['post=across:50']`) && strings.Contains(text, `diagonals = 'off'`)
	})
	press(t, ctx, "Let line 1 go where it is near")
	until(t, ctx, 10*time.Second, `!document.querySelector('.channels li')`)
	eval[any](t, ctx, `document.querySelector('details.repeat').scrollIntoView(), 1`)
	look(t, ctx, "motifs")
}
