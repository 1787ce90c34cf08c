//go:build unix

package main

import (
	"os"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/creack/pty"
	"golang.org/x/sys/unix"
	"golang.org/x/term"

	"weftplot/profiles"
)

// person sits at a pseudo-terminal: it reads what is shown and presses keys.
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
	for deadline := time.Now().Add(time.Minute); ; time.Sleep(2 * time.Millisecond) {
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
func (p *person) settings() term.State {
	p.t.Helper()
	s, err := term.GetState(int(p.tty.Fd()))
	if err != nil {
		p.t.Fatal(err)
	}
	return *s
}

// run runs the program at the person's terminal; what it returns waits for the
// exit status and the standard output.
func (p *person) run(dir string, args ...string) (wait func() (int, string)) {
	p.t.Helper()
	var out strings.Builder
	cmd := exec.Command("weftplot", args...)
	cmd.Dir = dir
	cmd.Stdin, cmd.Stdout, cmd.Stderr = p.tty, &out, p.tty
	p.begin(cmd)
	return func() (int, string) {
		cmd.Wait()
		return cmd.ProcessState.ExitCode(), out.String()
	}
}

// start runs the program with the terminal as the one that its signals come
// from.
func (p *person) start(dir string, args ...string) *exec.Cmd {
	p.t.Helper()
	cmd := exec.Command("weftplot", args...)
	cmd.Dir = dir
	cmd.Stdin, cmd.Stdout, cmd.Stderr = p.tty, p.tty, p.tty
	cmd.SysProcAttr = &unix.SysProcAttr{Setsid: true, Setctty: true}
	p.begin(cmd)
	return cmd
}

// begin starts the program, and sees that it ends with the test, and within
// reason.
func (p *person) begin(cmd *exec.Cmd) {
	p.t.Helper()
	if err := cmd.Start(); err != nil {
		p.t.Fatal(err)
	}
	late := time.AfterFunc(2*time.Minute, func() { cmd.Process.Kill() })
	p.t.Cleanup(func() {
		late.Stop()
		cmd.Process.Kill()
		cmd.Wait()
	})
}

// combJob makes the job of a comb, for a machine, in a folder of its own.
func combJob(t *testing.T, machine string) (dir string) {
	t.Helper()
	dir = t.TempDir()
	if err := os.WriteFile(dir+"/comb.svg", []byte(comb), 0o666); err != nil {
		t.Fatal(err)
	}
	if machine == benchFile {
		benchProfile(t, dir)
	}
	if status, _, errs := weftplot(t, dir, "prepare", "comb.svg", "--machine", machine, "--effort", "quick", "--out", "job"); status != 0 {
		t.Fatal(errs)
	}
	return dir
}

// benchFile is the file of a machine that is like the simulated one, but for its name:
// a job for that one goes to no port. benchProfile writes it.
const benchFile = "bench.toml"

func benchProfile(t *testing.T, dir string) {
	t.Helper()
	text, err := profiles.Source(profiles.MachineKind, "practice")
	if err != nil {
		t.Fatal(err)
	}
	own := strings.Replace(string(text), `name = "practice"`, `name = "bench"`, 1)
	if err := os.WriteFile(dir+"/"+benchFile, []byte(own), 0o666); err != nil {
		t.Fatal(err)
	}
}

func machineNamed(t *testing.T, name string) profiles.Machine {
	t.Helper()
	if name == benchFile {
		name = "practice"
	}
	m, err := profiles.MachineNamed(name)
	if err != nil {
		t.Fatal(err)
	}
	return m
}
