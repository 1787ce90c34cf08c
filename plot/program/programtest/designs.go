package programtest

import (
	"os"
	"path/filepath"
	"testing"

	"weftplot/paths"
	"weftplot/paths/svg"
)

// Designs reads the designs of testdata and the demonstration's, from a package
// two folders down, each drawn 400 mm over its longer side from the origin.
func Designs(t testing.TB) []paths.Design {
	t.Helper()
	files, err := filepath.Glob("../../testdata/designs/*.svg")
	if err != nil || len(files) == 0 {
		t.Fatal("there are no designs")
	}
	files = append(files, "../../cmd/weftplot/demo/lighthouse-mat.svg")
	var out []paths.Design
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		d, err := svg.Read(filepath.Base(file), data, svg.Options{})
		if err != nil {
			t.Fatal(err)
		}
		b := d.Bounds()
		k := 400 / max(b.Width(), b.Height())
		out = append(out, d.Transform(paths.Translate(b.Min.Mul(-1)).Then(paths.Scale(k, k))))
	}
	return out
}
