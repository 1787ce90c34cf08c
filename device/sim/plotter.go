package sim

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/plot/motion"
	"weftplot/profiles"
)

// HPGL is a pen plotter that reads HP-GL, or HP-GL/2, and the device-control
// sequences of the HP 7470A Interfacing and Programming Manual, chapter 10: ESC
// . and a letter, acted on at once and not buffered.
type HPGL struct {
	m       profiles.Machine
	g       *gantry
	h       parser
	control control
	speed   float64 // mm/s, as VS set it

	end     paths.Point // where all queued motion ends, mm
	rx      []byte
	out     []byte
	pending string // an output instruction that is waiting for the motion to end
	status  int    // set by IN, cleared when it is asked for
}

// NewHPGL returns a plotter that has just been switched on.
func NewHPGL(m profiles.Machine) *HPGL {
	p := &HPGL{m: m, g: newGantry(motion.LimitsOf(m), plannerDepth), status: 8}
	p.h = newParser(p)
	p.control = newControl(p)
	return p
}

// TurnFeed makes it draw so many times as fast as it is told to, as a person may set
// at its panel. Travels go as before.
func (p *HPGL) TurnFeed(times float64) { p.g.turned = times }

// Output returns what was sent since it was last asked.
func (p *HPGL) Output() []byte {
	out := p.out
	p.out = nil
	return out
}

// Cloth returns what was drawn so far.
func (p *HPGL) Cloth() Cloth { return p.g.record() }

// Idle reports whether everything received was carried out.
func (p *HPGL) Idle() bool { return p.g.idle() && len(p.rx) == 0 && p.pending == "" }

// Next returns when the motion under way ends.
func (p *HPGL) Next() float64 { return p.g.next() }

// Advance lets time pass until t.
func (p *HPGL) Advance(t float64) { p.g.advanceTo(t, p.pump) }

// Receive handles a byte from the line.
func (p *HPGL) Receive(t float64, b byte) {
	p.Advance(t)
	if !p.control.take(b) {
		if len(p.rx) >= p.m.Serial.Buffer {
			p.g.cloth.Overruns++
			p.control.err = 16 // input buffer overflow
			return
		}
		p.rx = append(p.rx, b)
	}
	p.pump()
	p.control.flow()
}

// pump carries out what is in the buffer, as far as the planner has room.
func (p *HPGL) pump() {
	for {
		if p.pending != "" {
			if !p.g.idle() {
				break
			}
			p.reply(p.pending)
			p.pending = ""
		}
		if len(p.rx) == 0 || p.g.full() {
			break
		}
		b := p.rx[0]
		p.rx = p.rx[1:]
		p.h.take(b)
	}
	p.control.flow()
}

func (p *HPGL) free() int { return p.m.Serial.Buffer - len(p.rx) }

func (p *HPGL) say(s string) {
	p.out = append(p.out, s...)
}

// answer queues the reply to an output instruction: instructions before it are
// done first.
func (p *HPGL) answer(m string) { p.pending = m }

// reply answers an output instruction. Replies end in CR.
func (p *HPGL) reply(m string) {
	at := p.h.at
	switch m {
	case "OE":
		p.say(fmt.Sprintf("%d\r", p.h.err))
		p.h.err = noError
	case "OS": // 1 pen down, 8 initialised, 16 ready, 32 error: page 7-8
		s := 16 + p.status
		if p.g.down {
			s++
		}
		if p.h.err != noError {
			s += 32
		}
		p.status = 0
		p.say(fmt.Sprintf("%d\r", s))
	case "OA":
		down := 0
		if p.g.down {
			down = 1
		}
		p.say(fmt.Sprintf("%d,%d,%d\r", int(math.Round(at.X)), int(math.Round(at.Y)), down))
	case "OW":
		w := p.h.window
		p.say(fmt.Sprintf("%.0f,%.0f,%.0f,%.0f\r", w.Min.X, w.Min.Y, w.Max.X, w.Max.Y))
	case "OI":
		p.say("PRACTICE\r")
	case "OF": // plotter units a mm: page B-6
		p.say(fmt.Sprintf("%.0f,%.0f\r", 1/float64(p.m.HPGL.Unit), 1/float64(p.m.HPGL.Unit)))
	}
}

func (p *HPGL) refused(code int, m string) {
	if code == positionLimit {
		p.g.cloth.Alarms++
	}
	p.g.cloth.Errors = append(p.g.cloth.Errors, fmt.Sprintf("error %d in %q", code, m))
}

// onCloth returns where plotter units lie, mm.
func (p *HPGL) onCloth(q paths.Point) paths.Point {
	u := float64(p.m.HPGL.Unit)
	if p.m.HPGL.Swap { // its own x points away from the front
		q.X, q.Y = q.Y, q.X
	}
	return paths.Point{X: q.X * u * p.m.Calib.Scale[0], Y: q.Y * u * p.m.Calib.Scale[1]}
}

// moveTo draws or travels. A place out of reach is an error, and the pen does
// not move.
func (p *HPGL) moveTo(from, to paths.Point, down bool) {
	a, b := p.onCloth(from), p.onCloth(to)
	slack := float64(p.m.HPGL.Unit)
	reach := p.m.Reach()
	if b.X < reach.Min.X-slack || b.Y < reach.Min.Y-slack || b.X > reach.Max.X+slack || b.Y > reach.Max.Y+slack {
		p.h.fail(positionLimit, p.h.mnem)
		p.g.pen(false, p.g.lim.UpTime)
		p.h.lost = true
		return
	}
	if p.h.lost { // it continues at the first place that it can reach
		p.h.lost = false
		a = p.end
		down = false
	}
	feed := p.g.lim.Travel
	if down {
		p.g.cloth.MaxFeed = max(p.g.cloth.MaxFeed, min(p.speed, 381))
		feed = p.g.drawAt(p.speed)
	}
	p.end = b
	p.g.move(paths.Line{A: a, B: b}, feed)
	if p.h.down && !p.g.downAtEnd() {
		p.pen(true)
	}
}

func (p *HPGL) pen(down bool) {
	if down {
		p.g.pen(true, p.g.lim.DownTime)
	} else {
		p.g.pen(false, p.g.lim.UpTime)
	}
}

// Home does what a person does at a plotter that has lost its place: it lifts
// the pen, and switches the plotter off and on.
func (p *HPGL) Home() {
	p.g.abandon()
	p.g.lifted()
	p.g.at, p.end, p.g.still = paths.Point{}, paths.Point{}, math.Inf(1)
	p.rx, p.out, p.pending, p.status = nil, nil, "", 8
	p.h = newParser(p)
	p.control = newControl(p)
}
