package gcode

import (
	"fmt"

	"weftplot/paths"
)

// coordinates says where positions are counted from: NISTIR 6556, 3.2.2 and
// 3.5.14 to 3.5.18. Points are in mm as the machine counts.
type coordinates struct {
	system  int            // of the nine: 0 is G54, 8 is G59.3
	origins [9]paths.Point // as far as the program sets them
	shift   paths.Point    // what G92 adds
	kept    paths.Point    // what G92.3 brings back
}

func (c coordinates) point() paths.Point { return c.origins[c.system].Add(c.shift) }

// systems are the G words, in tenths, that choose a coordinate system.
var systems = [9]int{540, 550, 560, 570, 580, 590, 591, 592, 593}

// choose does G54 to G59.3.
func (r *reader) choose(g int) {
	for i, code := range systems {
		if code == g {
			r.zero.system = i
		}
	}
}

// once does a word of group 0, which is in force for its line only. It reports
// whether the line's coordinates are those of a motion all the same.
func (r *reader) once(g int) (moves bool, err error) {
	switch g {
	case 40:
		return true, nil
	case 530:
		if r.incremental {
			return false, fmt.Errorf("G53 stands where distances are incremental")
		}
		return true, nil
	case 100:
		return false, r.setOrigin()
	case 280, 300:
		r.goHome()
	case 920:
		r.setPosition()
	case 921:
		r.zero.shift, r.zero.kept = paths.Point{}, paths.Point{}
	case 922:
		r.zero.shift = paths.Point{}
	case 923:
		r.zero.shift = r.zero.kept
	}
	return false, nil
}

// setPosition does G92: the place where the pen is gets other coordinates.
func (r *reader) setPosition() {
	from := r.zero.origins[r.zero.system]
	if x, ok := r.w.get('X'); ok {
		r.zero.shift.X = r.at.X - from.X - x*r.unit
	}
	if y, ok := r.w.get('Y'); ok {
		r.zero.shift.Y = r.at.Y - from.Y - y*r.unit
	}
	if z, ok := r.w.get('Z'); ok {
		r.z, r.saidZ = z*r.unit, true
	}
	r.zero.kept = r.zero.shift
}

// setOrigin does G10 L2, which sets the origin of a coordinate system, and L20,
// which sets it so that the pen's place has the given coordinates (common
// practice).
func (r *reader) setOrigin() error {
	l, p := r.w.or('L', 0), r.w.or('P', 0)
	if l != 2 && l != 20 {
		r.doubt("unknown-word", "G10 L%g is not followed", l)
		return nil
	}
	if p != float64(int(p)) || p < 1 || p > 9 {
		return fmt.Errorf("G10 needs P from 1 to 9")
	}
	o := &r.zero.origins[int(p)-1]
	set := func(letter byte, where *float64, at, shift float64) {
		if v, ok := r.w.get(letter); ok && l == 2 {
			*where = v * r.unit
		} else if ok {
			*where = at - shift - v*r.unit
		}
	}
	set('X', &o.X, r.at.X, r.zero.shift.X)
	set('Y', &o.Y, r.at.Y, r.zero.shift.Y)
	return nil
}

// goHome does G28 and G30: by way of the position on the line to the machine's
// own home, which is taken to be at 0, 0, the axes that are named, or all when none is (common practice; by
// NISTIR 6556, 3.5.8, always all). With Z the pen is up from there on.
func (r *reader) goHome() {
	_, x := r.w.get('X')
	_, y := r.w.get('Y')
	_, z := r.w.get('Z')
	all := !x && !y && !z
	if z || all {
		r.lift(false)
		r.z, r.saidZ = homeHeight, true
	}
	motion := r.motion
	r.motion = 0
	defer func() { r.motion = motion }()
	by, _ := r.target()
	home := by
	if x || all {
		home.X = 0
	}
	if y || all {
		home.Y = 0
	}
	for _, to := range []paths.Point{by, home} {
		if c := r.straight(to); c != nil {
			r.along(c)
			r.at = to
		}
	}
}

// homeHeight is a height in mm at which the pen is up.
const homeHeight = 5
