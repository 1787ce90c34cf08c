package main

import (
	"os/exec"
	"strings"
	"testing"
)

// rooms are the packages of the house from left to right: each may use only
// those to its left, and its own.
var rooms = []string{"weftplot/paths", "weftplot/profiles", "weftplot/plot", "weftplot/device", "weftplot/cmd"}

// pure are packages that geometry must do without: files, clocks, processes and
// lines.
var pure = []string{"os", "time", "net", "os/exec", "go.bug.st/serial", "log"}

func roomOf(pkg string) int {
	for i, r := range rooms {
		if pkg == r || strings.HasPrefix(pkg, r+"/") {
			return i
		}
	}
	return -1
}

func TestEachRoomUsesOnlyThoseToItsLeft(t *testing.T) {
	out, err := exec.Command("go", "list", "-f", "{{.ImportPath}}:{{join .Imports \" \"}}", "weftplot/...").Output()
	if err != nil {
		t.Skipf("the go command is not at hand: %v", err)
	}
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	if len(lines) < 10 {
		t.Fatalf("only %d packages were listed", len(lines))
	}
	for _, line := range lines {
		pkg, imports, _ := strings.Cut(line, ":")
		room := roomOf(pkg)
		if room < 0 {
			t.Errorf("%s stands in no room", pkg)
		}
		for _, imp := range strings.Fields(imports) {
			if r := roomOf(imp); r > room {
				t.Errorf("%s uses %s, which lies to its right", pkg, imp)
			}
			for _, p := range pure {
				if room == 0 && imp == p {
					t.Errorf("%s uses %s: geometry knows no files, clocks or lines", pkg, imp)
				}
			}
			if room < 3 && imp == "go.bug.st/serial" {
				t.Errorf("%s opens ports", pkg)
			}
		}
	}
}
