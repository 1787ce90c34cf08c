package bench

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"os"

	"weftplot/cmd/weftplot/keptcloth"
	"weftplot/device"
	"weftplot/paths/fault"
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
	do     string
	port   string
	keys   chan device.Key
	cancel context.CancelFunc
	goOn   chan struct{} // a question of the program's is answered

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
	trouble *trouble
	number  int // grows, so that a page tells a new trouble from an old one
}

// deviceJob is the program of one pen and the machine it is for.
func (j *task) deviceJob(i int) device.Job {
	r := j.made.PenRuns[i]
	d := device.Job{Program: r.Program, Text: r.Text, Machine: j.made.Inputs.Machine}
	if data, ok := j.bytes[marksFile]; ok && j.settings.Marks != "" {
		d.Marks = fmt.Sprintf("%x", sha256.Sum256(data))
	}
	return d
}

// start sets the machine to work. It returns once that is decided; the work
// itself goes on, whatever becomes of the page.
func (b *bench) start(do, port string) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if err := b.mayStart(do, port); err != nil {
		return err
	}
	ctx, cancel := context.WithCancel(b.ctx)
	r := &run{do: do, port: port, keys: make(chan device.Key, 16), cancel: cancel, goOn: make(chan struct{}, 1)}
	j := b.job
	for _, p := range j.made.PenRuns {
		r.totalMM += p.Totals.DrawMM
		r.total += p.Totals.Strokes
	}
	b.run, b.last = r, outcome{number: b.last.number}
	b.memory.choosePort(port)
	b.touch()
	b.work.Go(func() {
		defer cancel()
		text, err := b.carryOut(ctx, r, j)
		b.mu.Lock()
		defer b.mu.Unlock()
		b.run = nil
		b.last = ended(do, text, err, b.last.number+1)
		b.touch()
	})
	return nil
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
	case b.job.overtaken:
		return errOvertaken(b.job.dir)
	case !b.job.whole || b.wanted != b.job:
		return fault.Bad("", "wait a moment", "the program is still being written")
	case port == "":
		return fault.Bad("port", "choose a port on the step The machine", "no port is chosen")
	}
	half := b.job.halfDrawn()
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
	inks := r.do == doDraw || r.do == doResume
	var c *keptcloth.Cloth
	var err error
	switch {
	case r.do == doDraw:
		if c, err = keptcloth.New(j.clothPath()); err != nil {
			return "", err
		}
	case r.do == doResume:
		if c, err = keptcloth.Open(j.clothPath()); err != nil {
			return "", err
		}
	}
	l, err := openLine(r.port, j.made.Inputs.Machine, c)
	if err != nil {
		return "", err
	}
	defer l.Close()
	for i := range j.made.PenRuns {
		if err := b.one(ctx, r, j, l, i, inks); err != nil {
			return "", err
		}
	}
	if !inks {
		return "", nil
	}
	if kept, ok := l.Port.(*keptcloth.Port); ok {
		if err := kept.Keep(); err != nil {
			return "", err
		}
	}
	return l.compared(*j.made), nil
}

// one sends the program of one pen.
func (b *bench) one(ctx context.Context, r *run, j *task, l *link, i int, inks bool) error {
	opt := device.Options{Edge: r.do == doEdge, Rehearse: r.do == doRehearse, Keys: r.keys}
	opt.Pause = func(ctx context.Context, what string) error { return b.ask(ctx, r, what) }
	// The simulated plotter was switched on a moment ago, at home. A person said
	// of a real machine, with a tick, that it was brought home.
	opt.Homed = r.do == doResume
	if inks {
		done, err := b.openJournal(r, j, i, &opt)
		if err != nil || done {
			return err
		}
		defer opt.Journal.Close()
		if i > 0 {
			if err := b.ask(ctx, r, "Put in the pen "+j.made.PenRuns[i].Pen.Name); err != nil {
				return err
			}
		}
	}
	b.mu.Lock()
	r.file, r.strokes, r.drawnMM, r.left = i, 0, 0, 0
	for k, p := range j.made.PenRuns {
		switch {
		case k < i:
			r.strokes += p.Totals.Strokes
			r.drawnMM += p.Totals.DrawMM
		case k > i:
			r.left += p.Timing.Total
		}
	}
	b.mu.Unlock()
	opt.Progress = func(p device.Progress) {
		b.mu.Lock()
		defer b.mu.Unlock()
		r.progress = p
		if opt.Journal != nil {
			r.proved = r.strokes + opt.Journal.Drawn()
		}
	}
	_, err := device.Send(ctx, l, j.deviceJob(i), opt)
	var f *fault.Error
	if r.do == doDraw && errors.As(err, &f) && f.State == "" {
		// Nothing was sent, so the cloth is as it was and needs no record.
		_ = os.Remove(j.journalPath(i))
	}
	return err
}

// openJournal puts the journal of a program into the options, and reports
// whether all of it is drawn already.
func (b *bench) openJournal(r *run, j *task, i int, opt *device.Options) (done bool, err error) {
	if r.do == doResume {
		if kept := j.journal(i); kept != nil {
			if opt.Journal = kept; kept.Done() {
				return true, kept.Close()
			}
			return false, nil
		}
	}
	if opt.Journal, err = device.StartJournal(j.journalPath(i), j.deviceJob(i)); err != nil {
		err = fmt.Errorf("the journal %s cannot be written: %w", j.journalPath(i), cause(err))
	}
	return false, err
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
	case errors.Is(err, context.Canceled):
		out.word, out.text = wordStopped, sentence(err)
	case errors.Is(err, device.Lost), errors.Is(err, device.Silent), errors.Is(err, device.Garbled):
		out.word, out.text, out.trouble = wordBroke, sentence(err), ptr(troubleOf(err))
	case fault.Request(err) != nil, errors.Is(err, device.NoPort), errors.Is(err, device.NoPermission), errors.Is(err, device.InUse):
		out.trouble = ptr(troubleOf(err))
	default:
		out.word, out.text, out.trouble = wordStopped, sentence(err), ptr(troubleOf(err))
	}
	return out
}

// sentence is an error with its advice, for the status.
func sentence(err error) string {
	t := troubleOf(err)
	if t.Do == "" {
		return t.What + "."
	}
	return t.What + ". What to do: " + t.Do + "."
}

// newClothOn takes a half-drawn cloth off: its journals are put aside under
// another name, and the job can be drawn from its beginning.
func (b *bench) newClothOn() error {
	b.mu.Lock()
	if b.run != nil || b.job == nil {
		b.mu.Unlock()
		return fault.Bad("", "stop the machine first", "the cloth cannot be changed now")
	}
	if err := b.job.putAside(); err != nil {
		b.mu.Unlock()
		return err
	}
	b.last = outcome{number: b.last.number}
	b.touch()
	if b.job.overtaken {
		again := b.job.with()
		again.overtaken = false
		return b.tryLocked(again) // which leaves b.mu free
	}
	b.mu.Unlock()
	return nil
}
