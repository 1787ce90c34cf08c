package scan

import (
	"math"

	"weftplot/paths"
)

const degree = math.Pi / 180

// turn returns the angle between two directions, in [0, π].
func turn(u, v paths.Point) float64 { return math.Abs(turnOf(u, v)) }

// rotated returns d turned to the left by a radians.
func rotated(d paths.Point, a float64) paths.Point {
	sin, cos := math.Sincos(a)
	return paths.Point{X: d.X*cos - d.Y*sin, Y: d.X*sin + d.Y*cos}
}

// turnOf returns the turn from u to v, positive from the x axis towards the y
// axis.
func turnOf(u, v paths.Point) float64 { return math.Atan2(u.Cross(v), u.Dot(v)) }
