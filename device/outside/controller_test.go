package outside

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// controller is a small motion controller that reads RS-274/NGC lines (NISTIR
// 6556) and answers each with ok or error:N. What it answers is common
// practice (references.md, section 4).
type controller struct {
	m   *mover
	p   ways
	rx  []byte // bytes received and not yet read
	out func([]byte)

	boots   float64 // until when it starts; bytes are lost meanwhile
	greets  bool
	zero    vec // where it counts 0,0,0
	slipped bool
	alarmed bool
	waits   bool // for what was sent before to be carried out
	over    int  // bytes that did not fit

	motion          int
	feed            float64
	inch, relative  bool
	counted         vec // the end of what is queued, as counted
	travel, zTravel float64
}

// ways are the variants of a controller.
type ways struct {
	pen          string // "z", "servo", "air"
	buffer       int
	greeting     bool
	restarts     bool // when the port is opened
	reports      bool // answers ?, ! ~ and 0x18 at once
	height       bool // reports tell z
	dwellQueued  bool // ok of a dwell comes when it is queued, not when it is done
	slipsOnReset bool
	area         box
	travel       float64
}

const bootTime = 1.2

func newController(p ways, accel, corner float64, c *cloth) *controller {
	k := &controller{p: p, out: func([]byte) {}, travel: p.travel, zTravel: 20}
	k.m = &mover{accel: accel, corner: corner, depth: 16, cloth: c, zpen: p.pen == "z"}
	k.home()
	return k
}

func (k *controller) body() *mover           { return k.m }
func (k *controller) answers(f func([]byte)) { k.out = f }

func (k *controller) opened() {
	if k.p.restarts {
		k.restart(true)
	}
}

// home leaves the pen over 0,0. Where opening the port restarts the controller a
// person sets the tip on the cloth, since there it will count 0,0,0.
func (k *controller) home() {
	k.m.drop()
	k.m.at = vec{0, 0, 5}
	if k.p.restarts {
		k.m.at[2] = 0
	}
	k.m.setDown(false)
	k.m.cloth.ready = false
	k.m.cloth.resting = 0
	k.zero, k.slipped, k.alarmed = vec{}, false, false
	k.counted = k.m.at
	k.rx, k.waits = nil, false
	k.modes()
}

func (k *controller) modes() {
	k.motion, k.feed, k.inch, k.relative = 0, 0, false, false
}

func (k *controller) lost() bool { return k.slipped || k.zero.length() > 0.05 }

func (k *controller) restart(penRises bool) {
	k.m.drop()
	if penRises {
		k.m.setDown(false)
	}
	k.zero = k.m.at
	k.counted = vec{}
	k.rx, k.waits, k.alarmed = nil, false, false
	k.modes()
	k.boots = k.m.now + bootTime
	k.greets = true
}

func (k *controller) alarm() {
	k.m.drop()
	k.counted = k.m.at.sub(k.zero)
	k.alarmed, k.waits = true, false
	k.say("ALARM:1")
}

// reset is the byte 0x18: what is queued is forgotten; steps are lost where it
// moved.
func (k *controller) reset() {
	v := k.m.drop()
	if v > 1 && k.p.slipsOnReset {
		k.zero = k.zero.add(vec{0.6, 0.4, 0})
		k.slipped = true
	}
	k.m.setDown(false)
	k.counted = k.m.at.sub(k.zero)
	k.rx, k.waits, k.alarmed = nil, false, false
	k.modes()
	k.boots = k.m.now + 0.05
	k.greets = true
}

func (k *controller) say(s string) { k.out([]byte(s + "\r\n")) }

func (k *controller) next() float64 {
	e := k.m.ends()
	if k.boots > k.m.now {
		e = math.Min(e, k.boots)
	}
	return e
}

func (k *controller) advance(t float64) {
	for {
		k.pump()
		if k.boots > k.m.now && k.boots <= t && k.boots <= k.m.ends() {
			k.m.until(k.boots)
			k.boots = 0
			if k.p.greeting && k.greets {
				k.say("")
				k.say("Plotter 1.1 ready")
			}
			continue
		}
		if !k.m.until(t) {
			return
		}
	}
}

func (k *controller) take(b byte) {
	if k.boots > k.m.now {
		return
	}
	if k.p.reports {
		switch b {
		case '?':
			k.report()
			return
		case '!':
			k.m.hold()
			return
		case '~':
			k.m.goOn()
			return
		case 0x18:
			k.reset()
			return
		}
	}
	if len(k.rx) >= k.p.buffer {
		k.over++
		return
	}
	k.rx = append(k.rx, b)
	k.pump()
}

func (k *controller) report() {
	at := k.m.where().sub(k.zero)
	state := "Idle"
	switch {
	case k.alarmed:
		state = "Alarm"
	case k.m.held:
		state = "Hold"
	case !k.m.idle():
		state = "Run"
	}
	pos := fmt.Sprintf("%.3f,%.3f", at[0], at[1])
	if k.p.height {
		z := 0.0
		if k.p.pen == "z" {
			z = at[2]
		}
		pos += fmt.Sprintf(",%.3f", z)
	}
	k.say("<" + state + "|MPos:" + pos + "|FS:0,0>")
}

// pump reads lines as long as there is room for what they ask.
func (k *controller) pump() {
	for !k.waits && k.boots <= k.m.now {
		if len(k.m.queue)+2 > k.m.depth {
			return
		}
		n := strings.IndexByte(string(k.rx), '\n')
		if n < 0 {
			return
		}
		text := string(k.rx[:n])
		k.rx = k.rx[n+1:]
		if strings.TrimSpace(text) == "" {
			k.say("ok") // a blank line counts
			continue
		}
		k.do(text)
	}
}

func (k *controller) do(text string) {
	if k.alarmed {
		k.say("error:9")
		return
	}
	if len(text) > 80 {
		k.say("error:11")
		return
	}
	w, ok := words(text)
	if !ok {
		k.say("error:2")
		return
	}
	if n := k.carryOut(w); n != 0 {
		k.say(fmt.Sprintf("error:%d", n))
		return
	}
	if !k.waits {
		k.say("ok")
	}
}

type word struct {
	letter byte
	value  float64
}

// words splits a line into its words; comments and white space go (NISTIR 6556,
// sections 3.3 and 3.3.2).
func words(text string) ([]word, bool) {
	var b strings.Builder
	depth := false
	text, _, _ = strings.Cut(text, ";")
	for _, c := range []byte(text) {
		switch {
		case c == '(':
			depth = true
		case c == ')':
			if !depth {
				return nil, false
			}
			depth = false
		case depth || c == ' ' || c == '\t' || c == '\r':
		default:
			b.WriteByte(c)
		}
	}
	s := strings.ToUpper(b.String())
	var w []word
	for len(s) > 0 {
		l := s[0]
		if l < 'A' || l > 'Z' {
			return nil, false
		}
		n := 1
		for n < len(s) && strings.IndexByte("+-.0123456789", s[n]) >= 0 {
			n++
		}
		v, err := strconv.ParseFloat(s[1:n], 64)
		if err != nil {
			return nil, false
		}
		w = append(w, word{l, v})
		s = s[n:]
	}
	return w, !depth
}

// asked is what the words of a line ask for.
type asked struct {
	dwell  bool
	motion int // -1 none
	misc   []int
	has    map[byte]float64
}

// gather sorts the words of a line, sets the modes they name, and returns the
// number of an error, or 0.
func (k *controller) gather(w []word) (asked, int) {
	a := asked{motion: -1, has: map[byte]float64{}}
	for _, x := range w {
		_, twice := a.has[x.letter]
		switch {
		case x.letter == 'G':
			if !k.mode(x.value, &a) {
				return a, 20
			}
		case x.letter == 'M':
			a.misc = append(a.misc, int(x.value))
		case strings.IndexByte("XYZIJRFPSNT", x.letter) < 0:
			return a, 20
		case twice:
			return a, 25
		default:
			a.has[x.letter] = x.value
		}
	}
	return a, 0
}

// mode takes a G word; it reports whether it is known.
func (k *controller) mode(g float64, a *asked) bool {
	switch g {
	case 0, 1, 2, 3:
		a.motion = int(g)
	case 4:
		a.dwell = true
	case 17, 94, 40, 49, 80, 54, 61:
	case 20, 21:
		k.inch = g == 20
	case 90, 91:
		k.relative = g == 91
	default:
		return false
	}
	return true
}

// carryOut does a line and returns the number of an error, or 0.
func (k *controller) carryOut(w []word) int {
	a, e := k.gather(w)
	if e != 0 {
		return e
	}
	if f, ok := a.has['F']; ok {
		if f <= 0 {
			return 22
		}
		k.feed = k.mm(f) / 60
	}
	for _, n := range a.misc {
		if e := k.misc(n); e != 0 {
			return e
		}
	}
	if a.dwell {
		p, ok := a.has['P']
		if !ok || p < 0 {
			return 28
		}
		k.wait(p)
		return 0
	}
	if a.motion >= 0 {
		k.motion = a.motion
	}
	return k.move(a.has)
}

func (k *controller) mm(v float64) float64 {
	if k.inch {
		return v * 25.4
	}
	return v
}

// penWord returns what an M word asks of the pen: 1 down, -1 up, 0 nothing.
func (k *controller) penWord(n int) int {
	switch k.p.pen {
	case "servo":
		switch n {
		case 3, 4:
			return 1
		case 2, 5, 30:
			return -1
		}
	case "air":
		switch n {
		case 7, 8:
			return 1
		case 2, 9, 30:
			return -1
		}
	}
	return 0
}

// misc does an M word. A pen that is not on a Z axis moves in 0.08 s.
func (k *controller) misc(n int) int {
	switch pen := k.penWord(n); {
	case pen != 0:
		k.m.push(&block{seconds: 0.08, pen: pen})
	case n == 0 || n == 1:
		k.m.push(&block{done: func() { k.m.hold() }})
	case n == 30 || n >= 2 && n <= 9:
	default:
		return 20
	}
	return 0
}

// wait is a dwell. Its ok comes when all before it and it itself are done, or
// at once.
func (k *controller) wait(seconds float64) {
	if k.p.dwellQueued {
		k.m.push(&block{seconds: seconds})
		return
	}
	k.waits = true
	k.m.push(&block{seconds: seconds, done: func() {
		k.waits = false
		k.say("ok")
	}})
}

func (k *controller) move(has map[byte]float64) int {
	to := k.counted
	moves := false
	for i, l := range []byte("XYZ") {
		v, ok := has[l]
		if !ok {
			continue
		}
		moves = true
		if v = k.mm(v); k.relative {
			v += to[i]
		}
		to[i] = v
	}
	if !moves {
		if _, i := has['I']; i {
			return 26
		}
		return 0
	}
	speed := k.travel
	if k.motion != 0 {
		if k.feed == 0 {
			return 22
		}
		speed = math.Min(k.feed, k.travel)
	}
	way := []vec{k.counted, to}
	if k.motion >= 2 {
		var n int
		if way, n = k.arc(to, has); n != 0 {
			return n
		}
	}
	for i := range way {
		way[i] = way[i].add(k.zero)
	}
	k.counted = to
	if d := way[len(way)-1].sub(way[0]); math.Abs(d[2]) > 0 && math.Hypot(d[0], d[1]) == 0 {
		speed = math.Min(speed, k.zTravel)
	}
	if b := wayBlock(speed, way...); b.length > 0 {
		k.m.push(b)
	}
	return 0
}

// arc returns an arc as chords within 0.002 mm (NISTIR 6556, section 3.5.3).
func (k *controller) arc(to vec, has map[byte]float64) ([]vec, int) {
	from := k.counted
	i, okI := has['I']
	j, okJ := has['J']
	if !okI && !okJ {
		return nil, 21
	}
	c := pt{from[0] + k.mm(i), from[1] + k.mm(j)}
	r := math.Hypot(k.mm(i), k.mm(j))
	r1 := math.Hypot(to[0]-c.x, to[1]-c.y)
	if math.Abs(r-r1) > math.Max(0.005, 0.001*r) {
		return nil, 33
	}
	a0, a1 := math.Atan2(from[1]-c.y, from[0]-c.x), math.Atan2(to[1]-c.y, to[0]-c.x)
	sweep := a1 - a0
	if k.motion == 3 && sweep <= 1e-9 {
		sweep += 2 * math.Pi
	}
	if k.motion == 2 && sweep >= -1e-9 {
		sweep -= 2 * math.Pi
	}
	n := int(math.Ceil(math.Abs(sweep)/(2*math.Acos(1-math.Min(1, 0.002/r))))) + 1
	way := make([]vec, 0, n+1)
	for q := range n {
		a, t := a0+sweep*float64(q)/float64(n), float64(q)/float64(n)
		way = append(way, vec{c.x + r*math.Cos(a), c.y + r*math.Sin(a), from[2] + t*(to[2]-from[2])})
	}
	way[0] = from
	return append(way, to), 0
}
