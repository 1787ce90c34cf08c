// Package bench serves the page on which a rug maker does the whole job in a
// browser: the drawing, the rug, its front and its back, the machine, the marks
// on the cloth, the dry run, and drawing.
//
// What the page shows is the state of the server: a page that is opened again
// shows the same. It is one more hand on the job folder that the commands work
// on; every rule of the trade is called from the packages to the left, and none
// stands here.
//
// Since the page moves machines, nobody else may reach it: package door says who
// may and which of several open pages leads, and every motion takes a turn that
// works once. Package engine makes jobs, told holds what the page is told, page its
// files, paper what was read from paper, sheets what the browser draws, folder the job's
// folder, requests reads and answers what the page asks, and memory is what is
// remembered on this computer.
package bench

import (
	"context"
	"maps"
	"sync"

	"weftplot/cmd/weftplot/bench/door"
	"weftplot/cmd/weftplot/bench/engine"
	"weftplot/cmd/weftplot/bench/memory"
	"weftplot/cmd/weftplot/bench/paper"
	"weftplot/cmd/weftplot/bench/requests"
	"weftplot/cmd/weftplot/bench/told"
	"weftplot/device/journals"
	"weftplot/plot"
	"weftplot/plot/check"
	"weftplot/plot/disk"
	"weftplot/plot/job"
	"weftplot/plot/jobfolder"
	"weftplot/plot/report"
)

// bench is the state that every page shows.
type bench struct {
	ctx      context.Context // ends when the program does
	dir      string          // where jobs are made
	engine   engine.Engine
	bodies   requests.Bodies
	pages    *door.Pages
	memory   *memory.Memory
	here     ownMachine
	simSpeed float64 // how many times faster than life the simulated plotter runs

	mu       sync.Mutex
	version  int    // grows with every change of what stands below, but for the run's progress
	job      *task  // nil before there is a drawing
	wanted   *task  // what was asked for last; it may not be made yet
	newest   int    // counts what was asked for
	cancel   func() // ends the work on what was asked for before
	last     outcome
	run      *run     // the machine at work; nil when it rests
	surveyed surveyed // marks of a load that the job is not made with yet
	steer    *steer   // a person looking for marks; nil when nobody is
	work     sync.WaitGroup
	writing  sync.Mutex // held while a job folder is written
}

// task is one drawing with all that was decided about it.
type task struct {
	dir      string // its folder
	settings job.Settings
	typed    map[string]string // sizes as a person wrote them
	read     disk.Reader
	notes    []string // what was decided for the person when the drawing came

	sketch    plot.Registered
	kit       *engine.Kit    // the whole cloth of several copies; nil for a single rug
	sketchMM  float64        // length of its strokes: adding it up takes its time
	made      *plot.Job      // nil until the program is made
	report    *report.Report // of made
	picture   int            // grows with every change of the strokes
	whole     bool           // the folder is written: programs and proofs are those of the settings
	overtaken bool           // its folder holds a half-drawn job of other programs, which is left as it is
	checked   *check.Report
	scan      *paper.Scan // what the drawing was read from; nil for a file of lines
	bytes     map[string][]byte
	lasttoml  []byte // job.toml as it was written last
	// ahead are the hashes of files written since the report (see [jobfolder.Writing]),
	// shared by all states of the job; bench.writing guards it.
	ahead *map[string]string
	// lent is what was chosen for the person when no machine draws the job: the paper,
	// and that it is traced.
	lent    struct{ print, transfer bool }
	noPaper *told.Trouble  // why the pattern cannot go onto the paper that is asked for; nil for none
	failed  bool           // it could not be made as it is
	decided bool           // the person goes on all the same, with this very change
	byHand  *told.Trouble  // a file of its folder that was changed by hand; nil for none
	replace bool           // what a person changed in the folder by hand may be written over
	loads   []loadState    // of a kit, as they were found last
	known   journals.State // what its journals proved when they were read last
	// edits are the changes that led here from what is on the bench, in their order;
	// none for what is on the bench itself.
	edits []edit
}

// edit is a change of a job, made with bench.mu held. It must not read what it sets
// from elsewhere: it may be made again, on a job that others have changed.
type edit func(*task) error

// with returns a copy of a job that may be changed.
func (j *task) with() *task {
	c := *j
	c.typed = maps.Clone(j.typed)
	if c.typed == nil {
		c.typed = map[string]string{}
	}
	c.settings.PenFor = maps.Clone(j.settings.PenFor)
	return &c
}

// refused reports whether something surely wrong keeps the program from being
// made.
func (j *task) refused() bool { return !j.settings.Really && len(j.sketch.Doubts()) > 0 }

// reader returns the reader of the files a job names: those it holds itself,
// then those of its folder. A name from the page never comes here.
func reader(held map[string][]byte, dir string) disk.Reader {
	return func(name string, most int) ([]byte, error) {
		if data, ok := held[name]; ok {
			return data, nil
		}
		return jobfolder.Place(dir).Read(name, most)
	}
}

// touch notes that the state has changed; b.mu is held.
func (b *bench) touch() { b.version++ }
