package main

import (
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"weftplot/paths/keyfile"
)

const foreignDir = "../../testdata/foreign"

// foreignTable is the table of testdata/foreign; what its keys mean stands there.
type foreignTable struct {
	Program []foreignProgram `toml:"program"`
}

type foreignProgram struct {
	File     string   `toml:"file"`
	Language string   `toml:"language"`
	Machine  string   `toml:"machine"`
	Preview  []int    `toml:"preview"`
	Send     []int    `toml:"send"`
	Rehearse []int    `toml:"rehearse"`
	Word     string   `toml:"word"`
	DrawMM   *float64 `toml:"draw_mm"`
	Why      string   `toml:"why"`
}

func readForeign(t *testing.T) []foreignProgram {
	t.Helper()
	name := filepath.Join(foreignDir, "table.toml")
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	var table foreignTable
	if err := keyfile.Decode(name, data, &table); err != nil {
		t.Fatal(err)
	}
	return table.Program
}

// TestForeignTable: the table names every file once, and statuses that exist.
func TestForeignTable(t *testing.T) {
	named := map[string]bool{"table.toml": true}
	for _, p := range readForeign(t) {
		if named[p.File] {
			t.Errorf("%s stands twice", p.File)
		}
		named[p.File] = true
		for _, want := range [][]int{p.Preview, p.Send, p.Rehearse} {
			if len(want) == 0 || slices.ContainsFunc(want, func(n int) bool { return n != 0 && n != 2 && n != 3 }) {
				t.Errorf("%s: statuses %v", p.File, want)
			}
		}
		if p.Why == "" {
			t.Errorf("%s: no reason", p.File)
		}
	}
	files, err := os.ReadDir(foreignDir)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if !named[f.Name()] {
			t.Errorf("%s is not in the table", f.Name())
		}
	}
	if len(named) != len(files) {
		t.Errorf("%d files in the table, %d in the folder", len(named), len(files))
	}
}

// TestForeign runs preview, send and a rehearsal of each program, in this process: to start
// the program takes longer than most of them.
func TestForeign(t *testing.T) {
	for _, p := range readForeign(t) {
		t.Run(p.File, func(t *testing.T) { p.judge(t) })
	}
}

func (p foreignProgram) judge(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(foreignDir, p.File))
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), p.File)
	if err := os.WriteFile(file, data, 0o600); err != nil {
		t.Fatal(err)
	}
	status, out, errs := command(t.Context(), "", "preview", file, "--machine", p.Machine, "--json")
	p.status(t, "preview", p.Preview, status, out+errs)
	// A preview that shows what it can of a program that is refused says so.
	if status == 0 && !slices.Contains(p.Send, 0) {
		p.holdsWord(t, "preview", out+errs)
	}
	if status != 2 && p.DrawMM != nil {
		var r struct {
			DrawMM float64 `json:"draw_mm"`
		}
		if err := json.Unmarshal([]byte(out), &r); err != nil {
			t.Errorf("preview --json: %v", err)
		} else if !slices.Contains(p.Send, 2) && math.Abs(r.DrawMM-*p.DrawMM) > 0.02 {
			t.Errorf("preview draws %.3f mm, want %.3f mm: %s", r.DrawMM, *p.DrawMM, p.Why)
		}
	}
	status, out, errs = command(t.Context(), "", "send", file, "--machine", p.Machine, "--port", "sim")
	p.status(t, "send", p.Send, status, out+errs)
	if status != 0 {
		p.holdsWord(t, "send", out+errs)
	}
	status, out, errs = command(t.Context(), "", "send", file, "--machine", p.Machine, "--port", "sim", "--rehearse")
	p.status(t, "send --rehearse", p.Rehearse, status, out+errs)
}

func (p foreignProgram) status(t *testing.T, what string, want []int, got int, said string) {
	t.Helper()
	if !slices.Contains(want, got) {
		t.Errorf("%s exits %d, want %v: %s\n%s", what, got, want, p.Why, said)
	}
}

func (p foreignProgram) holdsWord(t *testing.T, what, said string) {
	t.Helper()
	if !strings.Contains(strings.ToLower(said), strings.ToLower(p.Word)) {
		t.Errorf("%s does not name %q:\n%s", what, p.Word, said)
	}
}

// weftplot runs the program without a terminal. Parallel tests run it as a
// process of its own: the library for its flags keeps some of them in common.
func weftplot(t *testing.T, dir string, args ...string) (status int, out, errs string) {
	t.Helper()
	var stdout, stderr strings.Builder
	cmd := exec.Command("weftplot", args...)
	cmd.Dir, cmd.Stdout, cmd.Stderr = dir, &stdout, &stderr
	cmd.Run()
	return cmd.ProcessState.ExitCode(), stdout.String(), stderr.String()
}
