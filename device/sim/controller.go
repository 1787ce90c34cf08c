package sim

import (
	"bytes"
	"fmt"

	"weftplot/paths"
	"weftplot/plot/motion"
	"weftplot/profiles"
)

// Plotter is a simulated machine at the end of a line. Times are s since it was
// switched on and never go back.
type Plotter interface {
	// Receive handles a byte that arrives at time t.
	Receive(t float64, b byte)
	// Next returns the time of its next event, +Inf if it does nothing until a
	// byte arrives.
	Next() float64
	// Advance lets time pass until t.
	Advance(t float64)
	// Output returns what it has sent since it was last asked.
	Output() []byte
	// Idle reports whether it has carried out everything it was sent.
	Idle() bool
	// Cloth returns what was drawn so far.
	Cloth() Cloth
}

// New returns the simulated plotter that m describes, just switched on.
func New(m profiles.Machine) Plotter {
	if m.Language == profiles.GCode {
		return NewController(m)
	}
	return NewHPGL(m)
}

// plannerDepth is how many moves ahead a plotter plans: common practice for
// small controllers.
const plannerDepth = 16

// longestLine is the most characters the simulated controller reads in a line;
// 70 to 80 is common practice.
const longestLine = 80

// Controller is a gantry whose controller acknowledges every line.
//
// It answers in the manner of its profile. A line is acknowledged when it is
// read and queued, or refused with a number. A dwell, a pause and the end of a
// program are answered when the motion before them has ended. Four bytes are
// acted on at once, take no room and are not acknowledged: one asks for a
// status report, one holds, one ends a hold, and one resets, which empties the
// queue. A reset during motion raises an alarm, and so does leaving the area:
// the machine has lost its place, and refuses all lines until it is reset.
type Controller struct {
	m      profiles.Machine
	g      *gantry
	lift   lifter
	state  state
	speech speech

	rx      []byte // the receive buffer
	out     []byte
	waiting bool // the last line will be answered when the motion has ended
	pausing bool // ... and someone has pressed resume
	paused  bool
	alarmed bool
	// slip is the distance of the machine from the place it counts.
	slip paths.Point
}

// NewController returns a machine that has just been switched on at its own
// 0,0, pen up, and has sent its greeting.
func NewController(m profiles.Machine) *Controller {
	c := &Controller{m: m, g: newGantry(motion.LimitsOf(m), plannerDepth), lift: newLifter(m), speech: newSpeech(m.Serial.Manner)}
	c.g.grace = c.lift.grace
	c.boot()
	c.state.act = c.lift.up
	return c
}

// boot starts the controller with nothing in memory.
func (c *Controller) boot() {
	c.state = newState(c.m.GCode.Waits)
	c.rx, c.waiting, c.pausing, c.paused = nil, false, false, false
	c.say(c.speech.greeting(c.m.Name))
}

// TurnFeed makes it draw so many times as fast as it is told to, as a person may set
// at its panel while it runs. Pen moves and travels go as before.
func (c *Controller) TurnFeed(times float64) { c.g.turned = times }

func (c *Controller) say(line string) {
	c.out = append(c.out, line...)
	c.out = append(c.out, lineEnd...)
}

// Output returns what was sent since it was last asked.
func (c *Controller) Output() []byte {
	out := c.out
	c.out = nil
	return out
}

// Cloth returns what was drawn so far.
func (c *Controller) Cloth() Cloth { return c.g.record() }

// Idle reports whether all lines were carried out.
func (c *Controller) Idle() bool { return c.g.idle() && len(c.rx) == 0 && !c.waiting && !c.paused }

// Next returns when the motion under way ends.
func (c *Controller) Next() float64 { return c.g.next() }

// Advance lets time pass until t.
func (c *Controller) Advance(t float64) { c.g.advanceTo(t, c.pump) }

// Receive handles a byte from the line.
func (c *Controller) Receive(t float64, b byte) {
	c.Advance(t)
	switch c.speech.signal(b) {
	case ask:
		c.status()
	case hold:
		c.g.hold()
	case goOn:
		c.g.resume()
		if c.paused {
			c.paused = false
			c.say(c.speech.Accepted)
		}
	case reset:
		c.reset()
	default:
		c.keep(b)
	}
	c.pump()
}

// keep puts a byte of a line into the buffer.
func (c *Controller) keep(b byte) {
	switch {
	case b == '\r':
	case len(c.rx) >= c.m.Serial.Buffer:
		c.g.cloth.Overruns++
	default:
		c.rx = append(c.rx, b)
	}
}

// pump carries out the lines that have arrived, as far as the planner has room.
func (c *Controller) pump() {
	for {
		if c.waiting && c.g.idle() {
			c.waiting = false
			if c.pausing {
				c.pausing, c.paused = false, true
			} else {
				c.say(c.speech.Accepted)
			}
		}
		end := bytes.IndexByte(c.rx, '\n')
		if c.waiting || c.paused || c.g.full() || end < 0 {
			return
		}
		line := string(c.rx[:end])
		c.rx = c.rx[end+1:]
		c.do(line)
	}
}

// do carries out one line and answers it, now or when the motion has ended.
func (c *Controller) do(line string) {
	if c.alarmed {
		c.refuse(line, locked)
		return
	}
	if len(line) > longestLine {
		c.refuse(line, badLine)
		return
	}
	before := c.state
	steps, code := c.state.run(line)
	if code == 0 {
		code = c.check(steps)
	}
	if code != 0 {
		c.state = before
		c.refuse(line, code)
		if code == tooFar {
			c.alarm()
		}
		return
	}
	for _, s := range steps {
		c.queue(s)
	}
	if !c.waiting {
		c.say(c.speech.Accepted)
	}
}

func (c *Controller) refuse(line string, code int) {
	said := numbered(c.speech.Refused, code)
	c.g.cloth.Errors = append(c.g.cloth.Errors, fmt.Sprintf("%s %q", said, line))
	c.say(said)
}

// check checks that all moves stay within the reach of the pen, to within half
// a step of the language. It returns an error number, or 0.
func (c *Controller) check(steps []step) int {
	reach := c.m.Reach()
	for _, s := range steps {
		if s.curve == nil {
			continue
		}
		for _, cv := range c.onCloth(s.curve, paths.Point{}) {
			b := cv.Bounds()
			const slack = 0.002
			if b.Min.X < reach.Min.X-slack || b.Min.Y < reach.Min.Y-slack || b.Max.X > reach.Max.X+slack || b.Max.Y > reach.Max.Y+slack {
				return tooFar
			}
		}
	}
	return 0
}

// onCloth returns a move as it lies on the cloth: with the machine's
// calibration and its slip applied.
func (c *Controller) onCloth(cv paths.Curve, slip paths.Point) []paths.Curve {
	k := c.m.Calib.Scale
	if k == [2]float64{1, 1} && slip == (paths.Point{}) {
		return []paths.Curve{cv}
	}
	return cv.Transform(paths.Scale(k[0], k[1]).Then(paths.Translate(slip)))
}

// queue passes a step to the gantry.
func (c *Controller) queue(s step) {
	switch {
	case s.curve != nil:
		down := c.g.downAtEnd()
		feed := c.state.feed
		if down && !s.rapid {
			c.g.cloth.MaxFeed = max(c.g.cloth.MaxFeed, feed)
		}
		feed = c.g.drawAt(feed)
		if s.rapid || !down {
			feed = c.g.lim.Travel
			if !s.rapid {
				feed = min(feed, c.state.feed)
			}
		}
		for _, cv := range c.onCloth(s.curve, c.slip) {
			c.g.move(cv, feed)
		}
	case s.act != nil:
		if c.lift.isDown(*s.act) {
			c.g.pen(true, c.lift.downTime)
		} else {
			c.g.pen(false, c.lift.upTime)
		}
	case s.stop == 0 || s.stop == 1:
		c.g.dwell(0)
		c.waiting, c.pausing = true, s.stop == 0
	case s.wait:
		c.g.dwell(s.dwell)
		c.waiting = true
	}
}
