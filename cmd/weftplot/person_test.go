//go:build unix

package main

import (
	"context"
	"os"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/creack/pty"
	"golang.org/x/sys/unix"

	"weftplot/profiles"
)

// person sits at a pseudo-terminal: it reads what is shown and presses keys. A
// second run in one process takes a second person: the first keeps its keys.
type person struct {
	t        *testing.T
	far, tty *os.File
	mu       sync.Mutex
	screen   strings.Builder
	seen     int // of the screen, by await
}

func newPerson(t *testing.T) *person {
	t.Helper()
	far, tty, err := pty.Open()
	if err != nil {
		t.Skipf("there is no pseudo-terminal here: %v", err)
	}
	if err := pty.Setsize(tty, &pty.Winsize{Rows: 24, Cols: 80}); err != nil {
		t.Fatal(err)
	}
	p := &person{t: t, far: far, tty: tty}
	t.Cleanup(func() { far.Close(); tty.Close() })
	go p.read()
	return p
}

func (p *person) read() {
	buf := make([]byte, 4096)
	for {
		n, err := p.far.Read(buf)
		p.mu.Lock()
		p.screen.Write(buf[:n])
		p.mu.Unlock()
		if err != nil {
			return
		}
	}
}

func (p *person) shown() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.screen.String()
}

// await waits until words are shown that were not awaited before.
func (p *person) await(words string) {
	p.t.Helper()
	for deadline := time.Now().Add(20 * time.Second); ; time.Sleep(2 * time.Millisecond) {
		all := p.shown()
		if i := strings.Index(all[p.seen:], words); i >= 0 {
			p.seen += i + len(words)
			return
		}
		if time.Now().After(deadline) {
			p.t.Fatalf("%q is not shown; the last that is: %q", words, all[max(p.seen, len(all)-600):])
		}
	}
}

func (p *person) press(keys string) {
	p.t.Helper()
	if _, err := p.far.WriteString(keys); err != nil {
		p.t.Fatal(err)
	}
}

// settings are those of the terminal.
func (p *person) settings() unix.Termios {
	p.t.Helper()
	s, err := unix.IoctlGetTermios(int(p.tty.Fd()), getTermios)
	if err != nil {
		p.t.Fatal(err)
	}
	return *s
}

// run runs a command line at the person's terminal; what it returns gives the
// exit status and the standard output.
func (p *person) run(dir string, args ...string) (wait func() (int, string)) {
	var out strings.Builder
	status := make(chan int, 1)
	ended := make(chan struct{})
	ctx, cancel := context.WithCancel(context.Background())
	p.t.Cleanup(func() {
		cancel()
		<-ended // before what it uses is taken away
	})
	go func() {
		defer close(ended)
		status <- run(ctx, append([]string{"weftplot"}, args...), streams{in: p.tty, out: &out, err: p.tty, dir: dir})
	}()
	return func() (int, string) {
		p.t.Helper()
		select {
		case got := <-status:
			return got, out.String()
		case <-time.After(30 * time.Second):
			p.t.Fatalf("it does not end; shown: %q", p.shown())
			return 0, ""
		}
	}
}

// start runs the program as one of its own, with the terminal as its own.
func (p *person) start(dir string, args ...string) *exec.Cmd {
	p.t.Helper()
	cmd := exec.Command("weftplot", args...)
	cmd.Dir = dir
	cmd.Stdin, cmd.Stdout, cmd.Stderr = p.tty, p.tty, p.tty
	cmd.SysProcAttr = &unix.SysProcAttr{Setsid: true, Setctty: true}
	if err := cmd.Start(); err != nil {
		p.t.Fatal(err)
	}
	p.t.Cleanup(func() { cmd.Process.Kill() })
	return cmd
}

// combJob makes the job of a comb, for a machine, in a folder of its own.
func combJob(t *testing.T, machine string) (dir string) {
	t.Helper()
	dir = t.TempDir()
	if err := os.WriteFile(dir+"/comb.svg", []byte(comb), 0o666); err != nil {
		t.Fatal(err)
	}
	if status, _, errs := command(context.Background(), dir, "prepare", "comb.svg", "--machine", machine, "--effort", "quick", "--out", "job"); status != 0 {
		t.Fatal(errs)
	}
	return dir
}

func machineNamed(t *testing.T, name string) profiles.Machine {
	t.Helper()
	m, err := profiles.MachineNamed(name)
	if err != nil {
		t.Fatal(err)
	}
	return m
}
