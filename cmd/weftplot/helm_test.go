//go:build unix

package main

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"weftplot/device/sim"
	"weftplot/paths"
	"weftplot/plot"
	"weftplot/plot/program"
)

// drawnStrokes waits until so many strokes are on the cloth.
func drawnStrokes(t *testing.T, server *sim.Server, n int) {
	t.Helper()
	for deadline := time.Now().Add(20 * time.Second); len(server.Cloth().Strokes()) < n; time.Sleep(2 * time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatalf("%d strokes are on the cloth, not %d", len(server.Cloth().Strokes()), n)
		}
	}
}

// asPrepared compares the cloth with the program of the job folder: each piece
// that is drawn lies on a stroke of it, and together they are as long. A stroke
// that was lifted in its middle is two pieces.
func asPrepared(t *testing.T, dir string, server *sim.Server) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(dir, "job", "plot.gcode"))
	if err != nil {
		t.Fatal(err)
	}
	m := machineNamed(t, "practice")
	p, err := plot.ReadProgram("plot.gcode", text, &m)
	if err != nil {
		t.Fatal(err)
	}
	cloth := server.Cloth()
	if want := program.Total(p).DrawMM; math.Abs(cloth.Drawn-want) > 0.1 {
		t.Errorf("%.2f mm are drawn, not %.2f", cloth.Drawn, want)
	}
	for _, piece := range cloth.Strokes() {
		on := func(s paths.Stroke) bool { return paths.Deviation(piece, s, 0.01) < 0.05 }
		if !slices.ContainsFunc(p.Strokes(), on) {
			t.Errorf("%v lies on no stroke of the program", piece)
		}
	}
}

// The pen goes up for a hold and a lift, nothing moves until the person goes on,
// and what is drawn in the end is what was asked for.
func TestHoldAndGoOn(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ key, name string }{{"h", "hold"}, {"l", "lift"}} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			dir, server, p := combJob(t, "practice"), plotter(t, 20), newPerson(t)
			before := p.settings()
			wait := p.run(dir, "send", "job", "--port", server.Path, "--yes")
			p.await("l lift the pen now")
			drawnStrokes(t, server, 3)
			p.press(c.key)
			p.await("held, the pen is up")
			at := server.Cloth()
			if at.Down {
				t.Error("the pen is down")
			}
			time.Sleep(100 * time.Millisecond) // two seconds of the plotter's
			if now := server.Cloth(); now.Down || now.Drawn != at.Drawn {
				t.Errorf("held, it went on from %.1f to %.1f mm", at.Drawn, now.Drawn)
			}
			p.press("g")
			if status, out := wait(); status != 0 || !strings.Contains(out, "drawn in") {
				t.Fatalf("status %d, %q, shown %q", status, out, p.shown())
			}
			if after := p.settings(); after != before {
				t.Errorf("the terminal is left as %+v, and was %+v", after, before)
			}
			asPrepared(t, dir, server)
		})
	}
}

func TestStopKey(t *testing.T) {
	t.Parallel()
	dir, server, p := combJob(t, "practice"), plotter(t, 20), newPerson(t)
	before := p.settings()
	wait := p.run(dir, "send", "job", "--port", server.Path, "--yes")
	drawnStrokes(t, server, 3)
	p.press("s")
	if status, _ := wait(); status != statusStopped {
		t.Errorf("status %d, shown %q", status, p.shown())
	}
	p.await("pen lifted")
	if server.Cloth().Down {
		t.Error("the pen was left down")
	}
	if after := p.settings(); after != before {
		t.Errorf("the terminal is left as %+v, and was %+v", after, before)
	}
}

// Ctrl-C, as the terminal's own signal, stops safely; so does a terminal that is
// closed. The terminal is left as it was.
func TestInterrupt(t *testing.T) {
	t.Parallel()
	dir, server, p := combJob(t, "practice"), plotter(t, 20), newPerson(t)
	before := p.settings()
	cmd := p.start(dir, "send", "job", "--port", server.Path, "--yes")
	drawnStrokes(t, server, 3)
	p.press("\x1a") // Ctrl-Z would leave the pen on the cloth
	p.press("\x03")
	cmd.Wait()
	if status := cmd.ProcessState.ExitCode(); status != statusStopped {
		t.Errorf("status %d, shown %q", status, p.shown())
	}
	p.await("pen lifted")
	if server.Cloth().Down {
		t.Error("the pen was left down")
	}
	if after := p.settings(); after != before {
		t.Errorf("the terminal is left as %+v, and was %+v", after, before)
	}
}

// A second Ctrl-C leaves at once, and still puts the terminal back. The machine
// is so slow that the first one is not done.
func TestSecondInterrupt(t *testing.T) {
	t.Parallel()
	dir, server, p := combJob(t, "practice"), plotter(t, 0.5), newPerson(t)
	before := p.settings()
	cmd := p.start(dir, "send", "job", "--port", server.Path, "--yes")
	p.await("l lift the pen now")
	for server.Cloth().Travelled == 0 && len(server.Cloth().Strokes()) == 0 {
		time.Sleep(5 * time.Millisecond)
	}
	p.press("\x03")
	p.await("stopping")
	p.press("\x03")
	cmd.Wait()
	if status := cmd.ProcessState.ExitCode(); status != statusStopped {
		t.Errorf("status %d, shown %q", status, p.shown())
	}
	p.await("left at once")
	if after := p.settings(); after != before {
		t.Errorf("the terminal is left as %+v, and was %+v", after, before)
	}
}

// What breaks in the program does not leave the person with a dumb terminal.
func TestPanicPutsTheTerminalBack(t *testing.T) {
	t.Parallel()
	p := newPerson(t)
	before := p.settings()
	func() {
		defer func() { recover() }()
		k, err := openKeyboard(streams{in: p.tty, err: p.tty})
		if err != nil || k == nil {
			t.Fatal("no keyboard", err)
		}
		defer k.Close()
		if p.settings() == before {
			t.Error("the terminal was not changed, so nothing is tested")
		}
		panic("something broke")
	}()
	if after := p.settings(); after != before {
		t.Errorf("the terminal is left as %+v, and was %+v", after, before)
	}
}
