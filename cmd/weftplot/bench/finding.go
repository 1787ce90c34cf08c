package bench

import (
	"bytes"
	"fmt"
	"maps"
	"strconv"

	"weftplot/cmd/weftplot/bench/folder"
	"weftplot/cmd/weftplot/bench/told"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
	"weftplot/paths/weave/cloth/search"
	"weftplot/plot"
)

// A loadSearch is a person looking for the points of one load with the pen.
type loadSearch struct {
	n, of int // the load's number from 1, and how many there are
	search.Load
	sought   int          // the point that the pen was sent to, from 0; -1 for none
	at       *weave.Place // that it was sent to; nil once that is marked
	progress search.Progress
}

// loadToFind returns the load that is meant, from 1; 0 means the one that is due. It refuses
// one that is drawn, or begun, with its marks as they are, and one that is found by what is
// not drawn yet.
func (j *task) loadToFind(n int) (int, error) {
	if j.made == nil {
		return 0, fault.Bad("", "wait a moment", "the program is still being written")
	}
	states := j.loadStates()
	if n == 0 {
		if n = dueLoad(states); n == 0 {
			return 0, fault.Bad("", "put a new cloth on first (on the last step)", "all loads are drawn")
		}
	}
	if n < 1 || n > len(states) {
		return 0, fault.Bad("", fmt.Sprintf("loads are numbered from 1 to %d", len(states)), "there is no load %d", n)
	}
	if s := states[n-1].begun; s.Begun || s.Done || s.Sent {
		return 0, fault.Bad("", "choose a load that is not begun, or put a new cloth on (on the last step)", "load %d is drawn, or half drawn, where it was found", n)
	}
	if due := dueLoad(states); j.inParts() && due < n {
		return 0, fault.Bad("", fmt.Sprintf("draw load %d first", due), "load %d is found by what the loads before it draw", n)
	}
	return n, nil
}

// marksOfLoad are the marks of a load that the job is made with.
func marksOfLoad(j *plot.Job, n int) []cloth.Mark {
	if n == 1 && len(j.Inputs.Marks) > 0 {
		return j.Inputs.Marks
	}
	return j.Inputs.MarksFor[n]
}

// A surveyed load has marks that the job is not made with yet.
type surveyed struct {
	made  *plot.Job
	n     int
	marks []cloth.Mark
}

// beginLoad prepares the search for a load. Marks that were found and did not do are gone on
// with, also those that lie in the job's folder, which are returned.
func (s *steer) beginLoad(j *plot.Job, n int, before surveyed) (kept []cloth.Mark) {
	points, opt := j.Loads[n-1].ToFind()
	marks := marksOfLoad(j, n)
	if before.made == j && before.n == n {
		marks = before.marks
	} else if kept = folder.Taken(s.dir, j, n); len(kept) > 0 {
		marks, s.said = kept, goesOnWith(kept)
	}
	s.found = cloth.NewSurveyOf(j.Grid, opt, marks)
	s.load = &loadSearch{n: n, of: len(j.Loads), Load: points, sought: -1}
	s.load.progress = points.Progress(s.found)
	return kept
}

// nextPlace returns the place to steer to next, and the number of its point from 0, -1 for
// a place that is none of those listed.
func (l *loadSearch) nextPlace(found cloth.Survey) (weave.Place, int, error) {
	if n := l.progress.Next; n >= 0 {
		return l.Points[n].Place, n, nil
	}
	if p, ok := found.Next(); ok && len(l.Points) == 0 {
		return p, -1, nil
	}
	const do = "leave the pen: the program of the load is made then"
	if len(l.Points) == 0 {
		return weave.Place{}, -1, fault.Bad("", do, "no mark is wanting: the error to expect is small enough")
	}
	return weave.Place{}, -1, fault.Bad("", do, "all points of the load are found")
}

// target is where an order sends the pen: to a place, to the point of a number, or to the
// point that comes next.
func (l *loadSearch) target(found cloth.Survey, o steering) (paths.Point, error) {
	p, n := weave.Place{Across: o.Across, Along: o.Along}, -1
	switch {
	case o.Do == "next":
		var err error
		if p, n, err = l.nextPlace(found); err != nil {
			return paths.Point{}, err
		}
	case o.Do == "point":
		if n = o.Number - 1; n < 0 || n >= len(l.Points) {
			return paths.Point{}, fault.Bad("", fmt.Sprintf("the points are numbered from 1 to %d", len(l.Points)), "there is no point %d", o.Number)
		}
		p = l.Points[n].Place
	}
	to, _ := l.Expect(found, p)
	l.sought, l.at = n, &p
	return to, nil
}

// told puts the search into the form of the page.
func (l *loadSearch) told() *told.LoadSearch {
	out := &told.LoadSearch{Load: l.n, Of: l.of, Points: []told.Point{}, Enough: l.progress.Enough(), Says: l.Says(l.progress)}
	for i, p := range l.Points {
		out.Points = append(out.Points, told.Point{Name: p.Name, Place: [2]float64{p.Place.Across, p.Place.Along}, Found: l.progress.Found[i]})
	}
	if l.at != nil {
		out.At = &[2]float64{l.at.Across, l.at.Along}
	}
	if out.Point = l.sought + 1; out.At == nil {
		out.Point = l.progress.Next + 1
	}
	return out
}

// surveyLoad takes over the marks of a load. The job is made with them once the person
// leaves the pen: until then more are to come.
func (b *bench) surveyLoad(s *steer, found cloth.Survey, said string) {
	progress := s.load.Progress(found)
	if progress.Unfit != nil {
		said += " " + sentence(progress.Unfit)
	}
	if err := folder.KeepTaken(s.dir, s.load.n, found.Marks()); err != nil {
		said += " " + notKept(err)
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	s.found, s.said, s.load.progress, s.load.sought, s.load.at = found, said, progress, -1, nil
	b.surveyed = surveyed{b.job.made, s.load.n, found.Marks()}
	b.touch()
}

// leaveSteering ends the search. Marks of a load that are new and sure enough go into the
// job; those that are not are kept, to be gone on with.
func (b *bench) leaveSteering() error {
	b.mu.Lock()
	s, before := b.steer, b.surveyed
	var made *plot.Job
	if b.job != nil {
		made = b.job.made
	}
	b.mu.Unlock()
	b.endSteering()
	if s == nil || s.load == nil || made == nil {
		return nil
	}
	if before.made != made || before.n != s.load.n { // nothing was taken since the pen was
		return nil
	}
	marks := s.found.Marks()
	if bytes.Equal(cloth.FormatMarks(marks), cloth.FormatMarks(marksOfLoad(made, s.load.n))) {
		return folder.KeepTaken(s.dir, s.load.n, nil)
	}
	if len(marks) == 0 {
		return b.noMarksFor(s.load.n)
	}
	if err := acceptable(made, s.load.n, s.found); err != nil {
		return err
	}
	if err := b.useMarksFor(s.load.n, cloth.FormatMarks(marks)); err != nil {
		return err
	}
	return folder.KeepTaken(s.dir, s.load.n, nil) // the job has them now
}

// acceptable refuses marks that a load cannot be drawn by.
func acceptable(made *plot.Job, n int, found cloth.Survey) error {
	l := made.Loads[n-1]
	points, _ := l.ToFind()
	if err := l.Owns(found.Marks()); n > 1 && err != nil {
		return err
	}
	reg, err := found.Fit()
	if err != nil || made.Kit != nil { // copies meet no others, and may lie where they please
		return err
	}
	return points.Refused(reg)
}

// useMarksFor makes the job with the marks of one load, 0 for the load that is due.
func (b *bench) useMarksFor(n int, data []byte) error {
	marks, err := cloth.ParseMarks(marksFile, data)
	if err != nil {
		return err
	}
	return b.changeMarks(n, func(j *task, n int) error {
		if j.made == nil {
			return fault.Bad("", "do without the marks of this load first", "the job could not be made with its marks")
		}
		_, opt := j.made.Loads[n-1].ToFind()
		if err := acceptable(j.made, n, cloth.NewSurveyOf(j.made.Grid, opt, marks)); err != nil {
			return err
		}
		name := fmt.Sprintf("marks-%d.toml", n)
		held := maps.Clone(j.bytes)
		held[name] = data
		j.bytes, j.read = held, reader(held, j.dir)
		j.settings.MarksFor = maps.Clone(j.settings.MarksFor)
		if j.settings.MarksFor == nil {
			j.settings.MarksFor = map[string]string{}
		}
		j.settings.MarksFor[strconv.Itoa(n)] = name
		if n == 1 {
			j.settings.Marks = ""
		}
		j.settings.At = nil
		return nil
	})
}

// noMarksFor drops the marks of one load. Of a rug in several loads those of later ones are
// dropped with them: they are found by its ink.
func (b *bench) noMarksFor(n int) error {
	return b.changeMarks(n, func(j *task, n int) error {
		left := map[string]string{}
		for number, file := range j.settings.MarksFor {
			k, err := strconv.Atoi(number)
			if err == nil && (k < n || k > n && !j.inParts()) {
				left[number] = file
			}
		}
		j.settings.MarksFor = left
		if n == 1 {
			j.settings.Marks = ""
		}
		return nil
	})
}

// changeMarks changes the marks of a load of the job on the bench. What is drawn of other
// loads stays as it is.
func (b *bench) changeMarks(n int, edit func(j *task, n int) error) error {
	may := func() error {
		err := b.settled()
		if err == errHalfDrawn {
			_, err = b.job.loadToFind(n)
		}
		return err
	}
	return b.changeWhere(may, func(j *task) error {
		if j.failed && n > 0 { // the marks that it was to be made with
			return edit(j, n)
		}
		n, err := j.loadToFind(n)
		if err != nil {
			return err
		}
		return edit(j, n)
	})
}
