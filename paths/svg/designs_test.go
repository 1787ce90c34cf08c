package svg

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// designs returns the SVG files of our own designs.
func designs(t *testing.T) []string {
	t.Helper()
	list, err := filepath.Glob("../../testdata/designs/*.svg")
	if err != nil || len(list) == 0 {
		t.Fatalf("no designs found (%v)", err)
	}
	return list
}

// Every design is read whole, with a size, and with no notes except those that
// the file is made to show.
func TestDesigns(t *testing.T) {
	expected := map[string]string{
		"feature-dashes.svg":   "dashes-drawn-whole",
		"feature-notes.svg":    "text-not-drawn image-not-drawn mask-not-applied shape-damaged marker-not-drawn filter-not-applied use-target-missing dashes-drawn-whole paint-not-drawn fills-as-outlines hidden",
		"feature-outlines.svg": "size-in-pixels no-paint fills-as-outlines",
		"feature-styles.svg":   "hidden",
	}
	for _, file := range designs(t) {
		name := filepath.Base(file)
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		d, err := Read(name, data, Options{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		checkDesign(t, d)
		if !strings.HasPrefix(name, "feature-") {
			continue
		}
		if got := codes(d); got != expected[name] || !d.HasSize {
			t.Errorf("%s: has size %v, notes %q; want %q", name, d.HasSize, got, expected[name])
		}
	}
}

// Designs whose lines are all stroked are painted as the renderer paints them.
func TestDesignsAgainstRenderer(t *testing.T) {
	needRenderer(t)
	for _, file := range designs(t) {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		d, err := Read(file, data, Options{})
		if err != nil {
			continue // TestDesigns reports it
		}
		comparable := true
		for _, l := range d.Layers {
			for _, s := range l.Strokes {
				comparable = comparable && !s.Filled
			}
		}
		t.Run(filepath.Base(file), func(t *testing.T) {
			t.Parallel()
			if !comparable || strings.HasSuffix(file, "feature-notes.svg") {
				t.Skip("it holds what is painted but not drawn")
			}
			compare(t, string(data), Options{Dashes: true})
		})
	}
}
