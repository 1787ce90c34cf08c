//go:build unix

package main

import (
	"bufio"
	"context"
	"encoding/json"
	"math"
	"os/exec"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/creack/pty"
	"golang.org/x/sys/unix"
	"golang.org/x/term"

	"weftplot/cmd/weftplot/sending"
	"weftplot/cmd/weftplot/terminal"
	"weftplot/device/sim/live"
	"weftplot/paths"
	"weftplot/paths/deviation"
	"weftplot/plot/jobfolder"
	"weftplot/plot/program"
)

// drawnStrokes waits until so many strokes are on the cloth.
func drawnStrokes(t *testing.T, server *live.Server, n int) {
	t.Helper()
	for deadline := time.Now().Add(time.Minute); len(server.Cloth().Strokes()) < n; time.Sleep(2 * time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatalf("%d strokes are on the cloth, not %d", len(server.Cloth().Strokes()), n)
		}
	}
}

// asPrepared compares the cloth with the program of the job folder: each piece
// that is drawn lies on a stroke of it, and together they are as long. A stroke
// that was lifted in its middle is two pieces.
func asPrepared(t *testing.T, dir string, server *live.Server) {
	t.Helper()
	programs, m, err := jobfolder.Place(dir).ReadFolder(context.Background(), "job", jobfolder.Wanted{})
	if err != nil {
		t.Fatal(err)
	}
	p, cloth := programs[0].Program, server.Cloth()
	if want := program.Total(p).DrawMM; math.Abs(cloth.Drawn-want) > 0.1+20*m.Step() {
		t.Errorf("%.2f mm are drawn, not %.2f", cloth.Drawn, want)
	}
	for _, piece := range cloth.Strokes() {
		on := func(s paths.Stroke) bool { return deviation.Of(piece, s, 0.01) < 0.05 }
		if !slices.ContainsFunc(p.Strokes(), on) {
			t.Errorf("%v lies on no stroke of the program", piece)
		}
	}
}

// The pen goes up for a hold and a lift, nothing moves until the person goes on,
// and what is drawn in the end is what was asked for.
func TestHoldAndGoOn(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ key, name, machine string }{
		{"h", "hold", benchFile}, {"l", "lift", benchFile}, {"h", "hold by HP-GL", "flatbed-hpgl"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			dir, server, p := combJob(t, c.machine), plotterOf(t, c.machine, 20), newPerson(t)
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
			for _, line := range strings.FieldsFunc(p.shown(), func(r rune) bool { return r == '\r' || r == '\n' }) {
				if n := len([]rune(line)); strings.Contains(line, "%") && n > 80 {
					t.Errorf("%d characters do not fit on the terminal: %q", n, line)
				}
			}
			if strings.Contains(p.shown(), "\x1b") {
				t.Error("colours, or other escapes, are shown")
			}
		})
	}
}

func TestStopKey(t *testing.T) {
	t.Parallel()
	dir, server, p := combJob(t, benchFile), plotter(t, 20), newPerson(t)
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

// Ctrl-C, as the terminal's own signal, stops safely; so do a request to end and
// a terminal that is closed. The terminal is left as it was.
func TestInterrupt(t *testing.T) {
	t.Parallel()
	for name, interrupt := range map[string]func(p *person, cmd *exec.Cmd){
		"ctrl-c":    func(p *person, cmd *exec.Cmd) { p.press("\x1a\x03") }, // Ctrl-Z would leave the pen on the cloth
		"terminate": func(p *person, cmd *exec.Cmd) { cmd.Process.Signal(unix.SIGTERM) },
		"hang-up":   func(p *person, cmd *exec.Cmd) { cmd.Process.Signal(unix.SIGHUP) },
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			dir, server, p := combJob(t, benchFile), plotter(t, 20), newPerson(t)
			before := p.settings()
			cmd := p.start(dir, "send", "job", "--port", server.Path, "--yes")
			drawnStrokes(t, server, 3)
			interrupt(p, cmd)
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
		})
	}
}

// dumbMachine answers so many lines as the practice plotter does, and then falls
// silent. It returns the name
// of its port.
func dumbMachine(t *testing.T, lines int) (port string) {
	t.Helper()
	far, tty, err := pty.Open()
	if err != nil {
		t.Skipf("there is no pseudo-terminal here: %v", err)
	}
	t.Cleanup(func() { far.Close(); tty.Close() })
	if _, err := term.MakeRaw(int(tty.Fd())); err != nil {
		t.Fatal(err)
	}
	accepted := machineNamed(t, "practice").Serial.Manner.Accepted
	go func() {
		for heard := bufio.NewScanner(far); lines > 0 && heard.Scan(); lines-- {
			far.WriteString(accepted + "\r\n")
		}
	}()
	return tty.Name()
}

// A second Ctrl-C leaves at once, and still puts the terminal back: here while
// the first waits for a machine that has fallen silent.
func TestSecondInterrupt(t *testing.T) {
	t.Parallel()
	dir, p := combJob(t, benchFile), newPerson(t)
	port := dumbMachine(t, 25)
	before := p.settings()
	cmd := p.start(dir, "send", "job", "--port", port, "--yes")
	p.await("stroke 1 of 11")
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

// Quietly, on a terminal too, no bar is drawn, and one JSON document comes out.
// The simulated plotter has cloth to spare, so nobody is asked.
func TestQuiet(t *testing.T) {
	t.Parallel()
	dir, p := combJob(t, benchFile), newPerson(t)
	wait := p.run(dir, "send", "job", "--port", "sim", "--sim-speed", "200", "--quiet", "--json")
	status, out := wait()
	var got []sending.Sent
	if err := json.Unmarshal([]byte(out), &got); status != 0 || err != nil || len(got) != 1 || got[0].Strokes != 11 {
		t.Errorf("status %d, %v: %s", status, err, out)
	}
	if strings.ContainsAny(p.shown(), "|%") || strings.Contains(p.shown(), "q leave") {
		t.Errorf("it shows %q", p.shown())
	}
}

// What breaks in the program does not leave the person with a dumb terminal.
func TestPanicPutsTheTerminalBack(t *testing.T) {
	t.Parallel()
	p := newPerson(t)
	before := p.settings()
	func() {
		defer func() { recover() }()
		k, err := terminal.OpenKeyboard(terminal.Streams{In: p.tty, Err: p.tty})
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
