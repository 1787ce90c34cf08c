package bench

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

// QuickJob writes a job of a drawing into a folder and returns the job's file: its strokes
// are put in order with little effort, which is half the work of making it.
func QuickJob(dir, drawing string) (string, error) {
	data, err := os.ReadFile(drawing)
	if err != nil {
		return "", err
	}
	name := filepath.Base(drawing)
	if err := os.WriteFile(filepath.Join(dir, name), data, 0o666); err != nil {
		return "", err
	}
	file := filepath.Join(dir, jobFile)
	return file, os.WriteFile(file, fmt.Appendf(nil, "design = '%s'\neffort = 'quick'\n", name), 0o666)
}

// theMat is the demo's drawing as a job in haste.
func theMat(t *testing.T) string {
	t.Helper()
	file, err := QuickJob(t.TempDir(), "../demo/lighthouse-mat.svg")
	if err != nil {
		t.Fatal(err)
	}
	return file
}
