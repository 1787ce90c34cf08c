package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

var thorough = flag.Bool("thorough", false, "heap up eight times as much in designs, run long scripts, draw a rug larger than the machine, make the pictures of the README, scan every sample")

// heapOf repeats what line makes of each number from 0.
func heapOf(n int, line func(i int) string) string {
	var b strings.Builder
	for i := range n {
		b.WriteString(line(i))
	}
	return b.String()
}

// drawingOf is a drawing of 200 by 200 mm that holds the elements.
func drawingOf(elements string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="200mm" viewBox="0 0 200 200"><g fill="none" stroke="black">` +
		elements + `</g></svg>`
}

// TestHostileDesigns prepares and checks designs that heap up what a step after
// the reader has to compare. With steps that look at every pair, some of them
// would run for minutes. Each ends with a job or with one clear sentence. Heaps are
// an eighth as high unless all is to be tried.
func TestHostileDesigns(t *testing.T) {
	t.Parallel()
	heap := func(n int, line func(i int) string) string {
		if !*thorough {
			n /= 8
		}
		return heapOf(n, line)
	}
	square := `<path d="M5 5H195V195H5Z"/>`
	for _, c := range []struct {
		name, elements string
		status         []int // of prepare
	}{
		{"arcs that overlap", square + `<path d="M100 50` + heap(200, func(i int) string {
			return fmt.Sprintf("A50 50 0 0 1 %.3f 100", 150-float64(i%7)/100) + "A50 50 0 0 1 100 50"
		}) + `"/>`, []int{0, 3}},
		{"one line 4,000 times", square + heap(4000, func(int) string { return `<path d="M20 20L150 80"/>` }), []int{0}},
		{"lines along one line", square + heap(800, func(i int) string {
			return fmt.Sprintf(`<path d="M%.3f 60L%.3f 60"/>`, 10+float64(i)*0.02, 90+float64(i)*0.02)
		}), []int{0}},
		{"a star", square + heap(700, func(i int) string {
			return fmt.Sprintf(`<path d="M100 100L%.3f 180"/>`, 20+float64(i)*0.1)
		}), []int{0}},
		{"crowded discs", square + heap(700, func(i int) string {
			return fmt.Sprintf(`<circle cx="%d" cy="%d" r="3"/>`, 10+i%45*4, 10+i/45*5)
		}), []int{0}},
		{"a circle smaller than any length", square + `<circle cx="50" cy="50" r="1e-300"/>`, []int{0}},
		{"numbers that are none", square + `<path d="M10 10LNaN 5L20 Infinity"/>`, []int{0, 2}},
		{"a place beyond all places", square + `<path d="M10 10L1e30 5"/>`, []int{0, 2, 3}},
		{"groups in groups", square + strings.Repeat("<g>", 600) + `<path d="M10 10H90"/>` + strings.Repeat("</g>", 600), []int{0, 2}},
		{"a name of 100 kB", square + `<g id="` + strings.Repeat("wool ", 20_000) + `"><path d="M10 50H90"/></g>`, []int{0}},
		{"no lines", "", []int{2}},
		{"one point", `<path d="M10 10Z"/>`, []int{2}},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			file := filepath.Join(dir, "hostile.svg")
			if err := os.WriteFile(file, []byte(drawingOf(c.elements)), 0o600); err != nil {
				t.Fatal(err)
			}
			out := filepath.Join(dir, "job")
			status, _, errs := weftplot(t, "", "prepare", file, "--width", "16in", "--effort", "quick", "--out", out)
			if !slices.Contains(c.status, status) {
				t.Errorf("prepare exits %d, want one of %v: %s", status, c.status, beginningOf(errs))
			}
			if _, err := os.Stat(out); (err == nil) != (status == 0) {
				t.Errorf("prepare exits %d, and the folder: %v", status, err)
			}
			if status != 0 && (!strings.HasPrefix(errs, "weftplot: ") || len(errs) > 2000) {
				t.Errorf("no clear sentence: %s", beginningOf(errs))
			}
			if status, _, errs := weftplot(t, "", "check", file, "--width", "16in"); status != 0 && status != 2 && status != 3 {
				t.Errorf("check exits %d: %s", status, beginningOf(errs))
			}
		})
	}
}

// beginningOf is the beginning of what was said.
func beginningOf(s string) string { return s[:min(len(s), 400)] }
