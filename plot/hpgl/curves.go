package hpgl

import (
	"math"

	"weftplot/paths"
)

// toUser returns the map from plotter units to the coordinates that parameters
// are in.
func (r *reader) toUser() paths.Affine {
	if inv, ok := r.user.Inverse(); r.scaled && ok {
		return inv
	}
	return paths.Identity()
}

// fromUser returns a curve in the parameters' coordinates as curves in plotter
// units, with their ends put exactly where they belong. With uneven scaling an
// arc is an ellipse: PCL 5, 20-10.
func (r *reader) fromUser(c paths.Curve, from, to paths.Point) []paths.Curve {
	pieces := []paths.Curve{c}
	if r.scaled {
		pieces = c.Transform(r.user)
	}
	var out []paths.Curve
	for i, piece := range pieces {
		end := piece.End()
		if i == len(pieces)-1 {
			end = to
		}
		if piece = between(piece, from, end); piece != nil {
			out = append(out, piece)
			from = end
		}
	}
	return out
}

// arc does AA and AR: 7470A, 3-17 and 3-20. The sweep is in degrees,
// counter-clockwise above 0.
func (r *reader) arc(relative bool, p []float64) {
	if len(p) < 3 {
		r.doubt("missing-parameters", "an arc needs its centre and its angle")
		return
	}
	centre := r.place(p[0], p[1], relative)
	sweep := degrees(p[2])
	if sweep == 0 || centre == r.at || !r.inRange(centre) {
		return
	}
	from := r.at
	r.turn(centre, sweep)
	r.noteChords(p[3:], from.Dist(centre))
}

// degrees returns an angle of up to a whole turn in radians.
func degrees(d float64) float64 { return max(-360, min(360, d)) * math.Pi / 180 }

// turn draws or travels from where the pen is about a centre.
func (r *reader) turn(centre paths.Point, sweep float64) {
	inv := r.toUser()
	a := arcFrom(inv.Apply(r.at), inv.Apply(centre), sweep)
	to := r.at
	if math.Abs(sweep) < 2*math.Pi {
		to = a.To
		if r.scaled {
			to = r.user.Apply(a.To)
		}
	}
	for _, c := range r.fromUser(a, r.at, to) {
		r.along(c)
	}
}

// arcFrom returns the arc from a point about a centre. Its end is rounded to a
// millionth, so that quarter turns of whole numbers are whole.
func arcFrom(from, centre paths.Point, sweep float64) paths.Arc {
	d := from.Sub(centre)
	a := paths.ArcAround(centre, d.Len(), d.Angle(), sweep)
	a.From = from
	if math.Abs(sweep) >= 2*math.Pi {
		a.To = from
	} else {
		a.To = paths.Point{X: math.Round(a.To.X*1e6) / 1e6, Y: math.Round(a.To.Y*1e6) / 1e6}
	}
	return a
}

// noteChords tells when the plotter's own chords, five degrees unless given,
// stand off the arc by more than a twentieth of a mm.
func (r *reader) noteChords(p []float64, radius float64) {
	chord := 5.0
	if len(p) > 0 && p[0] != 0 {
		chord = min(180, math.Abs(p[0]))
	}
	if off := radius * r.unit.MeanScale() * (1 - math.Cos(chord*math.Pi/360)); off > 0.05 {
		r.notes.Once("coarse-arc", r.startLine, "the plotter draws this arc in chords of %g degrees, up to %.2f mm off", chord, off)
	}
}

// arcThrough does AT and RT: an arc through a point to another. With the start
// for its end it is a circle with the first point opposite; with all three on a
// line it is that line, unless the point in between is beyond its ends: PCL 5,
// 20-16 and 20-17.
func (r *reader) arcThrough(relative bool, p []float64) {
	if len(p) < 4 {
		r.doubt("missing-parameters", "an arc through three points needs two of them")
		return
	}
	middle, end := r.place(p[0], p[1], relative), r.place(p[2], p[3], relative)
	if !r.inRange(middle) || !r.inRange(end) {
		return
	}
	inv := r.toUser()
	a, b, c := inv.Apply(r.at), inv.Apply(middle), inv.Apply(end)
	in, out := b.Sub(a), c.Sub(b)
	switch side := in.Cross(out); {
	case end == r.at && middle != r.at:
		r.turn(r.at.Lerp(middle, 0.5), 2*math.Pi)
	case side == 0 && in.Dot(out) < 0:
		r.doubt("arc-gap", "an arc through points on a line, the middle one beyond the ends, is left out")
		down := r.down
		r.lift(false)
		r.lineTo(end)
		r.lift(down)
	case side == 0:
		r.lineTo(end)
	default:
		// The sweep is twice the turn at the middle point: inscribed angles.
		bulge := math.Tan(math.Atan2(side, in.Dot(out)) / 2)
		arc := paths.ArcBulge(a, c, bulge)
		for _, piece := range r.fromUser(arc, r.at, end) {
			r.along(piece)
		}
		if arc, ok := arc.(paths.Arc); ok {
			r.noteChords(p[4:], arc.Radius()*r.userScale())
		}
	}
}

// userScale returns how many plotter units there are to a unit of parameters.
func (r *reader) userScale() float64 {
	if r.scaled {
		return r.user.MeanScale()
	}
	return 1
}

// bezier does BZ and BR: Bezier curves of degree three one after the other, each
// with two control points and its end; BR counts them from where that curve
// starts: PCL 5, chapter 20 (from memory).
func (r *reader) bezier(relative bool, p []float64) {
	if len(p)%6 != 0 {
		r.doubt("odd-coordinates", "a Bezier curve lacks some of its three points and is left out")
	}
	for ; len(p) >= 6; p = p[6:] {
		b, c, d := r.place(p[0], p[1], relative), r.place(p[2], p[3], relative), r.place(p[4], p[5], relative)
		if !r.inRange(b) || !r.inRange(c) || !r.inRange(d) {
			return
		}
		if curve := (paths.Cubic{A: r.at, B: b, C: c, D: d}); curve.Length() > 0 {
			r.along(curve)
		}
	}
}

// circle does CI: the pen is at the centre, and returns there as it was; the
// sign of the radius picks the side it starts on: 7470A, 3-12. In a polygon it
// is a part by itself.
func (r *reader) circle(p []float64) {
	if len(p) == 0 || p[0] == 0 {
		return
	}
	centre, down := r.at, r.down
	start := r.place(p[0], 0, true)
	if start == centre || !r.inRange(start) {
		return
	}
	if r.inPolygon {
		r.polygon.close()
		r.at, r.down = start, true
		r.turn(centre, 2*math.Pi)
		r.polygon.close()
		r.at, r.down = centre, down
		return
	}
	r.lift(false)
	r.lineTo(start)
	r.lift(true)
	r.turn(centre, 2*math.Pi)
	r.noteChords(p[1:], start.Dist(centre))
	r.lift(false)
	r.lineTo(centre)
	r.lift(down)
}

// rectangle does the four of them: EA and ER draw the edge, RA and RR fill, of
// which the edge is shown. It is the polygon from then on.
func (r *reader) rectangle(fill, relative bool, p []float64) {
	if len(p) < 2 {
		r.doubt("missing-parameters", "a rectangle needs its corner")
		return
	}
	a := r.at
	c := r.place(p[0], p[1], relative)
	if !r.inRange(c) {
		return
	}
	b, d := paths.Point{X: c.X, Y: a.Y}, paths.Point{X: a.X, Y: c.Y}
	r.shape(fill, paths.Line{A: a, B: b}, paths.Line{A: b, B: c}, paths.Line{A: c, B: d}, paths.Line{A: d, B: a})
}

// wedge does EW and WG: a piece of a disc about the pen, by its radius, the angle
// where it starts and its sweep; a radius below 0 turns it half round: PCL 5,
// chapter 21 (from memory).
func (r *reader) wedge(fill bool, p []float64) {
	if len(p) < 3 {
		r.doubt("missing-parameters", "a wedge needs its radius and two angles")
		return
	}
	centre, sweep := r.at, degrees(p[2])
	u := r.toUser().Apply(centre)
	a := paths.ArcAround(u, p[0], math.Mod(p[1], 360)*math.Pi/180, sweep)
	from, to := a.From, a.To
	if r.scaled {
		from, to = r.user.Apply(from), r.user.Apply(to)
	}
	if p[0] == 0 || sweep == 0 || !r.inRange(from) || !r.inRange(to) {
		return
	}
	sides := r.fromUser(a, from, to)
	if math.Abs(sweep) < 2*math.Pi {
		sides = append(append([]paths.Curve{paths.Line{A: centre, B: from}}, sides...), paths.Line{A: to, B: centre})
	}
	r.shape(fill, sides...)
	r.noteChords(p[3:], from.Dist(centre))
}

// shape makes closed curves the polygon and draws its edge.
func (r *reader) shape(fill bool, sides ...paths.Curve) {
	if r.inPolygon {
		r.doubt("polygon-within", "rectangles and wedges have no place within a polygon")
		return
	}
	var p polygon
	for _, c := range sides {
		if c.Start() != c.End() || c.Length() > 0 {
			p.add(c, true)
		}
	}
	p.close()
	r.polygon = p
	r.edges(fill)
}
