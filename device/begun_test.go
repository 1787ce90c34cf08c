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
	for _, c := range []struct {
		form    int
		records string
		want    bool
	}{
		{3, "", false},
		{3, "drawn 0", false},
		{3, "sent 1", true},
		{2, "", true}, // this form does not say what was sent
		{1, "drawn 0", true},
		{2, "left safe 1.000 2.000 0", false},
		{3, "left safe 1.000 2.000 0", false},
		{3, "drawn 3", true},
		{3, "left lost 1.000 2.000 1", true}, // begun, and not proved drawn
		{3, "drawn 2|left done 0.000 0.000 2", true},
		{3, "garbage|drawn 2", true},
	} {
		heading := fmt.Sprintf("weftplot-journal %d program=aa machine=m 1:bb marks=none", c.form)
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
			t.Errorf("form %d, %q: %v, %v, want %v", c.form, c.records, got, err, c.want)
		}
	}
	if _, err := Begun(filepath.Join(t.TempDir(), "none")); err == nil {
		t.Error("a journal that is not there says something")
	}
}
