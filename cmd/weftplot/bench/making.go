package bench

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"weftplot/cmd/weftplot/bench/engine"
	"weftplot/cmd/weftplot/bench/folder"
	"weftplot/cmd/weftplot/bench/told"
	"weftplot/paths/fault"
	"weftplot/plot"
	"weftplot/plot/job"
	"weftplot/plot/jobfolder"
	"weftplot/plot/report"
)

// change makes the job anew with one more change. Those asked for before and not yet
// on the bench are made with it, in one step; their callers get
// engine.ErrSuperseded. A change that is refused is not made, and takes no other
// with it.
func (b *bench) change(e edit) error { return b.changeWhere(b.settled, e) }

// changeWhere is change where may, with b.mu held, refuses nothing.
func (b *bench) changeWhere(may func() error, e edit) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if err := may(); err != nil {
		return err
	}
	if b.wanted == nil {
		return fault.Bad("", "choose a drawing first", "there is no drawing yet")
	}
	return b.make(e)
}

// settled refuses what would change a job that a machine is at, or whose cloth
// is half drawn; b.mu is held.
func (b *bench) settled() error {
	switch {
	case b.run != nil:
		return fault.Bad("", "stop it first, or wait until it has done", "the machine is at work on this job")
	case b.job != nil && b.job.overtaken:
		return errOvertaken(b.job.dir)
	case b.job != nil && !b.job.whole && !b.job.failed && b.job.hasJournals():
		return fault.Bad("", "try again in a moment", "the record of this job's cloth is still being read")
	case b.job != nil && b.job.halfDrawn():
		return errHalfDrawn
	}
	return nil
}

// errHalfDrawn refuses what would change a job of which a part is drawn.
var errHalfDrawn = fault.Bad("", "go on with Resume, or put a new cloth on first (on the last step)", "the cloth of this job is half drawn with the settings as they are")

// put makes a job of its own, in place of what is on the bench; b.mu is held, and
// free while the job is sketched.
func (b *bench) put(j *task) error {
	return b.make(func(t *task) error { *t = *j.with(); return nil })
}

// make makes a change on top of those that are wanted; b.mu is held, and free while
// the job is sketched.
func (b *bench) make(e edit) error {
	next := &task{}
	if b.wanted != nil {
		next = b.wanted.with()
	}
	before := next.edits
	if err := e(next); err != nil {
		return err
	}
	next.edits = append(slices.Clip(before), e)
	b.wanted = next
	err := b.sketch(next)
	switch {
	case err == nil, errors.Is(err, engine.ErrSuperseded):
		return err
	case len(next.edits) > 1:
		return b.makeOneByOne(next)
	}
	b.wanted = b.job
	return err
}

// makeOneByOne makes the changes of a job that was refused, each by itself, so that
// the good ones are not lost with the bad. It returns what became of the last: the
// callers of the others wait no more, and what is wrong with theirs is told as what
// happened last.
func (b *bench) makeOneByOne(all *task) error {
	edits := all.edits
	for i, e := range edits {
		b.wanted, all.edits = all, edits[i:] // what comes now builds on all that are left
		next := &task{}
		if b.job != nil {
			next = b.job.with()
		}
		err := e(next)
		if err == nil {
			err = b.sketch(next)
		}
		switch {
		case errors.Is(err, engine.ErrSuperseded):
			return err
		case i == len(edits)-1:
			b.wanted = b.job
			return err
		case err != nil:
			b.last = outcome{word: wordReady, trouble: ptr(told.TroubleOf(err)), number: b.last.number + 1}
			b.touch()
		}
	}
	return nil
}

// sketch looks at a job and puts it on the bench; b.mu is held, and free while the
// job is looked at. Its error is engine.ErrSuperseded when something later was asked
// for meanwhile.
func (b *bench) sketch(next *task) error {
	if b.cancel != nil {
		b.cancel()
	}
	ctx, cancel := context.WithCancel(b.ctx)
	b.cancel = cancel
	b.newest++
	ticket := b.newest
	b.mu.Unlock()

	sketch, kit, extra, err := b.engine.Sketch(ctx, next.read, next.settings)
	next.sketchMM = 0
	for _, k := range sketch.Drawn {
		next.sketchMM += k.Length()
	}
	b.mu.Lock()
	if ticket != b.newest {
		return engine.ErrSuperseded
	}
	if err != nil {
		return err
	}
	if next.settings.Really && b.job != nil && b.job.dir == next.dir && !overruledBefore(b.job, sketch) {
		// What was overruled was something else: this is to be decided anew.
		sketch.Settings.Really = next.decided
	}
	next.decided = false
	next.kit = kit
	b.adopt(next, sketch, extra)
	b.work.Go(func() { b.finish(ctx, ticket, next) })
	return nil
}

// overruledBefore reports whether everything that is doubtful about a sketch was
// so before, when the person went on all the same.
func overruledBefore(was *task, now plot.Registered) bool {
	known := was.sketch.Doubts()
	return !slices.ContainsFunc(now.Doubts(), func(d plot.Doubt) bool {
		return !slices.ContainsFunc(known, func(k plot.Doubt) bool { return k.Code == d.Code })
	})
}

// adopt puts a job that could be made on the bench; b.mu is held.
func (b *bench) adopt(next *task, sketch plot.Registered, extra []job.File) {
	at, count, margin := next.settings.At, next.settings.Count, next.settings.Margin
	held := map[string][]byte{}
	for _, f := range extra {
		held[f.Name] = f.Data
	}
	next.settings = sketch.Settings
	// What follows from other settings goes on following from them.
	next.settings.At, next.settings.Count, next.settings.Margin = at, count, margin
	next.bytes = held
	next.read = reader(held, next.dir)
	next.sketch, next.made, next.report, next.whole, next.checked, next.byHand, next.noPaper, next.failed = sketch, nil, nil, false, nil, nil, nil, false
	next.picture, next.edits = b.version+1, nil
	b.job, b.wanted = next, next
	b.touch()
}

// pause is how long nothing is changed before the program is made.
const pause = 250 * time.Millisecond

// finish makes the job as the command does and writes its folder, then looks for
// findings. It is given up when something newer is asked for.
func (b *bench) finish(ctx context.Context, ticket int, j *task) {
	b.writing.Lock()
	defer b.writing.Unlock()
	newest := func(do func()) bool {
		b.mu.Lock()
		defer b.mu.Unlock()
		if ticket != b.newest || ctx.Err() != nil {
			return false
		}
		do()
		b.touch()
		return true
	}
	var settings job.Settings
	if !newest(func() { settings = j.settings }) {
		return
	}
	if j.refused() {
		b.refusedJob(ctx, j, settings, newest)
		return
	}
	made, rep, files, err := b.written(ctx, j, settings)
	if errors.Is(err, engine.ErrSuperseded) || errors.Is(err, context.Canceled) {
		return
	}
	done := newest(func() {
		if err != nil {
			if j.overtaken = errors.Is(err, folder.HalfDrawnByOthers); byHand(err) {
				j.byHand = ptr(byHandTrouble(err))
				return
			}
			if j.noPaper = unprintable(err); j.noPaper != nil {
				return
			}
			j.failed = true
			b.last = outcome{word: wordReady, trouble: ptr(told.TroubleOf(err)), number: b.last.number + 1}
			return
		}
		j.made, j.report, j.whole, j.picture = &made, &rep, true, b.version+1
		for _, f := range files {
			if f.Name == jobFile {
				j.lasttoml = f.Data
			}
		}
	})
	if err != nil || !done {
		return
	}
	b.memory.JobAt(j.dir)
	if r, err := b.engine.Findings(ctx, j.read, settings); err == nil {
		newest(func() { j.checked = &r })
	}
}

// refusedJob keeps the settings of a job that is surely wrong, and looks for
// findings; no program is made.
func (b *bench) refusedJob(ctx context.Context, j *task, s job.Settings, newest func(func()) bool) {
	if !j.hasJournals() {
		if err := b.keepSettings(j); err != nil {
			newest(func() {
				b.last = outcome{word: wordReady, trouble: ptr(told.TroubleOf(err)), number: b.last.number + 1}
			})
			return
		}
	}
	if r, err := b.engine.Findings(ctx, j.read, s); err == nil {
		newest(func() { j.checked = &r })
	}
}

// byHand reports whether a folder was not written because a person changed a file
// of it.
func byHand(err error) bool {
	var f *fault.Error
	return errors.As(err, &f) && strings.Contains(f.Do, "[replace]")
}

// byHandTrouble is such an error in the words of the page, which has a button.
func byHandTrouble(err error) told.Trouble {
	t := told.TroubleOf(err)
	t.Do = "keep it under another name, or press the button to write over it"
	return t
}

// errOvertaken says what can be done about such a job.
func errOvertaken(dir string) error {
	return &fault.Error{Kind: folder.HalfDrawnByOthers, What: "this job is half drawn, and its program would be made otherwise now, by other settings or another version; all in its folder is left as it was",
		Do: fmt.Sprintf("draw the rest with the command \"weftplot send %s --resume\", or put a new cloth on (on the last step): the program is then made anew", dir)}
}

// written writes the settings of a job at once, and its program and proofs when
// nothing has changed for a while.
func (b *bench) written(ctx context.Context, j *task, s job.Settings) (made plot.Job, rep report.Report, files []job.File, err error) {
	begun := j.hasJournals()
	if !begun { // else it is looked first whether the cloth can be gone on with
		if err = b.keepSettings(j); err != nil {
			return made, rep, nil, err
		}
	}
	select { // while somebody is still at it, the pictures come first
	case <-ctx.Done():
		return made, rep, nil, engine.ErrSuperseded
	case <-time.After(pause):
	}
	made, rep, files, err = b.engine.Finish(ctx, j.read, s)
	if err != nil || ctx.Err() != nil {
		return made, rep, files, err
	}
	if begun {
		clash := folder.ClashOf(j.dir, files)
		if clash.Half {
			return made, rep, nil, errOvertaken(j.dir)
		}
		if clash.Stale { // the record of a cloth that is drawn is kept, under another name
			err = folder.PutAside(j.dir)
		}
	}
	if err == nil {
		err = jobfolder.Write(j.dir, files, j.writing())
	}
	return made, rep, files, err
}

// keepSettings writes job.toml and what it names at once: looking for a short
// order may take its time.
func (b *bench) keepSettings(j *task) error {
	b.mu.Lock()
	s := j.sketch.Settings
	held := maps.Clone(j.bytes)
	b.mu.Unlock()
	text, err := s.Format()
	if err != nil {
		return err
	}
	var files []job.File
	for _, name := range slices.Sorted(maps.Keys(held)) {
		files = append(files, job.File{Name: name, Data: held[name]})
	}
	w, err := jobfolder.WriteAhead(j.dir, append(files, job.File{Name: jobFile, Data: text}), j.writing())
	*j.ahead = w.Ahead
	if err == nil {
		b.mu.Lock()
		j.lasttoml = text
		b.mu.Unlock()
	}
	return err
}

func ptr[T any](v T) *T { return &v }
