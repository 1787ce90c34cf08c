package bench_test

import (
	"bufio"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"weftplot/device/sim/live"
	"weftplot/profiles"
)

// process is a bench in a process of its own, which can be killed, with a simulated
// plotter so many times as fast as life.
func process(t *testing.T, dir, open string, speed int) (*exec.Cmd, string) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), "BENCH_DIR="+dir, "BENCH_OPEN="+inHaste(t, open), "BENCH_SPEED="+strconv.Itoa(speed))
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	must(t, err)
	must(t, cmd.Start())
	t.Cleanup(func() { cmd.Process.Kill(); cmd.Wait() })
	line, err := bufio.NewReader(out).ReadString('\n')
	must(t, err)
	return cmd, strings.TrimSpace(line)
}

// TestKilledAndTakenUpAgain kills the server in mid-job, starts it again on the
// same job, and resumes.
func TestKilledAndTakenUpAgain(t *testing.T) {
	long(t)
	t.Parallel()
	dir := t.TempDir()
	cmd, address := process(t, dir, "../demo/lighthouse-mat.svg", lifeSpeed)
	ctx := browser(t)
	must(t, chromedp.Do(ctx, chromedp.Navigate(address)))
	until(t, ctx, 10*time.Second, drawnCloths)
	step(t, ctx, "8")
	tickAndDraw(t, ctx)
	job := filepath.Join(dir, "lighthouse-mat-job")
	journal := filepath.Join(job, "plot.gcode.journal")
	waitFor(t, 20*time.Second, func() bool {
		data, _ := os.ReadFile(journal)
		return strings.Count(string(data), "drawn ") > 3
	})
	must(t, cmd.Process.Kill())
	cmd.Wait()
	until(t, ctx, 10*time.Second, `document.querySelector('[role=alert]')?.textContent.includes('does not answer')`)

	_, address = process(t, dir, filepath.Join(job, "job.toml"), 10*lifeSpeed)
	must(t, chromedp.Do(ctx, chromedp.Navigate(address)))
	until(t, ctx, 10*time.Second, drawnCloths)
	step(t, ctx, "8")
	until(t, ctx, 10*time.Second, `document.querySelector('#step-draw').textContent.includes('proved to be on the cloth')`)
	if eval[int](t, ctx, `document.querySelectorAll('#step-draw input:checked').length`) > 0 {
		t.Error("something is ticked after the page was loaded again")
	}
	resumeToTheEnd(t, ctx)
}

// TestTheLineBreaks draws on a plotter at a port of its own, and pulls the plug.
func TestTheLineBreaks(t *testing.T) {
	long(t)
	t.Parallel()
	m, err := profiles.MachineNamed("gantry-z")
	must(t, err)
	plotter := live.Serve(m, 1)
	defer plotter.Close()
	if plotter.Path == "" {
		t.Skip("this system has no pseudo-terminals")
	}
	ctx, _ := onPage(t, "../demo/lighthouse-mat.svg")
	step(t, ctx, "5")
	setField(t, ctx, "Another port", plotter.Path)
	step(t, ctx, "8")
	press(t, ctx, "Rehearse")
	until(t, ctx, 5*time.Second, `document.querySelector('[role=alert]')?.textContent.includes('only simulated')`)
	step(t, ctx, "5")
	choose(t, ctx, "Machine", "gantry-z")
	step(t, ctx, "8")
	tickAndDraw(t, ctx)
	until(t, ctx, 20*time.Second, statusIs("Drawing"))
	time.Sleep(500 * time.Millisecond)
	plotter.Close()
	until(t, ctx, 20*time.Second, statusIs("The line broke"))
	text := eval[string](t, ctx, `document.querySelector('[role=alert]').textContent`)
	t.Log(text)
	if !strings.Contains(text, "lift") {
		t.Errorf("it does not say what to do: %s", text)
	}
	if n := eval[int](t, ctx, `document.querySelectorAll('#step-draw input[type=checkbox]').length`); n != 5 {
		t.Errorf("%d lines are to be ticked, want one more: that the machine was brought home", n)
	}
}

// choose picks an option of a labelled choice.
func choose(t *testing.T, ctx context.Context, label, value string) {
	t.Helper()
	eval[any](t, ctx, `{ const s = document.getElementById([...document.querySelectorAll('label')].find(l => l.textContent === `+quote(label)+`).htmlFor);
		s.value = `+quote(value)+`; s.dispatchEvent(new Event('change', {bubbles: true})); }`)
}

// TestRefusals gives the page what it cannot use: a sentence stands beside what
// caused it, and drawing and pictures stay.
func TestRefusals(t *testing.T) {
	t.Parallel()
	ctx, _ := onPage(t, "../demo/lighthouse-mat.svg")
	dir := t.TempDir()
	write := func(name, data string) string {
		must(t, os.WriteFile(filepath.Join(dir, name), []byte(data), 0o644))
		return filepath.Join(dir, name)
	}
	large := filepath.Join(dir, "large.svg")
	must(t, os.WriteFile(large, nil, 0o644))
	must(t, os.Truncate(large, 200<<20))
	name := eval[string](t, ctx, `document.querySelector('.front .cloth').getAttribute('aria-label')`)
	for _, c := range []struct{ file, says string }{
		{large, "larger than 100 MB"},
		{write("empty.svg", ""), "empty"},
		{write("film.mp4", "\x00\x00\x00\x18ftypmp42 and so on"), "film"},
		{write("photo.heic", "\x00\x00\x00\x18ftypheic and so on"), "phone"},
		{write("no-lines.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="10mm"/>`), "no line work"},
		{write("letter.txt", "Dear friend"), "letter.txt"},
		{write("torn.png", "\x89PNG\r\n\x1a\nand no more"), "torn.png"},
	} {
		upload(t, ctx, "Drawing", c.file)
		until(t, ctx, 20*time.Second, `document.querySelector('#step-drawing [role=alert]')`)
		text := eval[string](t, ctx, `document.querySelector('#step-drawing [role=alert]').textContent`)
		t.Log(text)
		if !strings.Contains(text, c.says) && !strings.HasPrefix(c.says, filepath.Base(c.file)) {
			t.Errorf("%s: %s", filepath.Base(c.file), text)
		}
	}
	step(t, ctx, "2")
	for _, size := range []string{"0in", "24", "-3cm", "9000mm", "wide", "1mm"} {
		setField(t, ctx, "Finished width", size)
		until(t, ctx, 4*time.Second, `document.querySelector('#step-rug [role=alert]')`)
		t.Log(size, eval[string](t, ctx, `document.querySelector('#step-rug [role=alert]').textContent`))
		setField(t, ctx, "Finished width", "18in")
		until(t, ctx, 4*time.Second, `!document.querySelector('#step-rug [role=alert]')`)
	}
	if now := eval[string](t, ctx, `document.querySelector('.front .cloth').getAttribute('aria-label')`); !strings.HasPrefix(now, name[:20]) {
		t.Errorf("the picture is %q, and was %q", now, name)
	}
}

// TestFromAPhoto reads a pencil drawing from a scan and from a photo.
func TestFromAPhoto(t *testing.T) {
	long(t)
	t.Parallel()
	s := serve(t, t.TempDir(), "")
	ctx := pageOf(t, s)
	until(t, ctx, 10*time.Second, statusIs("Ready"))
	for _, name := range []string{"harbour-pencil.jpg", "harbour-photo.jpg"} {
		eval[any](t, ctx, `document.querySelectorAll('.cloth').forEach(c => delete c.dataset.picture), 1`)
		upload(t, ctx, "Drawing", "../../../testdata/scans/"+name)
		until(t, ctx, 30*time.Second, drawnCloths)
		until(t, ctx, 10*time.Second, `document.querySelector('.scan').naturalWidth > 100`)
	}
}
