package sim

import (
	"bytes"
	"math"

	"weftplot/paths"
)

// alarm stops the machine at once and reports an alarm.
func (c *Controller) alarm() {
	c.g.abandon()
	c.alarmed = true
	c.waiting, c.pausing, c.paused = false, false, false
	c.g.cloth.Alarms++
	c.say(numbered(c.speech.Alarm, 1))
}

// reset empties the queue and stops the spindle. A machine that is interrupted
// during motion no longer knows where it is.
func (c *Controller) reset() {
	lost := c.g.abandon()
	at, act := c.counted(), c.state.act
	act.z = c.height()
	c.boot()
	c.state.at, c.state.act = at, actuator{z: act.z, spindle: 5}
	if act.spindle != 5 && !c.lift.isDown(c.state.act) {
		c.g.pen(false, c.lift.upTime)
	}
	c.alarmed = lost
	if lost {
		c.g.cloth.Alarms++
		c.say(numbered(c.speech.Alarm, 2))
	}
}

// Restart makes the machine lose everything that it held, as when its power
// fails for a moment. It then counts from where it is, and the pen stays down
// or up.
func (c *Controller) Restart() {
	c.g.abandon()
	c.slip = c.g.place()
	c.alarmed = false
	c.boot()
}

// AlarmStop stops the machine at once, as a limit switch does.
func (c *Controller) AlarmStop() { c.alarm() }

// Home does what a person does at a machine that has lost its place: it lifts
// the pen by hand, brings the machine home and clears its alarm.
func (c *Controller) Home() {
	c.g.abandon()
	c.g.lifted()
	c.g.at, c.slip, c.alarmed = paths.Point{}, paths.Point{}, false
	c.g.still = math.Inf(1)
	c.boot()
	c.state.act = c.lift.up
	c.out = nil
}

// counted returns the place that the machine counts.
func (c *Controller) counted() paths.Point {
	p := c.g.place().Sub(c.slip)
	k := c.m.Calib.Scale
	return paths.Point{X: p.X / k[0], Y: p.Y / k[1]}
}

// status sends a report: the state and the position.
func (c *Controller) status() {
	words := c.speech.States.Idle
	switch {
	case c.alarmed:
		words = c.speech.States.Alarm
	case c.g.held || c.g.stopping || c.paused:
		words = c.speech.States.Held
	case !c.g.idle() || c.waiting || bytes.IndexByte(c.rx, '\n') >= 0:
		words = c.speech.States.Moving
	}
	p := c.counted()
	c.say(c.speech.report(words, clean(p.X), clean(p.Y), c.height()))
}

// height returns the height of Z.
func (c *Controller) height() float64 {
	if c.g.down {
		return c.lift.down.z
	}
	return c.lift.up.z
}

// clean turns a negative zero into zero.
func clean(v float64) float64 {
	if math.Abs(v) < 0.0005 {
		return 0
	}
	return v
}
