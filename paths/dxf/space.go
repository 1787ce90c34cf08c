package dxf

import (
	"math"

	"weftplot/paths"
)

// vec is a point or a direction in space.
type vec struct{ x, y, z float64 }

func (a vec) add(b vec) vec          { return vec{a.x + b.x, a.y + b.y, a.z + b.z} }
func (a vec) mul(k float64) vec      { return vec{a.x * k, a.y * k, a.z * k} }
func (a vec) cross(b vec) vec        { return vec{a.y*b.z - a.z*b.y, a.z*b.x - a.x*b.z, a.x*b.y - a.y*b.x} }
func (a vec) len() float64           { return math.Hypot(math.Hypot(a.x, a.y), a.z) }
func (a vec) fromAbove() paths.Point { return paths.Point{X: a.x, Y: a.y} }

// unit returns a with length 1; a zero vector stays.
func (a vec) unit() vec {
	// Scaled first, as the square of a tiny or huge length is out of range.
	k := max(math.Abs(a.x), math.Abs(a.y), math.Abs(a.z))
	if k == 0 {
		return a
	}
	a = a.mul(1 / k)
	return a.mul(1 / a.len())
}

// space is an affine map in space: where the three unit steps lead, and where
// the origin goes.
type space struct{ x, y, z, o vec }

func identity() space { return scaled(vec{1, 1, 1}) }

func scaled(k vec) space { return space{x: vec{x: k.x}, y: vec{y: k.y}, z: vec{z: k.z}} }

func moved(d vec) space {
	m := identity()
	m.o = d
	return m
}

// turned turns about the z axis by an angle in degrees.
func turned(degrees float64) space {
	sin, cos := turn(degrees)
	return space{x: vec{cos, sin, 0}, y: vec{-sin, cos, 0}, z: vec{z: 1}}
}

// turn returns sine and cosine of an angle in degrees, exact at quarter turns.
func turn(degrees float64) (sin, cos float64) {
	switch math.Mod(degrees, 360) {
	case 0:
		return 0, 1
	case 90, -270:
		return 1, 0
	case 180, -180:
		return 0, -1
	case 270, -90:
		return -1, 0
	}
	return math.Sincos(math.Mod(degrees, 360) * math.Pi / 180)
}

func (m space) apply(p vec) vec { return m.dir(p).add(m.o) }

// dir returns the image of a direction.
func (m space) dir(p vec) vec { return m.x.mul(p.x).add(m.y.mul(p.y)).add(m.z.mul(p.z)) }

// then returns the map that applies m first and n second.
func (m space) then(n space) space {
	return space{n.dir(m.x), n.dir(m.y), n.dir(m.z), n.apply(m.o)}
}

// fromAbove returns what m does to the plane z = 0 as it is seen from above.
func (m space) fromAbove() paths.Affine {
	return paths.Affine{A: m.x.x, B: m.x.y, C: m.y.x, D: m.y.y, E: m.o.x, F: m.o.y}
}

// planeOf returns the frame of an entity that lies in a plane of its own, given
// by the direction of its normal: the arbitrary axis rule of the DXF reference.
// A normal without length gives the world's frame.
func planeOf(normal vec) space {
	if normal == (vec{}) || normal.x == 0 && normal.y == 0 && normal.z > 0 {
		return identity()
	}
	const limit = 1. / 64
	n := normal.unit()
	x := vec{z: 1}.cross(n)
	if math.Abs(n.x) < limit && math.Abs(n.y) < limit {
		x = vec{y: 1}.cross(n)
	}
	x = x.unit()
	return space{x: x, y: n.cross(x).unit(), z: n}
}
