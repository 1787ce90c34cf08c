package outside

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// plotter reads HP-GL, and of HP-GL/2 the encoded polylines, as the HP 7470A
// Interfacing and Programming Manual and the PCL 5 reference say; pages are in
// references.md, sections 1 and 2. It draws what is whole of an instruction as
// its bytes come.
type plotter struct {
	m   *mover
	p   habits
	rx  []byte
	out func([]byte)

	boots   float64
	shift   vec // where it counts 0,0, mm
	over    int
	faulty  int     // error number that OE tells
	wheels  float64 // until when the pinch wheels are up
	control int     // error number that ESC . E tells
	started bool

	counted  pt // the end of what is queued, in plotter units
	down     bool
	relative bool
	speed    float64
	clip     *box

	// of the instruction under way
	name   string
	number []byte
	params []float64
	label  bool
	pe     polyline

	esc      escape
	xoff     bool // an Xoff was sent
	xoffAt   int  // free bytes below which it is sent; 0 never
	xoffWith []byte
	xonWith  []byte
	enq      byte
	block    int
	ack      []byte
	asked    bool // an enquiry waits for room
	ends     []byte
	sizeAsk  bool
}

// habits are the variants of a plotter.
type habits struct {
	buffer  int
	unit    float64
	silent  bool // answers nothing
	outputs bool // knows OA, OS, OE and the like
	xonxoff bool // set by its switches
	dummy   bool // has no handshake unless it is told (page 10-30)
	area    box  // mm
	draw    float64
	travel  float64
	lift    float64
}

func newPlotter(p habits, accel, corner float64, c *cloth) *plotter {
	k := &plotter{p: p, out: func([]byte) {}}
	k.m = &mover{accel: accel, corner: corner, depth: 8, cloth: c}
	k.handshakes()
	k.home()
	return k
}

func (k *plotter) handshakes() {
	k.xoff, k.xoffAt, k.xoffWith, k.xonWith = false, 0, []byte{19}, []byte{17}
	k.enq, k.block, k.ack, k.asked, k.ends = 0, 80, nil, false, []byte{13}
	if k.p.xonxoff {
		k.xoffAt = 80
	}
	if !k.p.dummy {
		k.enq, k.ack = 5, []byte{6}
	}
	k.esc = escape{}
}

func (k *plotter) body() *mover           { return k.m }
func (k *plotter) answers(f func([]byte)) { k.out = f }
func (k *plotter) opened()                {}
func (k *plotter) lost() bool             { return k.shift.length() > 0.05 }

func (k *plotter) home() {
	k.m.drop()
	k.m.setDown(false)
	k.m.at = vec{}
	k.m.cloth.ready, k.m.cloth.resting = false, 0
	k.shift, k.counted = vec{}, pt{}
	k.fresh()
	k.started = true
}

// fresh is the state that IN and power-up leave.
func (k *plotter) fresh() {
	k.rx, k.name, k.number, k.params, k.label = nil, "", nil, nil, false
	k.defaults()
}

func (k *plotter) defaults() {
	k.relative, k.speed, k.clip, k.down = false, k.p.draw, nil, k.m.down
	k.faulty = 0
}

func (k *plotter) restart(penRises bool) {
	k.m.drop()
	if penRises {
		k.m.setDown(false)
	}
	k.shift = k.m.at
	k.counted = pt{}
	k.fresh()
	k.handshakes()
	k.control, k.started = 0, true
	k.boots = k.m.now + 0.5
}

// alarm is someone who raises the pinch wheels for a moment: the plotter stops
// with error 8, forgets what it holds, and the paper shifts (pages 1-13, 10-39).
func (k *plotter) alarm() {
	k.m.drop()
	k.shift = k.shift.add(vec{3, 2, 0})
	k.counted = k.place()
	k.fresh()
	k.faulty = 8
	k.wheels = k.m.now + 5
}

func (k *plotter) place() pt {
	w := k.m.where().sub(k.shift)
	return pt{math.Round(w[0] / k.p.unit), math.Round(w[1] / k.p.unit)}
}

func (k *plotter) next() float64 {
	if k.boots > k.m.now {
		return math.Min(k.boots, k.m.ends())
	}
	return k.m.ends()
}

func (k *plotter) advance(t float64) {
	for {
		k.pump()
		if !k.m.until(t) {
			return
		}
	}
}

func (k *plotter) send(b []byte) {
	if !k.p.silent && len(b) > 0 {
		k.out(b)
	}
}

func (k *plotter) reply(s string) { k.send(append([]byte(s), k.ends...)) }

func (k *plotter) free() int { return k.p.buffer - len(k.rx) }

func (k *plotter) take(b byte) {
	if k.boots > k.m.now {
		return
	}
	if k.device(b) {
		return
	}
	if b == 5 && (k.enq == 5 || k.enq == 0) {
		k.enquiry()
		return
	}
	if k.free() <= 0 {
		k.over++
		k.control = 16
		return
	}
	k.rx = append(k.rx, b)
	if k.xoffAt > 0 && !k.xoff && k.free() < k.xoffAt {
		k.xoff = true
		k.send(k.xoffWith)
	}
	k.pump()
}

// enquiry answers when a block fits; where no handshake was set, at once, which
// protects nothing (page 10-30).
func (k *plotter) enquiry() {
	if k.enq == 0 {
		k.send([]byte{6})
		return
	}
	k.asked = true
	k.pump()
}

// pump carries out what is in the buffer as long as there is room for it.
func (k *plotter) pump() {
	for k.boots <= k.m.now && len(k.rx) > 0 && len(k.m.queue)+3 <= k.m.depth {
		b := k.rx[0]
		if b == 'O' && !k.label && k.name != "PE" && len(k.name) != 1 {
			k.end()
			if !k.m.idle() {
				break // an output instruction waits for what is before it
			}
		}
		k.rx = k.rx[1:]
		k.byte(b)
	}
	k.room()
}

// room says by the handshakes that there is room again.
func (k *plotter) room() {
	// Xon goes out at 128 bytes stored, or where the Xoff level is greater, when
	// one byte more than it is free (page 10-20).
	if k.xoff && (k.xoffAt <= 128 && len(k.rx) <= 128 || k.free() > max(128, k.xoffAt)) {
		k.xoff = false
		k.send(k.xonWith)
	}
	if k.asked && k.free() >= k.block {
		k.asked = false
		k.send(k.ack)
	}
	if k.sizeAsk && len(k.rx) == 0 {
		k.sizeAsk = false
		k.reply(strconv.Itoa(k.p.buffer))
	}
}

// byte reads one byte of the program.
func (k *plotter) byte(b byte) {
	switch {
	case k.label:
		k.label = b != 3
		return
	case k.name == "PE":
		k.encoded(b)
		return
	}
	c := b & 0x7f
	switch {
	case 'a' <= c && c <= 'z', 'A' <= c && c <= 'Z':
		k.letter(c &^ 32)
	case c == ';':
		k.end()
	case strings.IndexByte("+-.0123456789", c) >= 0:
		k.number = append(k.number, c)
	case strings.IndexByte(", \n\r", c) >= 0:
		k.param()
	}
}

func (k *plotter) letter(c byte) {
	if len(k.name) == 2 {
		k.end()
	}
	k.name += string(c)
	if len(k.name) < 2 {
		return
	}
	switch k.name {
	case "LB":
		k.label, k.name = true, ""
	case "PE":
		k.pe = polyline{pen: true, base: 64}
	case "PU":
		k.lift(false)
	case "PD":
		k.lift(true)
	}
}

func (k *plotter) lift(down bool) {
	pen := -1
	if down {
		pen = 1
	}
	if k.down != down {
		k.m.push(&block{seconds: k.p.lift, pen: pen})
	}
	k.down = down
}

// param ends a number; pairs of a move are carried out as they come.
func (k *plotter) param() {
	if len(k.number) == 0 {
		return
	}
	v, err := strconv.ParseFloat(string(k.number), 64)
	k.number = nil
	if err != nil {
		k.faulty = 2
		return
	}
	k.params = append(k.params, v)
	switch k.name {
	case "PA", "PR", "PU", "PD":
		if k.name == "PA" || k.name == "PR" {
			k.relative = k.name == "PR"
		}
		if len(k.params) == 2 {
			k.pair(k.params[0], k.params[1], k.relative)
			k.params = k.params[:0]
		}
	}
}

// pair moves to a place in plotter units; what is out of range is dropped.
func (k *plotter) pair(x, y float64, relative bool) {
	x, y = math.Floor(x), math.Floor(y)
	if math.Abs(x) > 32768 || math.Abs(y) > 32768 {
		k.faulty = 3
		return
	}
	to := pt{x, y}
	if relative {
		to = pt{k.counted.x + x, k.counted.y + y}
	}
	k.way([]pt{k.counted, to})
}

func (k *plotter) way(units []pt) {
	speed := k.p.travel
	if k.down {
		speed = k.speed
	}
	way := make([]vec, len(units))
	for i, u := range units {
		way[i] = k.shift.add(vec{u.x * k.p.unit, u.y * k.p.unit})
	}
	k.counted = units[len(units)-1]
	b := wayBlock(speed, way...)
	window := k.p.area
	if k.clip != nil {
		window = *k.clip
	}
	s := k.shift
	b.clip = &box{window.x0 + s[0], window.y0 + s[1], window.x1 + s[0], window.y1 + s[1]}
	if b.length > 0 {
		k.m.push(b)
	}
}

// end carries out an instruction that is whole.
func (k *plotter) end() {
	k.param()
	name, p := k.name, k.params
	k.name, k.params = "", nil
	switch name {
	case "":
	case "IN", "DF":
		k.lift(false)
		k.defaults()
		k.down = false
		k.started = k.started || name == "IN"
	case "PA", "PR":
		k.relative = name == "PR"
		k.odd(p)
	case "PU", "PD":
		k.odd(p)
	case "SP":
		k.lift(false)
	case "VS":
		k.velocity(p)
	case "IW":
		k.window(p)
	case "AA", "AR":
		k.arc(name, p)
	case "CI":
		if len(p) < 1 {
			k.faulty = 2
			return
		}
		k.circle(p[0])
	case "IP", "SC", "LT", "SI", "SR", "DI", "DR", "DT", "CS", "CA", "SS", "SA", "SL", "FS", "PW", "WU", "RO", "PT", "IM", "AS", "AP":
	case "OA", "OC", "OS", "OE", "OI", "OF", "OP", "OH", "OW", "OO":
		k.output(name)
	default:
		k.faulty = 1
	}
}

func (k *plotter) odd(p []float64) {
	if len(p) > 0 {
		k.faulty = 2
	}
}

func (k *plotter) velocity(p []float64) {
	switch {
	case len(p) == 0:
		k.speed = k.p.draw
	case p[0] < 0 || p[0] >= 128:
		k.faulty = 3
	default:
		k.speed = math.Min(k.p.draw, math.Max(p[0], 0.38)*10)
	}
}

func (k *plotter) window(p []float64) {
	if len(p) != 4 {
		k.clip = nil
		if len(p) != 0 {
			k.faulty = 2
		}
		return
	}
	u := k.p.unit
	k.clip = &box{p[0] * u, p[1] * u, p[2] * u, p[3] * u}
}

func (k *plotter) output(name string) {
	if !k.p.outputs {
		k.faulty = 1
		return
	}
	at := k.counted
	pen := 0
	if k.down {
		pen = 1
	}
	switch name {
	case "OA", "OC":
		k.reply(fmt.Sprintf("%.0f,%.0f,%d", at.x, at.y, pen))
	case "OS":
		s := 16 + pen
		if k.started {
			s += 8
		}
		if k.faulty != 0 {
			s += 32
		}
		k.started = false
		k.reply(strconv.Itoa(s))
	case "OE":
		k.reply(strconv.Itoa(k.faulty))
		k.faulty = 0
	case "OI":
		k.reply("PEN-1")
	case "OF":
		k.reply("40,40")
	case "OO":
		k.reply("0,1,0,0,0,0,0,0")
	case "OW":
		// The corners of the window in which plotting can occur: what IW set,
		// inside the mechanical limits (page 7-10, from memory).
		u, a := k.p.unit, k.p.area
		if c := k.clip; c != nil {
			a = box{math.Max(a.x0, c.x0), math.Max(a.y0, c.y0), math.Min(a.x1, c.x1), math.Min(a.y1, c.y1)}
		}
		k.reply(fmt.Sprintf("%.0f,%.0f,%.0f,%.0f", a.x0/u, a.y0/u, a.x1/u, a.y1/u))
	default:
		u, a := k.p.unit, k.p.area
		k.reply(fmt.Sprintf("%.0f,%.0f,%.0f,%.0f", a.x0/u, a.y0/u, a.x1/u, a.y1/u))
	}
}

// arc draws AA and AR: positive is counter-clockwise (pages 3-17 ff.).
func (k *plotter) arc(name string, p []float64) {
	if len(p) < 3 {
		k.faulty = 2
		return
	}
	if p[2] < -360 || p[2] > 360 {
		k.faulty = 3
		return
	}
	c := pt{p[0], p[1]}
	if name == "AR" {
		c = pt{c.x + k.counted.x, c.y + k.counted.y}
	}
	chord := 5.0
	if len(p) > 3 && p[3] > 0 {
		chord = p[3]
	}
	k.way(chords(k.counted, c, p[2], chord))
}

func chords(from, c pt, degrees, chord float64) []pt {
	r, a := from.to(c), math.Atan2(from.y-c.y, from.x-c.x)
	n := int(math.Ceil(math.Abs(degrees)/chord - 1e-9))
	way := []pt{from}
	for i := 1; i <= n; i++ {
		t := a + degrees*math.Pi/180*float64(i)/float64(n)
		way = append(way, pt{c.x + r*math.Cos(t), c.y + r*math.Sin(t)})
	}
	if len(way) == 1 {
		way = append(way, from)
	}
	return way
}

func (k *plotter) circle(r float64) {
	c, was := k.counted, k.down
	k.lift(false)
	k.way([]pt{c, {c.x + r, c.y}})
	k.lift(true)
	k.way(chords(pt{c.x + r, c.y}, c, 360, 5))
	k.lift(false)
	k.way([]pt{k.counted, c})
	if was {
		k.lift(true)
	}
}
