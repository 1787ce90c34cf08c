package device_test

import (
	"bytes"
	"fmt"
	"hash/crc32"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"weftplot/device"
)

// No journal, however damaged, does harm or claims strokes that were not noted,
// not even one whose checksums are right.
func FuzzJournal(f *testing.F) {
	m := machine(f, "practice")
	job := gcodeJob(m, manyStrokes(5)...)
	path := filepath.Join(f.TempDir(), "journal")
	j, err := device.StartJournal(path, job)
	if err != nil {
		f.Fatal(err)
	}
	j.Close()
	head, err := os.ReadFile(path)
	if err != nil {
		f.Fatal(err)
	}
	f.Add([]byte("drawn 3 #bc4adc90\nleft safe 1.000 2.000 4 #00000000\n"), false)
	f.Add([]byte("drawn -1\n"), true)
	f.Add([]byte("drawn 5\nleft safe NaN 2.000 4\n"), true)
	f.Add([]byte("drawn 2\ndrawn 6\nleft gone 1 1 1\n"), true)
	f.Fuzz(func(t *testing.T, tail []byte, seal bool) {
		if seal {
			tail = sealed(tail)
		}
		path := filepath.Join(t.TempDir(), "journal")
		if err := os.WriteFile(path, append(append([]byte(nil), head...), tail...), 0o666); err != nil {
			t.Fatal(err)
		}
		j, err := device.ResumeJournal(path, job)
		if err != nil {
			t.Fatal(err)
		}
		defer j.Close()
		if n := j.Drawn(); n < 0 || n > 5 || n > 0 && !strings.Contains(string(tail), "drawn ") {
			t.Errorf("%d strokes out of %q", n, tail)
		}
		if n, _ := j.Again(); n < 0 {
			t.Errorf("%d strokes are drawn again", n)
		}
	})
}

// sealed puts behind each whole line the checksum that a journal has there.
func sealed(text []byte) []byte {
	var out []byte
	for line := range bytes.Lines(text) {
		line = bytes.TrimSuffix(line, []byte("\n"))
		out = fmt.Appendf(out, "%s #%08x\n", line, crc32.ChecksumIEEE(line))
	}
	return out
}
