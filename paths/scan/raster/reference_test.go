package raster

import (
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// TestReferencePictures decodes pictures of Go's own source tree, written by
// other programs, and compares their light with that of the same picture as PNG
// beside them: four inks as printers have them, several passes, unusual
// subsampling.
func TestReferencePictures(t *testing.T) {
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Skipf("the go command is not at hand: %v", err)
	}
	dir := filepath.Join(strings.TrimSpace(string(root)), "src", "image", "testdata")
	if _, err := os.Stat(dir); err != nil {
		t.Skipf("Go's own test pictures are not at hand: %v", err)
	}
	page := func(file string) Page {
		data, err := os.ReadFile(filepath.Join(dir, file))
		if err != nil {
			t.Fatal(err)
		}
		p, src, err := Decode(file, data, Options{DPI: [2]float64{150, 150}})
		if err != nil || len(src.Notes) > 0 {
			t.Fatalf("%s: notes %q, %v", file, src.Notes, err)
		}
		// A file that is cut off must never give a page without an error or a
		// note.
		_, src, err = Decode(file, data[:len(data)*2/3], Options{DPI: [2]float64{150, 150}})
		if err == nil && len(src.Notes) == 0 || err != nil && !strings.Contains(err.Error(), "cut off") {
			t.Errorf("%s, cut off: notes %q, %v", file, src.Notes, err)
		}
		return p
	}
	for _, tt := range []struct {
		file, as string
		mean     float64 // greatest mean difference in steps of grey
	}{
		{"video-001.jpeg", "video-001.png", 3}, {"video-001.progressive.jpeg", "video-001.png", 3},
		{"video-001.q50.444.jpeg", "video-001.png", 8}, {"video-001.q50.420.progressive.jpeg", "video-001.png", 8},
		{"video-001.restart2.jpeg", "video-001.png", 8}, {"video-001.cmyk.jpeg", "video-001.cmyk.png", 3},
		{"video-001.rgb.jpeg", "video-001.rgb.png", 3}, {"video-001.221212.jpeg", "video-001.221212.png", 3},
		{"video-001.separate.dc.progression.jpeg", "video-001.separate.dc.progression.progressive.jpeg", 3},
		{"video-001.progressive.truncated.jpeg", "video-001.progressive.truncated.png", 3},
		{"video-005.gray.jpeg", "video-005.gray.png", 3}, {"video-005.gray.q50.2x2.progressive.jpeg", "video-005.gray.png", 8},
	} {
		got, want := page(tt.file), page(tt.as)
		if got.W != want.W || got.H != want.H {
			t.Errorf("%s: %d x %d, want %d x %d", tt.file, got.W, got.H, want.W, want.H)
			continue
		}
		var sum float64
		for i, v := range got.Light {
			sum += math.Abs(float64(v) - float64(want.Light[i]))
		}
		mean := sum / float64(len(got.Light))
		t.Logf("%s: %.2f steps off", tt.file, mean)
		if mean > tt.mean {
			t.Errorf("%s: %.2f steps off on average", tt.file, mean)
		}
	}
}
