//go:build unix

package main

import (
	"bufio"
	"encoding/json"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// benchProcess is a bench in a process of its own, asked without a browser.
type benchProcess struct {
	cmd          *exec.Cmd
	host, secret string
}

func startBench(t *testing.T, dir string, args ...string) benchProcess {
	t.Helper()
	cmd := exec.Command("weftplot", append([]string{"bench", "--no-open", "--dir", dir}, args...)...)
	cmd.Env = append(os.Environ(), "XDG_CONFIG_HOME="+filepath.Join(dir, "config"))
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	must(t, err)
	must(t, cmd.Start())
	t.Cleanup(func() { cmd.Process.Kill(); cmd.Wait() })
	line, err := bufio.NewReader(out).ReadString('\n')
	must(t, err)
	host, secret, ok := strings.Cut(strings.TrimPrefix(strings.TrimSpace(line), "http://"), "/#")
	if !ok || len(secret) < 22 {
		t.Fatalf("the first line is %q", line)
	}
	return benchProcess{cmd, host, secret}
}

// ask sends a request as the page does, and reads the answer into v.
func (b benchProcess) ask(t *testing.T, method, path, body string, v any) {
	t.Helper()
	r, err := http.NewRequest(method, "http://"+b.host+path, strings.NewReader(body))
	must(t, err)
	r.Header.Set("Authorization", "Bearer "+b.secret)
	r.Header.Set("X-Page", "test")
	r.Header.Set("Content-Type", "application/json")
	got, err := http.DefaultClient.Do(r)
	must(t, err)
	defer got.Body.Close()
	data, err := io.ReadAll(got.Body)
	must(t, err)
	if got.StatusCode != 200 {
		t.Fatalf("%s %s: %d, %s", method, path, got.StatusCode, data)
	}
	must(t, json.Unmarshal(data, v))
}

// news is what the page is told, as far as these tests look at it.
type news struct {
	Turn   string
	Status struct {
		Word   string
		Proved int
	}
	Job struct {
		Folder  string
		Whole   bool
		Checked bool
	}
}

func (b benchProcess) news(t *testing.T) (n news) {
	t.Helper()
	b.ask(t, "GET", "/news?page=test&seen=-1", "", &n)
	return n
}

// TestThePageWritesWhatPrepareWrites: the files of a job that was decided on the
// page are, byte for byte, those that prepare makes from its job.toml.
func TestThePageWritesWhatPrepareWrites(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	b := startBench(t, dir, "demo/lighthouse-mat.svg")
	b.news(t)
	b.ask(t, "POST", "/settings", `{"width":"14in","border":"4,2","craft":"hooking","pen-for sea":"extra-fine-marker"}`, &struct{}{})
	var folder string
	waitFor(t, time.Minute, func() bool {
		n := b.news(t)
		folder = n.Job.Folder
		return n.Job.Whole
	})
	other := filepath.Join(dir, "prepared")
	if status, _, errs := weftplot(t, dir, "prepare", filepath.Join(folder, "job.toml"), "--out", other); status != 0 {
		t.Fatal(errs)
	}
	files, err := os.ReadDir(other)
	must(t, err)
	if len(files) < 7 {
		t.Errorf("prepare wrote %d files", len(files))
	}
	for _, f := range files {
		want, err := os.ReadFile(filepath.Join(other, f.Name()))
		must(t, err)
		if got, err := os.ReadFile(filepath.Join(folder, f.Name())); string(got) != string(want) {
			t.Errorf("%s differs from what prepare writes: %v, %d and %d bytes", f.Name(), err, len(got), len(want))
		}
	}
}

// TestTheBenchEndsPolitely asks the server to end in mid-job: the pen is lifted
// and the journal says that the place is known.
func TestTheBenchEndsPolitely(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	b := startBench(t, dir, "demo/lighthouse-mat.svg")
	var n news
	waitFor(t, time.Minute, func() bool { n = b.news(t); return n.Job.Whole })
	b.ask(t, "POST", "/move", `{"do":"draw","port":"sim","turn":"`+n.Turn+`"}`, &struct{}{})
	journal := filepath.Join(n.Job.Folder, "plot.gcode.journal")
	waitFor(t, time.Minute, func() bool { return b.news(t).Status.Proved > 1 })
	must(t, b.cmd.Process.Signal(syscall.SIGTERM))
	done := make(chan error, 1)
	go func() { done <- b.cmd.Wait() }()
	select {
	case <-done:
	case <-time.After(10 * time.Second): // the contract
		t.Fatal("it does not end within 10 s")
	}
	if code := b.cmd.ProcessState.ExitCode(); code != 0 && code != 130 {
		t.Errorf("exit status %d", code)
	}
	data, err := os.ReadFile(journal)
	if err != nil || !strings.Contains(string(data), "left safe") {
		t.Errorf("the journal: %v\n%s", err, data)
	}
}
