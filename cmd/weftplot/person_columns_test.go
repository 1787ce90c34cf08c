//go:build unix

package main

import (
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"weftplot/paths/label"
)

var steers = regexp.MustCompile("\x1b\\[[0-9;?]*[A-Za-z]")

// On a terminal no line of what is printed is wider than the columns of a person's
// sheet, whatever has to be looked at or is refused.
func TestLinesFitTheTerminal(t *testing.T) {
	design, err := filepath.Abs("demo/lighthouse-mat.svg")
	if err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{
		{"prepare", design, "--width", "20in", "--copies", "2", "--effort", "quick", "--out", "kit"},
		{"prepare", design, "--width", "40in", "--effort", "quick"},
	} {
		p := newPerson(t)
		cmd := exec.Command("weftplot", args...)
		cmd.Dir = t.TempDir()
		cmd.Stdin, cmd.Stdout, cmd.Stderr = p.tty, p.tty, p.tty
		p.begin(cmd)
		cmd.Wait()
		last := "job folder"
		if cmd.ProcessState.ExitCode() != statusDone {
			last = "what to do"
		}
		p.await(last)
		for _, line := range strings.Split(strings.ReplaceAll(p.shown(), "\r\n", "\n"), "\n") {
			line = steers.ReplaceAllString(line[strings.LastIndex(line, "\r")+1:], "") // progress is written over
			if n := utf8.RuneCountInString(line); n > label.Columns {
				t.Errorf("%d columns: %q", n, line)
			}
		}
	}
}
