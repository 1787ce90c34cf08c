package device_test

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"

	"weftplot/device"
	"weftplot/device/sim"
	"weftplot/paths"
	"weftplot/paths/fault"
)

// manyStrokes returns a field of short strokes, which no two of share a point.
func manyStrokes(n int) []paths.Stroke {
	out := make([]paths.Stroke, n)
	for i := range out {
		x, y := 10+float64(i%10)*30, 10+float64(i/10)*20
		switch i % 3 {
		case 0:
			out[i] = paths.Polyline(pt(x, y), pt(x+20, y), pt(x+20, y+10))
		case 1:
			out[i] = paths.Stroke{paths.Circle(pt(x+8, y+6), 6)}
		default:
			out[i] = paths.Polyline(pt(x, y), pt(x+3, y+9), pt(x+6, y), pt(x+9, y+9), pt(x+12, y))
		}
	}
	return out
}

func TestResume(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"practice", "gantry-servo", "flatbed-hpgl", "knife-cutter", "flatbed-hpgl2"} {
		t.Run(name, func(t *testing.T) {
			m := machine(t, name)
			want := centred(m, manyStrokes(60))
			job := written(t, m, want...)
			path := filepath.Join(t.TempDir(), "plot.journal")
			j, err := device.StartJournal(path, job)
			if err != nil {
				t.Fatal(err)
			}
			p := sim.New(m)
			line := sim.NewLine(p, m.Serial)
			for _, mm := range []float64{500, 900, 1e9} {
				ctx, cancel := context.WithCancel(context.Background())
				_, err = device.Send(ctx, line, job, device.Options{Journal: j, Progress: after(mm, cancel)})
				cancel()
				j.Close()
				if err == nil {
					break
				}
				if !errors.Is(err, device.Stopped) {
					t.Fatal(err)
				}
				t.Log(err)
				if j, err = device.ResumeJournal(path, job); err != nil {
					t.Fatal(err)
				}
				again, known := j.Again()
				if j.Drawn() == 0 || !known {
					t.Errorf("%d strokes proved, %d again, %v", j.Drawn(), again, known)
				}
				t.Logf("%d strokes are proved, %d are drawn again", j.Drawn(), again)
			}
			if err != nil {
				t.Fatal(err)
			}
			cloth := p.Cloth()
			covers(t, want, cloth.Strokes())
			unharmed(t, cloth, inf)
			t.Logf("%.0f mm drawn of %.0f", cloth.Drawn, paths.LengthOf(want))
			if j, err = device.ResumeJournal(path, job); err != nil || !j.Done() || j.Drawn() != 60 {
				t.Errorf("at the end the journal has %d strokes, done %v: %v", j.Drawn(), j.Done(), err)
			}
		})
	}
}

func TestJournalIsRefused(t *testing.T) {
	m := machine(t, "practice")
	job := gcodeJob(m, sampler()...)
	path := filepath.Join(t.TempDir(), "plot.journal")
	j, err := device.StartJournal(path, job)
	if err != nil {
		t.Fatal(err)
	}
	j.Close()
	other, faster, marked := job, job, job
	other.Text = append([]byte("(x)\n"), job.Text...)
	faster.Machine.Speed.Draw *= 2
	marked.Marks = "1234"
	for name, c := range map[string]struct {
		job  device.Job
		says string
	}{"program": {other, "another program"}, "machine": {faster, "another machine"}, "marks": {marked, "another registration"}} {
		_, err := device.ResumeJournal(path, c.job)
		var f *fault.Error
		if !errors.As(err, &f) || !strings.Contains(f.What, c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := device.ResumeJournal(path+"x", job); err == nil || !strings.Contains(err.Error(), "no journal") {
		t.Errorf("without a journal: %v", err)
	}
}

// Of a damaged journal, cut off anywhere or with any byte changed, the readable
// part is used, and never more than was written.
func TestDamagedJournal(t *testing.T) {
	m := machine(t, "practice")
	job := written(t, m, manyStrokes(30)...)
	path := filepath.Join(t.TempDir(), "plot.journal")
	j, err := device.StartJournal(path, job)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := device.Send(context.Background(), sim.NewLine(sim.New(m), m.Serial), job, device.Options{Journal: j}); err != nil {
		t.Fatal(err)
	}
	j.Close()
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	head := strings.IndexByte(string(whole), '\n') + 1
	last := 0
	for n := head; n <= len(whole); n++ {
		if err := os.WriteFile(path, whole[:n], 0o666); err != nil {
			t.Fatal(err)
		}
		j, err := device.ResumeJournal(path, job)
		if err != nil {
			t.Fatalf("cut to %d bytes: %v", n, err)
		}
		if j.Drawn() < last {
			t.Fatalf("cut to %d bytes it knows less than cut shorter", n)
		}
		last = j.Drawn()
		if cut := n < len(whole) && whole[n-1] != '\n'; j.Damaged != cut {
			t.Fatalf("cut to %d bytes: damaged %v", n, j.Damaged)
		}
		j.Close()
	}
	for n := head; n < len(whole); n += 7 {
		bad := append([]byte(nil), whole...)
		bad[n] ^= 4
		if err := os.WriteFile(path, bad, 0o666); err != nil {
			t.Fatal(err)
		}
		j, err := device.ResumeJournal(path, job)
		if err != nil {
			t.Fatal(err)
		}
		if !j.Damaged || j.Drawn() > 30 {
			t.Errorf("byte %d changed: damaged %v, %d strokes", n, j.Damaged, j.Drawn())
		}
		j.Close()
	}
}

// Reading a journal keeps nobody from drawing with it, changes nothing in it, and
// tells when a sender has it.
func TestReadersKeepNobodyOut(t *testing.T) {
	job := gcodeJob(machine(t, "practice"), sampler()...)
	path := filepath.Join(t.TempDir(), "plot.journal")
	j, err := device.StartJournal(path, job)
	if err != nil {
		t.Fatal(err)
	}
	if runtime.GOOS != "windows" { // there the port alone is held
		if _, err := device.ReadJournal(path, job); !errors.Is(err, device.InUse) {
			t.Fatalf("a journal that is held is read: %v", err)
		}
	}
	j.Close()
	damaged, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	damaged = append(damaged, "half a rec"...)
	if err := os.WriteFile(path, damaged, 0o666); err != nil {
		t.Fatal(err)
	}
	if j, err := device.ReadJournal(path, job); err != nil || !j.Damaged || j.Close() != nil {
		t.Fatalf("a damaged journal: %v", err)
	}
	if now, _ := os.ReadFile(path); !bytes.Equal(now, damaged) {
		t.Fatalf("reading changed the journal:\n%s", now)
	}
	var readers sync.WaitGroup
	stop := make(chan struct{})
	for range 4 {
		readers.Go(func() {
			for {
				select {
				case <-stop:
					return
				default:
				}
				if _, err := device.ReadJournal(path, job); err != nil && !errors.Is(err, device.InUse) {
					t.Error(err)
					return
				}
			}
		})
	}
	for range 100 {
		j, err := device.ResumeJournal(path, job)
		if err != nil {
			t.Errorf("beside readers: %v", err)
			break
		}
		j.Close()
	}
	close(stop)
	readers.Wait()
}

// What is no journal at all is told so, in words, and is left as it was.
func TestNoJournal(t *testing.T) {
	job := gcodeJob(machine(t, "practice"), sampler()...)
	for name, c := range map[string]struct{ text, says string }{
		"empty":           {"", "damaged from its first line on"},
		"garbage":         {"\x00\xff\x07garbage\n\n\n", "damaged from its first line on"},
		"one long line":   {strings.Repeat("x", 1<<20), "damaged from its first line on"},
		"another's":       {string(sealed([]byte("some other log\n"))), "no journal of a job"},
		"forty MB":        {strings.Repeat("\x00", 40<<20), "no journal of a job"},
		"half a heading":  {"weftplot-journal 1 program=12", "damaged from its first line on"},
		"a later version": {string(sealed([]byte("weftplot-journal 4 program=1 machine=practice 2 marks=\n"))), "form 4"},
	} {
		path := filepath.Join(t.TempDir(), "journal")
		if err := os.WriteFile(path, []byte(c.text), 0o666); err != nil {
			t.Fatal(err)
		}
		_, err := device.ResumeJournal(path, job)
		var f *fault.Error
		if !errors.As(err, &f) || !strings.Contains(f.What, c.says) || f.Where != path {
			t.Errorf("%s: %v", name, err)
		}
		if left, err := os.ReadFile(path); err != nil || string(left) != c.text {
			t.Errorf("%s: the file was changed", name)
		}
	}
}
