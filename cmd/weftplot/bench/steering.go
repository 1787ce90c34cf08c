package bench

import (
	"context"
	"fmt"
	"math"
	"sync"

	"weftplot/cmd/weftplot/bench/folder"
	"weftplot/cmd/weftplot/bench/requests"
	"weftplot/cmd/weftplot/link"
	"weftplot/device"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
	"weftplot/plot"
	"weftplot/plot/job"
	"weftplot/profiles"
)

// steer is a person looking for marks on the stretched cloth: the pen, lifted,
// goes where it is told.
type steer struct {
	port   string
	dir    string // the job's folder
	cancel context.CancelFunc
	line   *link.Link
	pilot  *device.Pilot
	moving sync.Mutex // one move at a time

	found cloth.Survey // under bench.mu
	at    paths.Point
	said  string      // what is to be known of the last mark
	load  *loadSearch // whose points are found; nil for a rug that is drawn at once
}

// maySteer refuses to take the pen where nothing can be found with it; b.mu is held. It
// returns the load that is meant, 0 for a rug that is drawn at once.
func (b *bench) maySteer(load int) (int, error) {
	j := b.job
	switch {
	case b.run != nil || b.steer != nil:
		return 0, requests.ErrUsed
	case j != nil && !j.settings.HasMachine():
		return 0, errNoMachine
	case j == nil || !j.whole:
		return 0, fault.Bad("", "choose a drawing first, and wait until its program is written", "there is nothing to find marks for yet")
	case j.inLoads():
		return j.loadToFind(load)
	}
	return 0, nil
}

// beginSteering opens the line and lifts the pen, to find a load, 0 for the one that is due.
func (b *bench) beginSteering(port string, load int) error {
	b.mu.Lock()
	load, err := b.maySteer(load)
	if err != nil {
		b.mu.Unlock()
		return err
	}
	ctx, cancel := context.WithCancel(b.ctx)
	s := &steer{port: port, dir: b.job.dir, cancel: cancel}
	b.steer = s
	made, before := b.job.made, b.surveyed
	b.mu.Unlock()
	var kept []cloth.Mark
	if load > 0 {
		kept = s.beginLoad(made, load, before)
	} else {
		s.begin(made)
	}
	err = s.open(ctx, made.Inputs.Machine, b.simSpeed)
	b.mu.Lock()
	defer b.mu.Unlock()
	if err != nil {
		cancel()
		b.steer = nil
	} else {
		b.memory.ChoosePort(port)
		if len(kept) > 0 {
			b.surveyed = surveyed{made, load, kept}
		}
	}
	b.touch()
	return err
}

func (s *steer) open(ctx context.Context, m profiles.Machine, simSpeed float64) error {
	if err := suits(s.port, m); err != nil {
		return err
	}
	l, err := link.Open(s.port, m, simSpeed)
	if err != nil {
		return err
	}
	p, err := device.NewPilot(ctx, l, m)
	if err != nil {
		l.Close()
		return err
	}
	s.line, s.pilot, s.at = l, p, p.At()
	return nil
}

// begin prepares the search for marks of a rug that is drawn at once. Marks that were taken
// and did not fit yet are gone on with.
func (s *steer) begin(j *plot.Job) {
	marks := j.Inputs.Marks
	if kept := folder.Taken(s.dir, j, 0); len(kept) > 0 {
		marks, s.said = kept, goesOnWith(kept)
	}
	s.found = cloth.NewSurvey(j.Grid, j.Settings.Fit, j.Grid.PlaceOf(j.Rug.Max), marks)
	if j.Settings.Lay == job.LaidTurned {
		s.found = s.found.LaidTurned()
	}
}

// endSteering ends the search for marks. The pen is up and stays where it is.
func (b *bench) endSteering() {
	b.mu.Lock()
	s := b.steer
	b.steer = nil
	b.touch()
	b.mu.Unlock()
	if s == nil {
		return
	}
	s.cancel()
	s.moving.Lock()
	defer s.moving.Unlock()
	if s.line != nil {
		s.line.Close()
	}
}

// steering is an order to the pen, as the page gives it.
type steering struct {
	Do     string  `json:"do"` // step, go, next, point, mark, remove
	X      float64 `json:"x"`  // step: mm, or channels
	Y      float64 `json:"y"`
	By     string  `json:"by"` // step: "mm" or "channels"
	Across float64 `json:"across"`
	Along  float64 `json:"along"`
	Number int     `json:"number"`
}

// steerBy carries out an order.
func (b *bench) steerBy(o steering) error {
	b.mu.Lock()
	s := b.steer
	if s == nil || s.pilot == nil {
		b.mu.Unlock()
		return fault.Bad("", "press Take the pen first", "the pen is not being steered")
	}
	found, at := s.found, s.at
	b.mu.Unlock()
	switch o.Do {
	case "step", "go", "next", "point":
		to, err := s.target(found, at, o)
		if err != nil {
			return err
		}
		return b.moveTo(s, to)
	case "mark":
		next, n, err := found.With(cloth.Mark{Place: weave.Place{Across: o.Across, Along: o.Along}, At: at})
		if err != nil {
			return err
		}
		return b.survey(s, next, fmt.Sprintf("Mark %d is taken.", n))
	case "remove":
		next, err := found.Without(o.Number)
		if err != nil {
			return err
		}
		return b.survey(s, next, fmt.Sprintf("Mark %d is removed.", o.Number))
	}
	return fault.Bad("", "", "the pen cannot do this")
}

// target is where an order sends the pen.
func (s *steer) target(found cloth.Survey, at paths.Point, o steering) (paths.Point, error) {
	d := paths.Point{X: o.X, Y: o.Y}
	if !d.IsFinite() || math.Hypot(d.X, d.Y) > 1000 {
		return at, fault.Bad("", "go in smaller steps", "this is no step for a pen")
	}
	switch {
	case s.load != nil && o.Do != "step":
		return s.load.target(found, o)
	case o.Do == "point":
		return at, fault.Bad("", "", "no points are listed for this rug")
	case o.Do == "next":
		p, ok := found.Next()
		if !ok {
			return at, fault.Bad("", "", "no mark is wanting: the error to expect is small enough")
		}
		return expected(found, p)
	case o.Do == "go":
		return expected(found, weave.Place{Across: o.Across, Along: o.Along})
	case o.By != "channels":
		return at.Add(d), nil
	}
	// A channel is gone along the cloth as it lies, as far as that is known.
	if p, ok := found.PlaceAt(at); ok {
		return expected(found, weave.Place{Across: p.Across + d.X, Along: p.Along + d.Y})
	}
	return at.Add(found.Step(weave.Place{Across: d.X, Along: d.Y})), nil
}

func expected(found cloth.Survey, p weave.Place) (paths.Point, error) {
	to, _, ok := found.Expect(p)
	if !ok {
		return to, fault.Bad("", "take a first mark by hand", "it is not known yet where the cloth lies")
	}
	return to, nil
}

func (b *bench) moveTo(s *steer, to paths.Point) error {
	s.moving.Lock()
	err := s.pilot.MoveTo(to)
	at := s.pilot.At()
	s.moving.Unlock()
	b.mu.Lock()
	s.at = at
	b.touch()
	b.mu.Unlock()
	if err != nil && fault.Request(err) == nil {
		b.endSteering() // the machine is no longer to be steered
	}
	return err
}

// survey takes over the marks, and fits the job to the cloth once they tell
// enough of it.
func (b *bench) survey(s *steer, found cloth.Survey, said string) error {
	if s.load != nil {
		b.surveyLoad(s, found, said)
		return nil
	}
	_, unfit := found.Fit()
	if unfit != nil {
		said += " " + sentence(unfit)
	}
	if err := folder.KeepTaken(s.dir, 0, found.Marks()); err != nil {
		said += " " + notKept(err)
	}
	b.mu.Lock()
	s.found, s.said = found, said
	b.touch()
	b.mu.Unlock()
	if unfit != nil {
		return nil // so far they only tell too little, or one of them is wrong
	}
	if err := b.useMarks(cloth.FormatMarks(found.Marks())); err != nil {
		return err
	}
	return folder.KeepTaken(s.dir, 0, nil) // the job has them now
}

// useMarks makes the job for the cloth that the marks tell of.
func (b *bench) useMarks(data []byte) error {
	marks, err := cloth.ParseMarks(marksFile, data)
	if err != nil {
		return err
	}
	return b.change(func(j *task) error {
		if _, err := cloth.Fit(marks, cloth.FitOptions{Model: j.settings.Fit, Expect: j.sketch.Count}); err != nil {
			return err
		}
		held := map[string][]byte{marksFile: data}
		for k, v := range j.bytes {
			if k != marksFile {
				held[k] = v
			}
		}
		j.bytes, j.read = held, reader(held, j.dir)
		j.settings.Marks, j.settings.At = marksFile, nil
		return nil
	})
}

// noMarks takes the cloth to lie as its count says, square to the machine.
func (b *bench) noMarks() error {
	return b.change(func(j *task) error { j.settings.Marks = ""; return nil })
}

// notKept says that marks are not in the folder, for what cause.
func notKept(err error) string { return "It is not kept in the job's folder: " + sentence(err) }

// goesOnWith says of marks that were taken before that they are there.
func goesOnWith(marks []cloth.Mark) string {
	of := "The mark that was taken before is"
	if n := len(marks); n > 1 {
		of = fmt.Sprintf("The %d marks that were taken before are", n)
	}
	return of + " gone on with. Where the cloth was moved since, take them again, or remove them."
}
