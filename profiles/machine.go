package profiles

import (
	"fmt"
	"math"
	"strings"

	"weftplot/paths"
	"weftplot/paths/keyfile"
)

// Language is the name of a language that plotters read.
type Language string

// The languages that a machine profile can name.
const (
	GCode Language = "gcode" // RS-274 as small controllers read it
	HPGL  Language = "hpgl"  // HP-GL, of pen plotters
	HPGL2 Language = "hpgl2" // HP-GL/2, with encoded polylines
)

// Languages are all the languages.
var Languages = []Language{GCode, HPGL, HPGL2}

// Extension returns the ending of a program's file name, without the point.
func (l Language) Extension() string {
	if l == GCode {
		return "gcode"
	}
	return "hpgl"
}

// Flow is how a controller says that it can take more bytes.
type Flow string

const (
	LineAck    Flow = "line-ack"    // one reply for each line
	XonXoff    Flow = "xon-xoff"    // XON and XOFF characters stop and resume the sender
	SpaceQuery Flow = "space-query" // the controller is asked for its free bytes
	EnqAck     Flow = "enq-ack"     // the controller is asked whether a block fits
	NoFlow     Flow = "none"        // paced by the predicted time
)

// Flows are all the flow controls.
var Flows = []Flow{LineAck, XonXoff, SpaceQuery, EnqAck, NoFlow}

// Machine is a pen plotter. Positions are mm as the machine counts them.
type Machine struct {
	Name     string          `toml:"name"`
	About    string          `toml:"about"`
	Language Language        `toml:"language"`
	Area     [2]paths.Length `toml:"area"`   // reach of the pen, x and y
	Origin   string          `toml:"origin"` // "lower-left" or "centre": where it counts 0,0
	Park     [2]paths.Length `toml:"park"`   // where the pen goes at the end, in the machine frame
	Speed    SpeedLimits     `toml:"speed"`
	Lift     Lift            `toml:"lift"`
	Serial   Serial          `toml:"serial"`
	HPGL     Plotter         `toml:"hpgl"`
	GCode    Controller      `toml:"gcode"`
	Calib    Calibration     `toml:"calibration"`
	// WipeAt is where the lifted tip is wiped on a brush or a pad, in the
	// machine's coordinates; empty where a person wipes it.
	WipeAt []paths.Length `toml:"wipe_at"`
}

// SpeedLimits are the greatest speeds and acceleration of a machine. They are of
// the pen over the cloth, in true mm, like every position and feed in a program.
// The calibration's scale does not enter them; it is divided out only of the
// numbers that are written.
type SpeedLimits struct {
	Draw   paths.Speed `toml:"draw"`   // with the pen down
	Travel paths.Speed `toml:"travel"` // with the pen up
	Accel  paths.Accel `toml:"accel"`
	Corner paths.Speed `toml:"corner"` // greatest jump in velocity at a corner
	// Axes are the greatest speeds of x and of y alone; empty where neither
	// axis limits the speed of the pen.
	Axes []paths.Speed `toml:"axes"`
}

// Lift says how the pen goes up and down: program lines for G-code machines
// (the two HP-GL languages have their own instructions) and the time it takes.
type Lift struct {
	Up   []string `toml:"up"`   // program lines that lift it
	Down []string `toml:"down"` // program lines that lower it
	// Words are M words that move the pen of this machine, such as "M17", besides
	// those that do so by common practice.
	Words    []string       `toml:"words"`
	UpTime   paths.Duration `toml:"up_time"`   // time to lift
	DownTime paths.Duration `toml:"down_time"` // time to lower
}

// Serial is the machine's serial line. Characters have 8 data bits, no parity
// and one stop bit.
type Serial struct {
	Baud   int  `toml:"baud"` // bits a second
	Flow   Flow `toml:"flow"`
	Buffer int  `toml:"buffer"` // bytes the controller holds
	// Manner is how a controller of G-code answers. The HP-GL languages have
	// their own published handshakes and do not use it.
	Manner Manner `toml:"manner"`
}

// Calibration is the length drawn over the length asked for, in x and y; it is
// divided out when a program is written.
type Calibration struct {
	Scale [2]float64 `toml:"scale"`
}

// Reach returns the rectangle that the pen can reach, in the machine frame.
func (m Machine) Reach() paths.Rect {
	w, h := float64(m.Area[0]), float64(m.Area[1])
	if m.Origin == "centre" {
		return paths.Rect{Min: paths.Point{X: -w / 2, Y: -h / 2}, Max: paths.Point{X: w / 2, Y: h / 2}}
	}
	return paths.Rect{Max: paths.Point{X: w, Y: h}}
}

// ParkAt returns where the pen goes at the end.
func (m Machine) ParkAt() paths.Point {
	return paths.Point{X: float64(m.Park[0]), Y: float64(m.Park[1])}
}

// Wipe returns where the pen is wiped, and false where a person has to.
func (m Machine) Wipe() (paths.Point, bool) {
	if len(m.WipeAt) != 2 {
		return paths.Point{}, false
	}
	return paths.Point{X: float64(m.WipeAt[0]), Y: float64(m.WipeAt[1])}, true
}

// Step returns the finest step the machine's language writes, in mm: rounding
// moves a point by at most half of it on an axis.
func (m Machine) Step() float64 {
	if m.Language == GCode {
		return 0.001
	}
	return math.Ldexp(float64(m.HPGL.Unit), -m.FractionBits())
}

// Rounding returns how far the rounding of numbers moves a point at most, in true
// mm: half a step on both axes.
func (m Machine) Rounding() float64 {
	return m.Step() / 2 * math.Hypot(m.Calib.Scale[0], m.Calib.Scale[1])
}

// ParseMachine reads and validates the TOML text of a machine. The file name is
// for messages. Errors are [fault.Error]s that name file, key and what is
// allowed.
func ParseMachine(file string, data []byte) (Machine, error) {
	m, err := decodeMachine(file, data, false)
	if err == nil && m.GCode.Arcs == ByRadius && !m.GCode.Compact { // which may say so itself
		m, err = decodeMachine(file, data, true)
	}
	if err != nil {
		return Machine{}, err
	}
	return m, m.Validate(file)
}

// decodeMachine reads a machine, which is compact or not where the text does not say.
func decodeMachine(file string, data []byte, compact bool) (Machine, error) {
	m := Machine{Origin: "lower-left"}
	m.HPGL.Unit = 0.025 // mm: HP 7470A Interfacing and Programming Manual, page B-6
	m.HPGL.Bits = 8
	m.Calib.Scale = [2]float64{1, 1}
	m.GCode.Arcs, m.GCode.Waits = ByCentre, InSeconds
	m.GCode.Compact = compact
	m.Serial.Manner = UsualManner()
	err := keyfile.Decode(file, data, &m)
	return m, err
}

// Validate returns a [fault.Error] that names the first key whose value is not
// allowed, and what is. The file name is for the message.
func (m Machine) Validate(file string) error {
	c := checker{file: file}
	c.name(m.Name)
	oneOf(&c, "language", m.Language, Languages)
	oneOf(&c, "origin", m.Origin, []string{"lower-left", "centre"})
	c.lengths("area", m.Area[:], 1, 1e5)
	m.Speed.validate(&c)
	c.within("lift.up_time", float64(m.Lift.UpTime), 0, 60, "s")
	c.within("lift.down_time", float64(m.Lift.DownTime), 0, 60, "s")
	m.Serial.validate(&c)
	m.HPGL.validate(&c, m.Language)
	m.GCode.validate(&c, m.Language)
	c.within("calibration.scale", m.Calib.Scale[0], 0.5, 2, "")
	c.within("calibration.scale", m.Calib.Scale[1], 0.5, 2, "")
	if c.err == nil && !m.Reach().Contains(m.ParkAt()) {
		c.fail("park", "inside the area", fmt.Sprintf("%s, %s", m.Park[0], m.Park[1]))
	}
	if at, ok := m.Wipe(); len(m.WipeAt) > 0 && (!ok || !m.Reach().Contains(at)) {
		c.fail("wipe_at", "two lengths inside the area", fmt.Sprint(m.WipeAt))
	}
	if m.Language == GCode {
		c.liftLines("lift.up", m.Lift.Up)
		c.liftLines("lift.down", m.Lift.Down)
	} else if len(m.Lift.Words) > 0 {
		c.fail("lift.words", "left out for a language with pen instructions of its own", fmt.Sprintf("%q", m.Lift.Words))
	}
	return c.result()
}

func (l SpeedLimits) validate(c *checker) {
	c.within("speed.draw", float64(l.Draw), 0.1, 2000, "mm/s")
	c.within("speed.travel", float64(l.Travel), 0.1, 5000, "mm/s")
	c.within("speed.accel", float64(l.Accel), 1, 1e5, "mm/s2")
	c.within("speed.corner", float64(l.Corner), 0, 1000, "mm/s")
	for _, v := range l.Axes {
		c.within("speed.axes", float64(v), 1, 5000, "mm/s")
	}
	if n := len(l.Axes); n != 0 && n != 2 {
		c.fail("speed.axes", "two speeds, of x and of y", fmt.Sprintf("a row of %d", n))
	}
}

func (s Serial) validate(c *checker) {
	c.within("serial.baud", float64(s.Baud), 75, 4e6, "baud")
	oneOf(c, "serial.flow", s.Flow, Flows)
	c.within("serial.buffer", float64(s.Buffer), 16, 1e7, "bytes")
	s.Manner.validate(c)
}

// liftLines checks the program lines of a pen move: there must be some, and
// each must be short and plain.
func (c *checker) liftLines(key string, lines []string) {
	if len(lines) == 0 {
		c.fail(key, "at least one line of G-code", "none")
	}
	for _, l := range lines {
		if len(l) > 80 || strings.TrimSpace(l) == "" || strings.ContainsFunc(l, func(r rune) bool { return r < ' ' || r > '~' }) {
			c.fail(key, "lines of 1 to 80 plain characters", fmt.Sprintf("%q", l))
		}
	}
}
