package device

import (
	"fmt"
	"hash/crc32"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestBegun(t *testing.T) {
	const heading = "weftplot-journal 2 program=aa machine=m 1:bb marks=none"
	for _, c := range []struct {
		records string
		want    bool
	}{
		{"", false},
		{"drawn 0", false},
		{"left safe 1.000 2.000 0", false},
		{"drawn 3", true},
		{"left lost 1.000 2.000 1", true}, // begun, and not proved drawn
		{"drawn 2|left done 0.000 0.000 2", true},
		{"garbage|drawn 2", true},
	} {
		var b strings.Builder
		for _, r := range append([]string{heading}, strings.Split(c.records, "|")...) {
			if r == "garbage" {
				b.WriteString("dra\n")
			} else if r != "" {
				fmt.Fprintf(&b, "%s #%08x\n", r, crc32.ChecksumIEEE([]byte(r)))
			}
		}
		name := filepath.Join(t.TempDir(), "journal")
		if err := os.WriteFile(name, []byte(b.String()), 0o666); err != nil {
			t.Fatal(err)
		}
		if got, err := Begun(name); got != c.want || err != nil {
			t.Errorf("%q: %v, %v, want %v", c.records, got, err, c.want)
		}
	}
	if _, err := Begun(filepath.Join(t.TempDir(), "none")); err == nil {
		t.Error("a journal that is not there says something")
	}
}
