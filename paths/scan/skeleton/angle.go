package skeleton

import (
	"math"

	"weftplot/paths"
)

const degree = math.Pi / 180

// turn returns the angle between two directions, in [0, π].
func turn(u, v paths.Point) float64 { return math.Abs(math.Atan2(u.Cross(v), u.Dot(v))) }
