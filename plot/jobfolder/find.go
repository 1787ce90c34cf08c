package jobfolder

import (
	"fmt"
	"math"
	"path/filepath"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/label"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
	"weftplot/paths/weave/cloth/search"
	"weftplot/plot/disk"
	"weftplot/plot/job"
	"weftplot/profiles"
)

// A LoadToFind is a load of a rug that is drawn in several, whose points are to be found on
// the cloth. Places are counted from the lower left corner of the whole rug, as drawn.
type LoadToFind struct {
	N, Of int // its number from 1, and how many there are
	search.Load
	Grid    weave.Grid // nominal
	Fit     cloth.FitOptions
	Machine profiles.Machine
}

// ReadLoad reads what is to be found for a load of a job folder, whose number is from 1. A
// folder of another kind, or a load that is not there or has nothing to be found, is a
// [fault.Input].
func (p Place) ReadLoad(dir string, n int) (LoadToFind, error) {
	m, err := readManifest(p.Path(dir))
	if err != nil {
		return LoadToFind{}, err
	}
	if err := m.belong(p.Path(dir)); err != nil {
		return LoadToFind{}, err
	}
	out := LoadToFind{N: n, Of: len(m.Loads)}
	name := filepath.Join(dir, "job.toml")
	data, err := p.Read(name, disk.MaxText)
	if err != nil {
		return out, err
	}
	s, err := job.ParseSettings(name, data)
	if err != nil {
		return out, err
	}
	switch {
	case !s.Panels || out.Of < 2:
		return out, fault.Bad(dir, "take the marks of a rug that is drawn at once without [load]", "the job in this folder is not drawn in several loads")
	case n < 1 || n > out.Of:
		return out, fault.Bad("load", fmt.Sprintf("loads are numbered from 1 to %d", out.Of), "there is no load %d", n)
	case len(m.Loads[n-1].Points) == 0:
		return out, fault.Bad(dir, "prepare the job again", "no points of load %d are listed", n)
	}
	if err := out.read(p, dir, s); err != nil {
		return out, err
	}
	return out, out.take(m, dir)
}

// take fills in what the report says of the load.
func (l *LoadToFind) take(m manifest, dir string) error {
	e := m.Loads[l.N-1]
	for _, at := range e.Points {
		l.Points = append(l.Points, search.Point{Name: label.Clean(at.Name, label.Line), Place: weave.Place{Across: at.Across, Along: at.Along}})
	}
	for _, at := range e.Points {
		if at.LooseMM > 0 {
			l.Fit.Loose = append(l.Fit.Loose, cloth.Loose{Place: weave.Place{Across: at.Across, Along: at.Along}, By: at.LooseMM})
		}
	}
	corner, grid := paths.Point{X: e.AtMM[0], Y: e.AtMM[1]}, l.Grid
	l.At = func(p weave.Place) paths.Point { return corner.Add(grid.At(p)) }
	for _, j := range m.Joints {
		if j.Loads[1] == l.N {
			l.Meets = append(l.Meets, cloth.Passage{
				Place: weave.Place{Across: j.AtChannels[0], Along: j.AtChannels[1]},
				Along: l.Grid.PlaceOf(paths.Point{X: j.Direction[0], Y: j.Direction[1]}),
			})
		}
	}
	if e.Box != [4]float64{} { // a report of before there was one has none
		l.Over = search.Over(l.Grid.PlaceOf(paths.Point{X: e.Box[0], Y: e.Box[1]}), l.Grid.PlaceOf(paths.Point{X: e.Box[2], Y: e.Box[3]}))
	}
	l.Fit.Over = l.Over
	lo, hi := l.Grid.PlaceOf(paths.Point{X: e.Window[0], Y: e.Window[1]}), l.Grid.PlaceOf(paths.Point{X: e.Window[2], Y: e.Window[3]})
	l.Fit.From, l.Fit.Extent = lo, weave.Place{Across: hi.Across - lo.Across, Along: hi.Along - lo.Along}
	if !(l.Fit.Extent.Across > 0 && l.Fit.Extent.Along > 0 && math.Abs(lo.Across)+math.Abs(lo.Along) < 1e6) {
		return fault.Bad(dir, "prepare the job again", "the report does not say what load %d is", l.N)
	}
	return nil
}

// read fills in what the job's own settings and profiles say.
func (l *LoadToFind) read(p Place, dir string, s job.Settings) error {
	count, err := paths.ParseCount(s.Count)
	if err != nil {
		return fault.At("count", err)
	}
	if l.Grid, err = weave.NewGrid(count); err != nil {
		return err
	}
	l.Fit = cloth.FitOptions{Model: s.Fit, Expect: count, Beyond: true}
	l.Machine, err = job.MachineOf(Place(p.Path(dir)).Read, s)
	return err
}
