//go:build unix

package report_test

import (
	"context"
	"flag"
	"os"
	"runtime"
	"sync"
	"syscall"
	"testing"
	"time"

	"weftplot/plot"
	"weftplot/plot/job"
	"weftplot/plot/report"
)

var (
	stagesOf     = flag.Int("stages", 0, "strokes of the design whose stages are timed; 0 times none")
	stagesClosed = flag.Bool("stages-closed", false, "small closed curves instead of straight strokes")
	stagesEffort = flag.String("stages-effort", "quick", "of the order")
	stagesDesign = flag.String("stages-design", "", "`FILE` of a design that is timed instead")
	stagesOn     = flag.String("stages-machine", "", "built-in machine it is made for")
)

// A lap is what one stage took.
type lap struct {
	stage      string
	user, wall float64 // s
	told       int     // how often its progress was told
	mb         int64   // the most memory until it ended
}

// lapClock tells the stages of a job apart by their progress.
type lapClock struct {
	mu   sync.Mutex
	laps []lap
	user float64
	wall time.Time
}

// used returns the CPU time of this process in s, and the most memory in MB, so far.
func used() (user float64, mb int64) {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0, 0
	}
	return float64(u.Utime.Sec) + float64(u.Utime.Usec)/1e6, int64(u.Maxrss) >> 10
}

// tell notes the progress of a stage, and ends the stage before where it is another.
func (c *lapClock) tell(stage string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	user, mb := used()
	wall := time.Now()
	if n := len(c.laps); n == 0 || c.laps[n-1].stage != stage {
		if n > 0 {
			c.laps[n-1].user, c.laps[n-1].wall, c.laps[n-1].mb = user-c.user, wall.Sub(c.wall).Seconds(), mb
		}
		c.laps = append(c.laps, lap{stage: stage})
		c.user, c.wall = user, wall
	}
	c.laps[len(c.laps)-1].told++
}

// TestStages prints what each stage of a large job takes, with -stages or -stages-design.
func TestStages(t *testing.T) {
	if *stagesOf == 0 && *stagesDesign == "" {
		t.Skip("give -stages 10000")
	}
	design := scattered(*stagesOf, *stagesClosed)
	if *stagesDesign != "" {
		data, err := os.ReadFile(*stagesDesign)
		if err != nil {
			t.Fatal(err)
		}
		design = data
	}
	read := func(string, int) ([]byte, error) { return design, nil }
	var clock lapClock
	clock.tell("reading")
	in, s, extra, err := job.ReadInputs(read, job.Settings{Design: "scattered.svg", Effort: *stagesEffort, Width: 550, Machine: *stagesOn})
	if err != nil {
		t.Fatal(err)
	}
	j, err := plot.Make(context.Background(), in, s, plot.Options{Lean: true, Progress: func(step plot.Step, _, _ int) { clock.tell(string(step)) }})
	if err != nil {
		t.Fatal(err)
	}
	clock.tell("files")
	_, files, err := report.Files(j, extra, report.Options{Progress: func(int, int) { clock.tell("files") }})
	if err != nil {
		t.Fatal(err)
	}
	clock.tell("end")
	bytes, sum := 0, lap{stage: "all"}
	for _, f := range files {
		bytes += len(f.Data)
	}
	for _, l := range clock.laps[:len(clock.laps)-1] {
		sum.user, sum.wall = sum.user+l.user, sum.wall+l.wall
		t.Logf("%-12s %7.2f s of CPU %7.2f s, told %d times, at most %d MB so far", l.stage, l.user, l.wall, l.told, l.mb)
	}
	t.Logf("%-12s %7.2f s of CPU %7.2f s on %d cores; %d strokes, %d bytes of files", sum.stage, sum.user, sum.wall,
		runtime.GOMAXPROCS(0), len(j.PenRuns[0].Ways), bytes)
}
