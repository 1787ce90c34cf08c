package finding

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
)

// Renumbered returns the threads of a load with the places that they have in the drawing as
// its ink lies on the cloth. Ink that was drawn by the nominal count lies shifted and turned
// on the threads, so a thread does not carry the place of the drawing that has its number.
// The threads alone tell how the cloth bends where there is no ink, and the ink tells where
// the drawing lies on it.
//
// Threads beside the ink, nearer than this share of the width and of the height of all marks,
// are left out: there the ink itself is the guide. Lean is by how much, as
// a share, the drawing may lean and stretch on the threads. The options are those of the
// load's fit.
// It returns an error where the threads do not determine how the cloth lies.
func Renumbered(ink, threads []cloth.Mark, beside, lean float64, opt cloth.FitOptions) ([]cloth.Mark, error) {
	opt.Beyond, opt.Over = true, nil
	lies, err := cloth.Fit(threads, opt)
	if err != nil {
		return nil, err
	}
	var drawn, on []weave.Place // where ink is in the drawing, and on which threads
	for _, m := range ink {
		p, ok := placeAt(lies, m.At, m.Place)
		if !ok {
			return nil, fault.Bad("", "find it again", "the ink at %.0f across and %.0f along lies beyond the threads", m.Place.Across, m.Place.Along)
		}
		drawn, on = append(drawn, m.Place), append(on, p)
	}
	number := straightMap(on, drawn, lean)
	var out []cloth.Mark
	box := boundsOf(ink, threads)
	for _, m := range threads {
		if !near(m.Place, on, beside*box.Width(), beside*box.Height()) {
			out = append(out, cloth.Mark{Place: number(m.Place), At: m.At})
		}
	}
	return out, nil
}

// boundsOf returns the bounds of the places of marks, in channels.
func boundsOf(lists ...[]cloth.Mark) paths.Rect {
	box := paths.EmptyRect()
	for _, marks := range lists {
		for _, m := range marks {
			box = box.Include(paths.Point{X: m.Place.Across, Y: m.Place.Along})
		}
	}
	return box
}

// near reports whether a place is nearer to one of the others than so many channels across
// and along.
func near(p weave.Place, others []weave.Place, across, along float64) bool {
	for _, q := range others {
		if math.Abs(p.Across-q.Across) < across && math.Abs(p.Along-q.Along) < along {
			return true
		}
	}
	return false
}

// placeAt returns which place of the weave lies at a point of the machine, by Newton's
// method from a place near it; false where it does not settle.
func placeAt(r cloth.Registration, at paths.Point, near weave.Place) (weave.Place, bool) {
	const (
		step   = 0.5  // channels, for the slope
		close  = 1e-6 // mm
		rounds = 40
	)
	p := near
	for range rounds {
		here := r.Point(p)
		d := at.Sub(here)
		if d.Len() < close {
			return p, true
		}
		across := r.Point(weave.Place{Across: p.Across + step, Along: p.Along}).Sub(here).Mul(1 / step)
		along := r.Point(weave.Place{Across: p.Across, Along: p.Along + step}).Sub(here).Mul(1 / step)
		det := across.Cross(along)
		if det == 0 || math.IsNaN(det) {
			return p, false
		}
		p.Across += d.Cross(along) / det
		p.Along += across.Cross(d) / det
	}
	return p, false
}

// straightMap returns the map from places to others that keeps straight lines straight and
// fits best by ridge regression (Hoerl and Kennard 1970): one that leans or stretches by more
// than the share given is unlikely, so that few ink points close together do not turn a load.
func straightMap(from, to []weave.Place, lean float64) func(weave.Place) weave.Place {
	const noise = 0.1 // channels: a point is found to 0.2 mm (common practice)
	var x, y, dx, dy float64
	n := float64(len(from))
	for i, p := range from {
		x, y = x+p.Across/n, y+p.Along/n
		dx, dy = dx+(to[i].Across-p.Across)/n, dy+(to[i].Along-p.Along)/n
	}
	xx, xy, yy := noise*noise/lean/lean, 0., noise*noise/lean/lean
	var bx, by [2]float64 // the right sides of the normal equations, of across and of along
	for i, p := range from {
		u, v := p.Across-x, p.Along-y
		xx, xy, yy = xx+u*u, xy+u*v, yy+v*v
		ex, ey := to[i].Across-p.Across-dx, to[i].Along-p.Along-dy
		bx[0], bx[1] = bx[0]+u*ex, bx[1]+v*ex
		by[0], by[1] = by[0]+u*ey, by[1]+v*ey
	}
	det := xx*yy - xy*xy
	solve := func(b [2]float64) (float64, float64) {
		return (b[0]*yy - b[1]*xy) / det, (b[1]*xx - b[0]*xy) / det
	}
	ax, bX := solve(bx)
	ay, bY := solve(by)
	return func(p weave.Place) weave.Place {
		u, v := p.Across-x, p.Along-y
		return weave.Place{Across: p.Across + dx + ax*u + bX*v, Along: p.Along + dy + ay*u + bY*v}
	}
}
