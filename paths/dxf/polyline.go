package dxf

import (
	"weftplot/paths"
)

// polyline is a run of lines and arcs on a plane, or of lines in space.
type polyline struct {
	plane   space
	closed  bool
	inSpace bool // its vertices are in world coordinates
	framed  bool // its control frame is among the vertices
	pts     []vec
	bulges  []float64
}

// Bits of the flags of a polyline and of a vertex.
const (
	polyClosed  = 1
	polySplined = 4
	polyInSpace = 8
	polyMesh    = 16 | 64
	vertexFrame = 16
)

func (p *polyline) count() int { return len(p.pts) }

// buildLightPolyline reads the polyline that holds its vertices itself. A bulge
// belongs to the vertex before it.
func buildLightPolyline(e *record) body {
	p := &polyline{closed: e.whole(70, 0)&polyClosed != 0}
	p.plane = moved(vec{z: e.float(38, 0)}).then(planeOf(normalOf(e)))
	n := e.times(10)
	p.pts, p.bulges = make([]vec, 0, n), make([]float64, 0, n)
	for _, g := range e.groups {
		n := len(p.pts)
		switch {
		case g.code == 10:
			p.pts, p.bulges = append(p.pts, vec{x: e.number(g)}), append(p.bulges, 0)
		case n == 0:
		case g.code == 20:
			p.pts[n-1].y = e.number(g)
		case g.code == 42:
			p.bulges[n-1] = e.number(g)
		}
	}
	return p
}

// buildPolyline reads the head of a polyline whose vertices follow; a mesh is
// not drawn.
func buildPolyline(e *record) body {
	flags := e.whole(70, 0)
	if flags&polyMesh != 0 {
		return nil
	}
	p := &polyline{closed: flags&polyClosed != 0, inSpace: flags&polyInSpace != 0, framed: flags&polySplined != 0}
	p.plane = identity()
	if !p.inSpace {
		p.plane = moved(vec{z: e.float(30, 0)}).then(planeOf(normalOf(e)))
	}
	return p
}

// vertex adds a vertex, but not one of the control frame of a curve.
func (p *polyline) vertex(e *record) {
	if p.framed && e.whole(70, 0)&vertexFrame != 0 {
		return
	}
	v, bulge := e.vec(10), e.float(42, 0)
	if !p.inSpace {
		v.z = 0
	} else {
		bulge = 0
	}
	p.pts, p.bulges = append(p.pts, v), append(p.bulges, bulge)
}

func (p *polyline) draw(d *draught, m space) {
	if p.inSpace {
		pts := p.pts
		if p.closed && len(pts) > 1 {
			pts = append(pts[:len(pts):len(pts)], pts[0])
		}
		if len(pts) > 0 {
			chain(pts).draw(d, m)
		}
		return
	}
	onPage := p.plane.then(m).fromAbove()
	n := len(p.pts)
	for i, v := range p.pts {
		j := i + 1
		if j == n {
			if !p.closed {
				break
			}
			j = 0
		}
		a, b := v.fromAbove(), p.pts[j].fromAbove()
		if a == b {
			continue
		}
		// The bulge is the tangent of a quarter of the angle, positive
		// counter-clockwise.
		d.add(paths.ArcBulge(a, b, p.bulges[i]).Transform(onPage)...)
	}
}
