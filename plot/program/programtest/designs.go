package programtest

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/dxf"
	"weftplot/paths/svg"
)

// DesignFiles returns the design files of testdata; up is the path from the
// test to the folder that holds it: "../..".
func DesignFiles(t testing.TB, up string) []string {
	t.Helper()
	var files []string
	for _, kind := range []string{"*.svg", "*.dxf"} {
		list, err := filepath.Glob(filepath.Join(up, "testdata", "designs", kind))
		if err != nil || len(list) == 0 {
			t.Fatalf("there are no designs %s (%v)", kind, err)
		}
		files = append(files, list...)
	}
	return files
}

// ReadDesign reads a design; one without a size is read for its proportions.
func ReadDesign(t testing.TB, file string) paths.Design {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var d paths.Design
	if strings.HasSuffix(file, ".dxf") {
		d, err = dxf.Read(filepath.Base(file), data, dxf.Options{Proportions: true})
	} else {
		d, err = svg.Read(filepath.Base(file), data, svg.Options{})
	}
	if err != nil {
		t.Fatal(err)
	}
	return d
}
