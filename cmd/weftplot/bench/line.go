package bench

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"

	"github.com/natefinch/atomic"

	"weftplot/device"
	"weftplot/device/sim"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/svg"
	"weftplot/plot"
	"weftplot/profiles"
)

// simPort is the name of the built-in simulated plotter as a port, simMachine
// the machine that it is, and simFactor how many times faster than life it runs.
const (
	simPort    = "sim"
	simMachine = "practice"
	simFactor  = 60
)

// line is an open line to a machine, or to the simulated plotter.
type line struct {
	device.Port
	server *sim.Server // nil for a real machine
	cloth  *cloth      // the simulated plotter's; nil for a real machine
}

// openLine opens a port by name. A machine that is only simulated is not to be
// found on a real port.
func openLine(port string, m profiles.Machine, c *cloth) (*line, error) {
	if port != simPort {
		if m.Name == simMachine {
			return nil, fault.Bad("port", "choose the port sim to learn on, or the machine that is on this port", "machine %s is only simulated, and %s is a real port", m.Name, port)
		}
		p, err := device.Open(port, m.Serial)
		if err != nil {
			return nil, err
		}
		return &line{Port: p}, nil
	}
	server, err := sim.Serve(m, simFactor)
	if err != nil {
		return nil, err
	}
	p, err := server.Open()
	if err != nil {
		server.Close()
		return nil, err
	}
	return &line{Port: p, server: server, cloth: c}, nil
}

// Close hangs up, and switches the simulated plotter off. Its cloth is kept.
func (l *line) Close() error {
	err := l.Port.Close()
	if l.server != nil {
		if e := l.keepCloth(); err == nil {
			err = e
		}
		l.server.Close()
	}
	return err
}

// keepCloth writes down what the simulated plotter has drawn so far.
func (l *line) keepCloth() error {
	if l.server == nil || l.cloth == nil {
		return nil
	}
	return l.cloth.keep(l.server.Cloth().Strokes())
}

// cloth is the simulated plotter's cloth, kept in the job folder: it outlives
// the program, as real cloth does.
type cloth struct {
	file   string
	reach  paths.Rect     // the machine's: the page of the file
	before []paths.Stroke // drawn by earlier runs
	kept   int            // strokes of this run in the file
}

// clothFile is the name of the file of the simulated plotter's cloth.
const clothFile = "cloth.svg"

// newCloth puts an empty cloth under the simulated pen.
func newCloth(dir string, reach paths.Rect) *cloth {
	c := &cloth{file: filepath.Join(dir, clothFile), reach: reach}
	_ = os.Remove(c.file) // there may be none
	return c
}

// sameCloth takes the cloth that lies there.
func sameCloth(dir string, reach paths.Rect) (*cloth, error) {
	c := &cloth{file: filepath.Join(dir, clothFile), reach: reach}
	data, err := os.ReadFile(c.file)
	if os.IsNotExist(err) {
		return c, nil
	}
	if err != nil {
		return nil, err
	}
	d, err := svg.Read(c.file, data, svg.Options{})
	if err != nil && len(d.Notes) == 0 {
		return nil, err
	}
	for _, s := range d.Strokes() {
		c.before = append(c.before, s.Transform(paths.Translate(reach.Min)))
	}
	return c, nil
}

// keep writes the cloth with the strokes of this run.
func (c *cloth) keep(now []paths.Stroke) error {
	if len(now) == c.kept {
		return nil
	}
	layer := paths.Layer{Name: "drawn on the simulated plotter's cloth"}
	for _, s := range append(append([]paths.Stroke{}, c.before...), now...) {
		if len(s) > 0 {
			layer.Strokes = append(layer.Strokes, paths.DesignStroke{Stroke: s})
		}
	}
	data := svg.Write(paths.Design{Name: clothFile, HasSize: true, Page: c.reach, Layers: []paths.Layer{layer}})
	if err := atomic.WriteFile(c.file, bytes.NewReader(data)); err != nil {
		return fmt.Errorf("the simulated cloth cannot be kept: %w", err)
	}
	c.kept = len(now)
	return os.Chmod(c.file, 0o644)
}

// compared says in a sentence how what lies on the simulated cloth agrees with
// what was asked. Lines that were drawn in parts, after a hold, count as whole
// where the parts meet.
func (l *line) compared(j *plot.Job) string {
	if l.server == nil || l.cloth == nil {
		return ""
	}
	var want []paths.Stroke
	within := float64(j.Settings.Tolerance)
	for _, r := range j.Runs {
		if r.Asked == nil {
			return "" // a blade's holder goes other ways than its line
		}
		want = append(want, r.Asked...)
	}
	got := append(append([]paths.Stroke{}, l.cloth.before...), l.server.Cloth().Strokes()...)
	tol := max(within, 0.05) + j.Inputs.Machine.Step()
	rep := sim.Compare(want, got, tol)
	if rep.Same() {
		return fmt.Sprintf("On the simulated plotter's cloth all %d lines lie as asked, none off by more than %.2f mm.", rep.Wanted, rep.Deviation)
	}
	// What was held or broke off, and was taken up again, lies there in parts.
	missing, extra := 0, 0
	for _, i := range rep.Missing {
		if !covered(want[i], got, tol) {
			missing++
		}
	}
	for _, i := range rep.Extra {
		if !covered(got[i], want, tol) {
			extra++
		}
	}
	if missing+extra > 0 {
		return fmt.Sprintf("The simulated plotter's cloth differs from what was asked: of %d lines %d are not all there, and %d are there that were not asked.", rep.Wanted, missing, extra)
	}
	return fmt.Sprintf("On the simulated plotter's cloth all %d lines lie as asked, some in parts, none off by more than %.2f mm.", rep.Wanted, tol)
}

// covered reports whether every place of a stroke lies within tol of one of the
// others. Places are looked at every half millimetre.
func covered(s paths.Stroke, by []paths.Stroke, tol float64) bool {
	var near [][]paths.Point
	box := s.Bounds().Grow(tol)
	for _, k := range by {
		b := k.Bounds()
		if b.Min.X <= box.Max.X && b.Max.X >= box.Min.X && b.Min.Y <= box.Max.Y && b.Max.Y >= box.Min.Y {
			near = append(near, k.Flatten(tol/4))
		}
	}
	pts := s.Flatten(tol / 4)
	for i := range pts {
		a, b := pts[max(0, i-1)], pts[i]
		n := max(1, int(a.Dist(b)/0.5))
		for k := 1; k <= n; k++ {
			if !touched(a.Add(b.Sub(a).Mul(float64(k)/float64(n))), near, tol*1.25) {
				return false
			}
		}
	}
	return true
}

// touched reports whether a polyline passes within tol of p.
func touched(p paths.Point, lines [][]paths.Point, tol float64) bool {
	for _, l := range lines {
		for i := range l {
			a, b := l[max(0, i-1)], l[i]
			d := b.Sub(a)
			t := 0.0
			if q := d.X*d.X + d.Y*d.Y; q > 0 {
				t = min(1, max(0, ((p.X-a.X)*d.X+(p.Y-a.Y)*d.Y)/q))
			}
			if p.Dist(a.Add(d.Mul(t))) <= tol {
				return true
			}
		}
	}
	return false
}
