package bench

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/sys/unix"

	"weftplot/cmd/weftplot/link"
)

// smallDisk mounts a disk of a size in bytes, which takes a person with the rights
// to do so.
func smallDisk(t *testing.T, size string) string {
	t.Helper()
	dir := t.TempDir()
	if err := unix.Mount("weftplot-test", dir, "tmpfs", 0, "size="+size); err != nil {
		t.Skipf("a small disk cannot be mounted here: %v", err)
	}
	t.Cleanup(func() {
		if err := unix.Unmount(dir, unix.MNT_DETACH); err != nil {
			t.Error(err)
		}
	})
	return dir
}

// TestAFullDisk fills the disk while a job is on the bench: a sentence says so,
// the folder is as it was, nothing is drawn that no journal would record, and with
// room again all goes on.
func TestAFullDisk(t *testing.T) {
	t.Parallel()
	b, _, _ := attacked(t)
	b.dir = smallDisk(t, "4m")
	if err := b.openFile(theMat(t)); err != nil {
		t.Fatal(err)
	}
	waitUntil(t, b, func() bool { return b.job.whole })
	b.work.Wait()
	soundFolder(t, b.job.dir)
	before := contents(t, b.job.dir)
	filler := filepath.Join(b.dir, "filler")
	f, err := os.Create(filler)
	if err != nil {
		t.Fatal(err)
	}
	for block := make([]byte, 4096); err == nil; {
		_, err = f.Write(block)
	}
	f.Close()

	if err := b.start(doDraw, link.SimPort, part{}); err != nil {
		t.Fatal(err)
	}
	waitUntil(t, b, func() bool { return b.run == nil })
	if b.last.trouble == nil || !strings.Contains(b.last.trouble.What, "no space left") {
		t.Errorf("drawing on a full disk: %+v %+v", b.last, b.last.trouble)
	} else {
		t.Log(b.last.trouble.What)
	}
	if s := b.job.begun(); s.Drawn > 0 {
		t.Errorf("it was drawn, and the journal knows: %+v", s)
	}
	if err := b.change(func(j *task) error { return b.apply(j, patch{"width": "14in"}) }); err != nil {
		t.Fatal(err)
	}
	waitUntil(t, b, func() bool { return b.last.trouble != nil && strings.Contains(b.last.trouble.What, "cannot be") })
	b.work.Wait()
	t.Log(b.last.trouble.What)
	after := contents(t, b.job.dir)
	for name, text := range before {
		if after[name] != text {
			t.Errorf("%s is not as it was", name)
		}
	}
	soundFolder(t, b.job.dir)
	if err := os.Remove(filler); err != nil {
		t.Fatal(err)
	}
	if err := b.change(func(j *task) error { return b.apply(j, patch{"width": "15in"}) }); err != nil {
		t.Fatal(err)
	}
	waitUntil(t, b, func() bool { return b.job.whole })
	b.work.Wait()
	soundFolder(t, b.job.dir)
}
