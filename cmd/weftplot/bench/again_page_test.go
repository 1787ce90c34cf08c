package bench_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"golang.org/x/image/font/gofont/goregular"

	"weftplot/paths"
	"weftplot/plot/paper"
)

// TestTurnedAndPlayed lays the cloth turned by the radio buttons, finds a second mark
// from the first on it, and drags the time line of the dry run.
func TestTurnedAndPlayed(t *testing.T) {
	long(t)
	t.Parallel()
	ctx, dir := onPage(t, "../demo/lighthouse-mat.svg")
	step(t, ctx, "2")
	seen := eval[string](t, ctx, pictures)
	label(t, ctx, "Turned by a quarter")
	until(t, ctx, 10*time.Second, pictures+` !== `+quote(seen))
	has := func(text string) func() bool {
		return func() bool {
			data, _ := os.ReadFile(filepath.Join(dir, "lighthouse-mat-job", "job.toml"))
			return strings.Contains(string(data), text)
		}
	}
	waitFor(t, 5*time.Second, has("lay = 'turned'"))

	step(t, ctx, "7")
	const part = `document.querySelector('#step-dryrun')`
	until(t, ctx, 10*time.Second, `Number(`+part+`.querySelector('input[type=range]').max) > 1`)
	drag := func(share string) string {
		return eval[string](t, ctx, `(() => { const s = `+part+`.querySelector('input[type=range]'); s.value = String(Number(s.max) * `+share+`); s.dispatchEvent(new Event('input')); return s.getAttribute('aria-valuetext') + '|' + [...`+part+`.querySelectorAll('p')].map(p => p.textContent).find(x => x.includes(' mm/s, ')); })()`)
	}
	begin, middle, end := drag("0"), drag("0.5"), drag("1")
	if !strings.HasPrefix(begin, "0 s of ") || begin == middle || middle == end {
		t.Errorf("the time line says %q at its beginning, %q in the middle and %q at its end", begin, middle, end)
	}
	whole := strings.TrimPrefix(strings.SplitN(begin, "|", 2)[0], "0 s of ")
	if !strings.HasPrefix(end, whole+" of "+whole+"|") || !strings.Contains(end, "pen up") {
		t.Errorf("at its end the time line says %q, and the whole takes %s", end, whole)
	}

	step(t, ctx, "6")
	press(t, ctx, "Take the pen")
	until(t, ctx, 10*time.Second, `document.querySelector('#step-marks').textContent.includes('The pen is at 0.00, 0.00')`)
	choose(t, ctx, "A step is", "10")
	press(t, ctx, "Pen right") // the corner of the rug as drawn lies at the right below
	until(t, ctx, 5*time.Second, `document.querySelector('#step-marks').textContent.includes('The pen is at 10.00, 0.00')`)
	for range 45 {
		eval[any](t, ctx, `[...document.querySelectorAll('button')].find(b => b.textContent === 'Pen right').click(), 1`)
		time.Sleep(20 * time.Millisecond)
	}
	until(t, ctx, 10*time.Second, `(at => at && Number(at[1]) >= 400)(/pen is at ([0-9.]+)/.exec(document.querySelector('#step-marks').textContent)) || ([...document.querySelectorAll('button')].find(b => b.textContent === 'Pen right').click(), false)`)
	setField(t, ctx, "Channel across", "0")
	setField(t, ctx, "Channel along", "0")
	press(t, ctx, "Mark this place")
	until(t, ctx, 5*time.Second, `document.querySelector('#step-marks').textContent.includes('Mark 1 is taken')`)
	from := eval[[]float64](t, ctx, penAt)
	press(t, ctx, "Go where the next mark should be")
	until(t, ctx, 10*time.Second, penAt+`[1] > `+`100`)
	// What runs across the rug runs away from the person.
	if at := eval[[]float64](t, ctx, penAt); at[0]-from[0] > 1 || from[0]-at[0] > 1 {
		t.Errorf("from %v the next corner across is looked for at %v", from, at)
	}
	press(t, ctx, "Leave the pen")
}

// penAt is where the page says that the pen is.
const penAt = `/pen is at ([0-9.]+), ([0-9.]+)/.exec(document.querySelector('#step-marks').textContent).slice(1).map(Number)`

// TestFontAndPages draws a drawing's own words in a font, and reads the second page
// of a file that has two.
func TestFontAndPages(t *testing.T) {
	long(t)
	t.Parallel()
	dir := t.TempDir()
	s := serve(t, dir, "")
	ctx := pageOf(t, s)
	until(t, ctx, 10*time.Second, statusIs("Ready"))
	file := filepath.Join(t.TempDir(), "lettered.svg")
	must(t, os.WriteFile(file, []byte(lettered), 0o644))
	upload(t, ctx, "Drawing", file)
	until(t, ctx, 20*time.Second, drawnCloths)
	const name = "Font of the words in the drawing"
	until(t, ctx, 5*time.Second, `[...document.querySelectorAll('label')].find(l => l.textContent === `+quote(name)+`).offsetParent`)
	bad := filepath.Join(t.TempDir(), "rope.ttf")
	must(t, os.WriteFile(bad, []byte("no font"), 0o644))
	upload(t, ctx, name, bad)
	until(t, ctx, 5*time.Second, `document.querySelector('#step-drawing .field > [role=alert]')`)
	rope := filepath.Join(t.TempDir(), "rope.ttf")
	must(t, os.WriteFile(rope, goregular.TTF, 0o644))
	upload(t, ctx, name, rope)
	until(t, ctx, 10*time.Second, `document.querySelector('#step-drawing').textContent.includes('drawn as the outlines of a font')`)
	waitFor(t, 5*time.Second, func() bool {
		data, _ := os.ReadFile(filepath.Join(dir, "lettered-job", "job.toml"))
		return strings.Contains(string(data), "font = ['font-1.ttf']")
	})
	press(t, ctx, "Do without a font")
	until(t, ctx, 10*time.Second, `!document.querySelector('#step-drawing').textContent.includes('drawn as the outlines of a font')`)

	d := paper.NewDoc("two pages")
	for page := 1; page <= 2; page++ {
		d.Page(200, 150)
		for n := range page { // as many lines as the number of the page says
			y := 40 + 30*float64(n)
			d.Draw(paper.Pen{Width: 1}, paths.Identity(), paths.Stroke{paths.Line{A: paths.Point{X: 20, Y: y}, B: paths.Point{X: 180, Y: y}}})
		}
	}
	data, err := d.Bytes()
	must(t, err)
	two := filepath.Join(t.TempDir(), "two.pdf")
	must(t, os.WriteFile(two, data, 0o644))
	upload(t, ctx, "Drawing", two)
	until(t, ctx, 20*time.Second, `document.querySelector('.scan').alt.includes('with 1 line ')`)
	setField(t, ctx, "Page of the file", "2")
	until(t, ctx, 20*time.Second, `document.querySelector('.scan').alt.includes('with 2 lines ')`)
	setField(t, ctx, "Page of the file", "3")
	until(t, ctx, 10*time.Second, `[...document.querySelectorAll('#step-drawing [role=alert]')].some(a => a.textContent.includes('no page 3'))`)
}
