package bench

import (
	"context"
	"errors"
	"path/filepath"
	"strings"

	"weftplot/cmd/weftplot/bench/engine"
	"weftplot/cmd/weftplot/bench/folder"
	"weftplot/cmd/weftplot/bench/told"
	"weftplot/cmd/weftplot/keptcloth"
	"weftplot/cmd/weftplot/link"
	"weftplot/device"
	"weftplot/device/journals"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/jobfolder"
	"weftplot/plot/language"
	"weftplot/profiles"
)

// What a machine can be asked for.
const (
	doEdge     = "edge"
	doRehearse = "rehearse"
	doDraw     = "draw"
	doResume   = "resume"
)

// run is the machine at work. What changes while it is stands under bench.mu.
type run struct {
	do       string
	port     string
	keys     chan device.Key
	cancel   context.CancelFunc
	goOn     chan struct{}       // a question of the program's is answered
	answers  chan bool           // whether all is drawn, as the person sees
	programs []jobfolder.Program // as they lie in the folder
	machine  profiles.Machine

	confirm  bool // the person is asked whether all is drawn
	plan     []planned
	asked    string // what the person at the machine is to do; "" nothing
	progress device.Progress
	file     int // the program under way
	strokes  int // of the programs before it
	drawnMM  float64
	left     float64 // predicted seconds of the programs after it
	totalMM  float64
	total    int
	proved   int // strokes proved to be on the cloth
}

// outcome is how the last run ended.
type outcome struct {
	word    string // the status begins with it; "" is Ready
	text    string
	trouble *told.Trouble
	number  int // grows, so that a page tells a new trouble from an old one
}

// start sets the machine to work. It returns once that is decided; the work
// itself goes on, whatever becomes of the page.
func (b *bench) start(do, port string, of part) error {
	j, err := b.free(do, port, of)
	if err != nil {
		return err
	}
	programs, m, err := toSend(b.ctx, j.dir, port, of)
	if err != nil {
		return err
	}
	if err := halfOfPart(do, programs, m); err != nil {
		return err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if err := b.mayStart(do, port); err != nil {
		return err
	}
	if b.job != j {
		return engine.ErrSuperseded
	}
	ctx, cancel := context.WithCancel(b.ctx)
	r := &run{do: do, port: port, keys: make(chan device.Key, 16), cancel: cancel, goOn: make(chan struct{}, 1), answers: make(chan bool, 1), programs: programs, machine: m}
	for _, p := range programs {
		next := j.plannedOf(p, m)
		r.plan = append(r.plan, next)
		r.totalMM += next.mm
		r.total += next.strokes
	}
	b.run, b.last = r, outcome{number: b.last.number}
	b.memory.ChoosePort(port)
	b.touch()
	b.work.Go(func() {
		defer cancel()
		text, err := b.carryOut(ctx, r, j)
		b.mu.Lock()
		defer b.mu.Unlock()
		b.run = nil
		b.last = ended(do, text, err, b.last.number+1)
		if err == nil && j.inLoads() && b.last.word == wordDrawn {
			b.last.word, b.last.text = j.loadDrawn(programs, text)
		}
		b.touch()
	})
	return nil
}

// free returns the job on the bench if that part of it may be begun.
func (b *bench) free(do, port string, of part) (*task, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if err := b.mayStart(do, port); err != nil {
		return nil, err
	}
	return b.job, b.job.waits(of)
}

// toSend reads the programs of a job folder, as they are sent: the files of the
// folder must belong together, the machine must understand them and reach what
// they draw, and it must be one that can be at the port.
func toSend(ctx context.Context, dir, port string, of part) ([]jobfolder.Program, profiles.Machine, error) {
	programs, m, err := jobfolder.Place(dir).ReadFolder(ctx, dir, jobfolder.Wanted{})
	if err != nil {
		return nil, m, err
	}
	if err := suits(port, m); err != nil {
		return nil, m, err
	}
	if programs, err = of.programs(programs, m); err != nil {
		return nil, m, err
	}
	for _, p := range programs {
		if err := language.Judge(p.Program, m).Refused(filepath.Base(p.File), false); err != nil {
			return nil, m, err
		}
	}
	return programs, m, nil
}

// suits refuses a real port for a machine that is only simulated.
func suits(port string, m profiles.Machine) error {
	if link.Suits(port, m) {
		return nil
	}
	return fault.Bad("port", "choose the port sim to learn on, or on the step The machine the machine that is on this port", "machine %s is only simulated, and %s is a real port", m.Name, port)
}

// mayStart refuses what must not be begun; b.mu is held.
func (b *bench) mayStart(do, port string) error {
	switch {
	case b.run != nil:
		return errUsed
	case b.steer != nil:
		return fault.Bad("", "leave off looking for marks first", "the pen is being steered by hand")
	case b.job == nil:
		return fault.Bad("", "choose a drawing first", "there is no drawing yet")
	case !b.job.settings.HasMachine():
		return errNoMachine
	case b.job.overtaken:
		return errOvertaken(b.job.dir)
	case !b.job.whole || b.wanted != b.job:
		return fault.Bad("", "wait a moment", "the program is still being written")
	case port == "":
		return fault.Bad("port", "choose a port on the step The machine", "no port is chosen")
	}
	if b.job.made == nil {
		return fault.Bad("", "wait a moment", "the program is still being written")
	}
	if b.job.inLoads() { // each load has a cloth of its own
		return nil
	}
	return mayInk(do, b.job.halfDrawn())
}

// mayInk refuses to draw on what is half drawn, and to resume what is not.
func mayInk(do string, half bool) error {
	switch do {
	case doDraw:
		if half {
			return fault.Bad("", "press Resume, or put a new cloth on first", "the cloth is half drawn: every line on it would be drawn twice")
		}
	case doResume:
		if !half {
			return fault.Bad("", "press Draw", "there is nothing to resume")
		}
	case doEdge, doRehearse:
	default:
		return fault.Bad("", "", "there is no such thing to do")
	}
	return nil
}

// carryOut does the work and returns a sentence about it.
func (b *bench) carryOut(ctx context.Context, r *run, j *task) (string, error) {
	l, err := link.Open(r.port, r.machine, b.simSpeed)
	if err != nil {
		return "", err
	}
	defer l.Close()
	inks := r.do == doDraw || r.do == doResume
	if inks && l.Simulated() {
		c, err := keptcloth.Beside(r.programs[0].File, r.do == doResume)
		if err != nil {
			return "", err
		}
		l.KeepOn(c)
	}
	for i := range r.programs {
		if err := b.one(ctx, r, j, l, i, inks); err != nil {
			return "", err
		}
	}
	if !l.Kept() {
		return "", nil
	}
	if err := l.Keep(); err != nil {
		return "", err
	}
	var want []paths.Stroke
	for _, p := range r.programs {
		want = append(want, p.Program.Strokes()...)
	}
	words, _ := l.Compare(want, 0.05+r.machine.Step())
	return words, nil
}

// one sends the program of one pen.
func (b *bench) one(ctx context.Context, r *run, j *task, l *link.Link, i int, inks bool) (err error) {
	p := r.programs[i]
	task := device.Job{Program: p.Program, Text: p.Text, Machine: r.machine, Marks: p.Marks}
	opt := device.Options{Edge: r.do == doEdge, Rehearse: r.do == doRehearse, Keys: r.keys}
	opt.Pause = func(ctx context.Context, what string) error { return b.ask(ctx, r, what) }
	// The simulated plotter was switched on a moment ago, at home. A person said
	// of a real machine, with a tick, that it was brought home.
	opt.Homed = r.do == doResume
	if inks {
		opt.Confirm = func(ctx context.Context) (bool, error) { return b.confirm(ctx, r) }
		kept, err := journals.Program{File: p.File, Job: task}.Open(r.do == doResume, i == 0)
		if err != nil {
			return err
		}
		if kept.Done() {
			return kept.Close()
		}
		opt.Journal = kept
		defer kept.Close()
		if i > 0 {
			if err := b.ask(ctx, r, "Put in the pen "+p.Pen); err != nil {
				return errors.Join(err, kept.Untouched())
			}
		}
	}
	b.under(r, i)
	opt.Progress = func(p device.Progress) {
		b.mu.Lock()
		defer b.mu.Unlock()
		r.progress = p
		if opt.Journal != nil {
			r.proved = r.strokes + opt.Journal.Drawn()
		}
	}
	_, err = device.Send(ctx, l, task, opt)
	return err
}

// under notes which program is under way, and what is before and after it.
func (b *bench) under(r *run, i int) {
	b.mu.Lock()
	defer b.mu.Unlock()
	r.file, r.strokes, r.drawnMM, r.left = i, 0, 0, 0
	for k, p := range r.plan {
		switch {
		case k < i:
			r.strokes += p.strokes
			r.drawnMM += p.mm
		case k > i:
			r.left += p.seconds
		}
	}
}

// confirm asks the person whether all is drawn, where the machine does not say so.
func (b *bench) confirm(ctx context.Context, r *run) (bool, error) {
	set := func(asked bool) {
		b.mu.Lock()
		r.confirm = asked
		b.touch()
		b.mu.Unlock()
	}
	set(true)
	defer set(false)
	select {
	case <-ctx.Done():
		return false, ctx.Err()
	case drawn := <-r.answers:
		return drawn, nil
	}
}

// answered hands on what the person sees; it is no answer while nobody asks.
func (b *bench) answered(drawn bool) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.run != nil && b.run.confirm {
		select {
		case b.run.answers <- drawn:
		default:
		}
	}
}

// ask asks the person at the machine for something and waits for Go on.
func (b *bench) ask(ctx context.Context, r *run, what string) error {
	select {
	case <-r.goOn: // pressed for something else
	default:
	}
	b.mu.Lock()
	r.asked = what
	b.touch()
	b.mu.Unlock()
	defer func() {
		b.mu.Lock()
		r.asked = ""
		b.touch()
		b.mu.Unlock()
	}()
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-r.goOn:
		return nil
	}
}

// press passes on what a person asks of the machine at work.
func (b *bench) press(k device.Key) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.steer != nil && k == device.Stop {
		b.steer.cancel()
	}
	r := b.run
	switch {
	case r == nil:
	case k == device.Stop:
		r.cancel()
	case k == device.Resume && r.asked != "":
		select {
		case r.goOn <- struct{}{}:
		default:
		}
	default:
		select {
		case r.keys <- k:
		default: // the machine has yet to answer to the ones before
		}
	}
}

// ended puts into words how a run ended.
func ended(do, text string, err error, number int) outcome {
	out := outcome{word: wordReady, text: text, number: number}
	switch {
	case err == nil && (do == doDraw || do == doResume):
		out.word = wordDrawn
	case err == nil && do == doEdge:
		out.text = "The pen went once round the edge."
	case err == nil:
		out.text = "The rehearsal is done; nothing was drawn."
	case errors.Is(err, context.Canceled) && do == doEdge:
		out.word, out.text = wordStopped, stopped("Going round the edge", err)
	case errors.Is(err, context.Canceled) && do == doRehearse:
		out.word, out.text = wordStopped, stopped("The rehearsal", err)
	case errors.Is(err, context.Canceled):
		out.word, out.text = wordStopped, sentence(err)
	case errors.Is(err, device.Lost), errors.Is(err, device.Silent), errors.Is(err, device.Garbled):
		out.word, out.text, out.trouble = wordBroke, sentence(err), ptr(told.TroubleOf(err))
	case fault.Request(err) != nil, errors.Is(err, device.NoPort), errors.Is(err, device.NoPermission), errors.Is(err, device.InUse):
		out.trouble = ptr(told.TroubleOf(err))
	default:
		out.word, out.text, out.trouble = wordStopped, sentence(err), ptr(told.TroubleOf(err))
	}
	return out
}

// stopped says that what was done with the pen up was stopped.
func stopped(what string, err error) string {
	var f *fault.Error
	text := what + " was stopped; nothing was drawn."
	if errors.As(err, &f) && f.State != "" {
		text += " " + strings.ToUpper(f.State[:1]) + f.State[1:] + "."
	}
	return text
}

// sentence is an error with its advice, for the status.
func sentence(err error) string {
	t := told.TroubleOf(err)
	if t.Do == "" {
		return t.What + "."
	}
	return t.What + ". What to do: " + t.Do + "."
}

// newClothOn takes a half-drawn cloth off: its journals are put aside under
// another name, and the job can be drawn from its beginning.
func (b *bench) newClothOn() error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.run != nil || b.job == nil {
		return fault.Bad("", "stop the machine first", "the cloth cannot be changed now")
	}
	if err := folder.PutAside(b.job.dir); err != nil {
		return err
	}
	b.last = outcome{number: b.last.number}
	b.touch()
	b.surveyed = surveyed{}
	loads := b.job.inLoads()
	if !b.job.overtaken && (!loads || len(b.job.settings.MarksFor) == 0) {
		return nil
	}
	return b.make(func(j *task) error {
		j.overtaken = false
		if loads {
			j.settings.MarksFor = nil // they were those of the other cloth
		}
		return nil
	})
}
