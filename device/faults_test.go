package device_test

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"

	"weftplot/device"
	"weftplot/device/sim"
	"weftplot/paths"
	"weftplot/paths/fault"
)

var faultRuns = flag.Int("faultruns", 1, "random runs for each kind of fault")

var faultMachine = flag.String("faultmachine", "practice", "the machine of those runs: one that is told by G-code")

var faultFrom = flag.Int("faultfrom", 0, "seed of the first of those runs")

var faultKinds = flag.String("faultkinds", "", "numbers of the kinds of fault, joined by commas; all of them when empty")

// allKinds returns every kind of fault.
func allKinds() []sim.FaultKind {
	var out []sim.FaultKind
	for k := sim.DropDown; k <= sim.AlarmStop; k++ {
		out = append(out, k)
	}
	return out
}

// kindsAsked returns the kinds that the flag names, all of them if it names none.
func kindsAsked() []sim.FaultKind {
	if *faultKinds == "" {
		return allKinds()
	}
	var out []sim.FaultKind
	for _, k := range allKinds() {
		if strings.Contains(","+*faultKinds+",", ","+fmt.Sprint(int(k))+",") {
			out = append(out, k)
		}
	}
	return out
}

// tally is what became of the runs with one kind of fault.
type tally struct {
	runs, resumes, missing, wrong, overrun, failed int
	again                                          float64 // mm drawn twice
	stray, strayMax                                float64 // mm where nothing should be: in all, and in a run
	restMax                                        float64
}

var tallyHead = fmt.Sprintf("%-14s %-24s %5s %8s %8s %6s %9s %9s %9s %7s %8s %7s",
	"machine", "fault", "runs", "resumes", "missing", "stray", "stray mm", "at most", "again mm", "rest s", "overrun", "given up")

func (sum tally) row(kind sim.FaultKind, machine string) string {
	return fmt.Sprintf("%-14s %-24s %5d %8d %8d %6d %9.1f %9.1f %9.0f %7.2f %8d %7d", machine, kind,
		sum.runs, sum.resumes, sum.missing, sum.wrong, sum.stray, sum.strayMax, sum.again, sum.restMax, sum.overrun, sum.failed)
}

// strayBound is how long a stray line may be, mm: what a pen draws from one look
// at where it is to the next, until it is asked again, and while it slows down.
const strayBound = 5

// A job survives whatever the line and the machine do to it: resumed as often as
// needed, with the machine brought home when it has lost its place, every stroke
// is on the cloth, and the pen never rests on the cloth while the line lives.
//
// Nothing is where it should not be, with one exception. Lines carry no
// checksum, so a digit that turned into another on its way to the machine is
// drawn as it comes, until the machine is seen off its way.
func TestFaultRuns(t *testing.T) {
	t.Parallel()
	m := machine(t, *faultMachine)
	want := faultStrokes()
	job := written(t, m, want...)
	kinds := kindsAsked()
	table := []string{tallyHead}
	for _, kind := range kinds {
		var sum tally
		for seed := range *faultRuns {
			faultRun(t, sim.NewController(m), job, want, kind, uint64(*faultFrom+seed), &sum)
		}
		table = append(table, sum.row(kind, m.Name))
		if len(kinds)**faultRuns > 200 { // it takes a while: say what there is so far
			t.Log(sum.row(kind, m.Name))
		}
		garbles := kind <= sim.DoubleDown
		if sum.failed > 0 || sum.missing > 0 || sum.overrun > 0 || !garbles && sum.wrong > 0 || sum.strayMax > strayBound {
			t.Errorf("%v: %+v", kind, sum)
		}
		if kind != sim.HangUp && kind != sim.Silence && sum.restMax > 0.5 {
			t.Errorf("%v: the pen rested for %.2f s", kind, sum.restMax)
		}
	}
	t.Log("\n" + strings.Join(table, "\n"))
}

// A plotter is asked for its place along with its program, and for its errors
// now and then: what goes wrong on its line is found a stroke later, as far as it
// shows in those. A coordinate garbled in the middle of a list does not, and on a
// plotter that is asked for its room, an answer whose bit turned may promise room
// that is not there.
func TestFaultRunsHPGL(t *testing.T) {
	t.Parallel()
	table := []string{tallyHead}
	for _, name := range []string{"flatbed-hpgl", "flatbed-hpgl2"} {
		m := machine(t, name)
		want := centred(m, faultStrokes())
		job := written(t, m, want...)
		for _, kind := range []sim.FaultKind{sim.DropDown, sim.FlipDown, sim.DoubleDown, sim.DelayDown, sim.DropUp, sim.DoubleUp, sim.DelayUp, sim.HangUp, sim.Silence} {
			var sum tally
			for seed := range *faultRuns {
				faultRun(t, sim.NewHPGL(m), job, want, kind, uint64(seed), &sum)
			}
			table = append(table, sum.row(kind, name))
			garbles := kind <= sim.DoubleDown
			if !garbles && (sum.failed > 0 || sum.missing > 0 || sum.overrun > 0 || sum.wrong > 0) {
				t.Errorf("%s, %v: %+v", name, kind, sum)
			}
		}
	}
	t.Log("\n" + strings.Join(table, "\n"))
}

// faultStrokes are strokes of every kind: lines, arcs, and rows of segments a
// millimetre long and less.
func faultStrokes() []paths.Stroke {
	want := manyStrokes(12)
	for i := range 3 {
		var pts []paths.Point
		for k := range 60 {
			pts = append(pts, pt(20+float64(k)*(0.3+0.2*float64(i)), 60+15*float64(i)+4*math.Sin(float64(k)/4)))
		}
		want = append(want, paths.Polyline(pts...))
	}
	return append(want, paths.Polyline(pt(150, 60), pt(150.4, 60)), paths.Polyline(pt(160, 60)))
}

// homer is a plotter that a person can bring home.
type homer interface {
	sim.Plotter
	Home()
}

// faultRun sends the job with faults of a kind, resuming until it is done.
func faultRun(t *testing.T, p homer, job device.Job, want []paths.Stroke, kind sim.FaultKind, seed uint64, sum *tally) {
	t.Helper()
	line := sim.NewLine(p, job.Machine.Serial).WithFaults(faultScript(kind, seed)...)
	path := filepath.Join(t.TempDir(), "journal")
	j, err := device.StartJournal(path, job)
	if err != nil {
		t.Fatal(err)
	}
	homed := false
	for try := 0; ; try++ {
		_, err = device.Send(context.Background(), line, job, device.Options{Journal: j, Homed: homed})
		j.Close()
		if err == nil {
			break
		}
		var e *fault.Error
		if !errors.As(err, &e) || try == 10 {
			t.Logf("%v, seed %d, try %d: %v", kind, seed, try, err)
			sum.failed++
			return
		}
		sum.resumes++
		if testing.Verbose() && *faultKinds != "" {
			t.Logf("%v, seed %d, try %d: %v", kind, seed, try, err)
		}
		line.PlugIn()
		line.Settle(60)
		if j, err = device.ResumeJournal(path, job); err != nil {
			t.Fatal(err)
		}
		if homed = j.NeedsHome(); homed {
			p.Home()
		}
	}
	sum.judge(t, p.Cloth(), want, kind, seed)
}

// faultScript returns one to three faults of a kind at random times.
func faultScript(kind sim.FaultKind, seed uint64) []sim.Fault {
	random := rand.New(rand.NewPCG(seed, uint64(kind)))
	var script []sim.Fault
	for range 1 + random.IntN(3) {
		skip := 0
		if kind <= sim.LateAck {
			skip = random.IntN(60) // most of what comes first is questions
		}
		last := 0.05 + random.Float64()
		if kind == sim.DelayDown || kind == sim.DelayUp || kind == sim.LateAck {
			last = min(last, 0.45) // nobody keeps a pen moving over a line that stands still
		}
		script = append(script, sim.Fault{At: 1 + 40*random.Float64(), Kind: kind, For: last, Bit: uint(random.IntN(7)), Skip: skip})
	}
	return script
}

// judge adds up what is on the cloth after a run.
func (sum *tally) judge(t *testing.T, cloth sim.Cloth, want []paths.Stroke, kind sim.FaultKind, seed uint64) {
	t.Helper()
	sum.runs++
	if d := uncovered(want, cloth.Strokes()); d > 0.1 {
		sum.missing++
		t.Logf("%v, seed %d: a stroke is missing, by %.2f mm", kind, seed, d)
	}
	if d, length := apart(cloth.Strokes(), want); length > 0 {
		sum.wrong++
		sum.stray += length
		sum.strayMax = max(sum.strayMax, length)
		t.Logf("%v, seed %d: %.1f mm stray, off by %.2f mm", kind, seed, length, d)
	}
	if cloth.RestMax > 0.5 {
		t.Logf("%v, seed %d: the pen rested for %.2f s", kind, seed, cloth.RestMax)
	}
	sum.overrun += cloth.Overruns
	sum.restMax = max(sum.restMax, cloth.RestMax)
	sum.again += cloth.Drawn - paths.LengthOf(want)
}
