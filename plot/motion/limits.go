// Package motion predicts how fast a plotter moves: from the limits of a
// machine it plans the velocity along every block of a program, and so gives
// the time of a job and the place of the pen at any instant.
//
// A machine runs through a chain of moves without stopping. It stops only for
// blocks that are not moves: lifting or lowering the pen, changing it, a dwell,
// a pause. Along the chain it changes speed at the machine's acceleration and
// no faster, its velocity jumps at a corner by no more than the machine allows,
// and on a curve the acceleration towards the centre stays within the same
// limit. Within these it goes as fast as it can: the textbook planner with
// look-ahead, one pass backward from the end of the chain and one forward from
// its start.
//
// It is not for sending: what a controller has accepted, and when it says so,
// is in package device. Cost: linear in the number of blocks, with a small
// quadrature for each cubic.
package motion

import (
	"math"

	"weftplot/paths"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// Limits are what a machine can do. All but Corner, UpTime, DownTime and Axes
// must be greater than 0.
type Limits struct {
	Draw, Travel     float64 // greatest speed pen down and pen up, mm/s
	Accel            float64 // greatest acceleration along the path and across it, mm/s²
	Corner           float64 // greatest jump of the velocity at a corner, mm/s
	UpTime, DownTime float64 // time to lift and to lower the pen, s
	// Axes are the greatest speeds of x and of y alone, mm/s; 0 for no limit.
	Axes [2]float64
}

// LimitsOf returns the limits in the profile of a machine.
func LimitsOf(m profiles.Machine) Limits {
	l := Limits{
		Draw: float64(m.Speed.Draw), Travel: float64(m.Speed.Travel),
		Accel: float64(m.Speed.Accel), Corner: float64(m.Speed.Corner),
		UpTime: float64(m.Lift.UpTime), DownTime: float64(m.Lift.DownTime),
	}
	for i, v := range m.Speed.Axes {
		l.Axes[i] = float64(v)
	}
	return l
}

// feed returns the greatest speed of a move of b, without regard to its shape.
func (l Limits) feed(b program.Block) float64 {
	v := l.Draw
	if b.Kind == program.Travel {
		v = l.Travel
	}
	if b.Feed > 0 {
		v = min(v, b.Feed)
	}
	return v
}

// onRadius returns the greatest speed on a curve of radius r: the acceleration
// towards its centre is v²/r.
func (l Limits) onRadius(r float64) float64 { return math.Sqrt(l.Accel * r) }

// atCorner returns the greatest speed at which the direction may jump from the
// unit vector in to the unit vector out; +Inf where it does not jump.
func (l Limits) atCorner(in, out paths.Point) float64 {
	jump := out.Sub(in).Len()
	if jump < smooth {
		return math.Inf(1)
	}
	return l.Corner / jump
}

// smooth is the change of direction in radians below which two curves are taken
// to join smoothly. A coordinate is rounded to a thousandth of a mm at best, so
// the direction of a move is not known any better.
const smooth = 1e-6
