package outside

import (
	"context"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"weftplot/device"
)

// leg is what one sending came to, and what was true of the machine.
type leg struct {
	out             device.Outcome
	err             error
	killed, endless bool
	seconds         float64
	bytes, answers  int
	rest            float64 // longest rest of the pen until the sender returned
	upAtReturn      bool
	upLater         bool
	wasUp           bool // the pen was up at some time of the leg or before
	inkLater        float64
	lost            bool
	missingAtReturn float64
	over            bool
}

// judged is one run: what was sent, then what was taken up again.
type judged struct {
	first         leg
	atFirst       verdict // of the cloth when the machine had come to rest
	resumed, last *leg
	announced     int
	known         bool
	claimed       int     // strokes that the journal called drawn after the first leg
	claimedGap    float64 // what is missing of them, mm
	needsHome     bool
	final         verdict
	journalDone   bool
	farResumed    float64 // farthest stray ink after the job was resumed as it was
	broken        []breach
}

type bench struct {
	t     testing.TB
	dir   string
	works map[string]work
	base  map[string]leg
}

func newBench(t testing.TB) *bench {
	dir, err := os.MkdirTemp("/dev/shm", "outside")
	if err != nil {
		dir = t.TempDir()
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	return &bench{t: t, dir: dir, works: map[string]work{}, base: map[string]leg{}}
}

// jobs is how many different jobs each machine is given.
const jobs = 4

func (b *bench) work(r rig, seed uint64) (work, leg) {
	key := r.machine.Name + string(r.machine.Serial.Flow) + string(rune('a'+seed%jobs))
	w, ok := b.works[key]
	if !ok {
		w = workFor(b.t, r.machine, seed%jobs)
		b.works[key] = w
	}
	key = r.name + string(rune('a'+seed%jobs))
	l, ok := b.base[key]
	if !ok {
		c := &cloth{}
		l = b.send(r, r.build(c), c, w, faults{}, rand.New(rand.NewPCG(1, 1)), device.Options{}, nil)
		if l.seconds == 0 || l.err != nil {
			l.seconds, l.bytes = 40, 600
		}
		b.base[key] = l
	}
	return w, l
}

// send sends a job over a new line and watches what becomes of it.
func (b *bench) send(r rig, m machine, c *cloth, w work, f faults, rng *rand.Rand, opt device.Options, trace func(float64, string)) (l leg) {
	before := overruns(m) // those of an earlier sending are none of this one
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	port := openLine(m, r.machine.Serial.Baud, f, rng, 600)
	port.cancel, port.trace = cancel, trace
	func() {
		defer func() {
			switch p := recover(); p.(type) {
			case nil:
			case killed:
				l.killed = true
			case endless:
				l.endless = true
			default:
				panic(p)
			}
		}()
		l.out, l.err = device.Send(ctx, port, w.job, opt)
	}()
	l.seconds, l.bytes, l.answers, l.rest = port.now-port.start, port.sent, port.answered, c.longest
	l.wasUp = c.ready
	l.upAtReturn = !m.body().penDown()
	// What was under way at the return is on the cloth already.
	if l.err == nil && !l.killed {
		l.missingAtReturn = missing(w.asked, snapshot(m, c))
	}
	inked := inkOf(snapshot(m, c))
	port.f = faults{}
	port.alone(90)
	l.inkLater = c.length() - inked
	l.upLater = !m.body().penDown()
	l.lost = m.lost()
	l.over = overruns(m) > before
	return l
}

// overruns is how many bytes found the machine's buffer full.
func overruns(m machine) int {
	switch k := m.(type) {
	case *controller:
		return k.over
	case *plotter:
		return k.over
	}
	return 0
}

// snapshot is the cloth with what is drawn of the block under way.
func snapshot(m machine, c *cloth) [][]pt {
	ink := append([][]pt{}, c.ink...)
	k := m.body()
	if !k.moving() || !k.penDown() {
		return ink
	}
	s, _ := k.ramp.state(k.now - k.began)
	part, b := cloth{}, k.queue[0]
	way := wayUpTo(b, s)
	for i := 1; i < len(way); i++ {
		part.line(pt{way[i-1][0], way[i-1][1]}, pt{way[i][0], way[i][1]}, b.clip)
	}
	return append(ink, part.ink...)
}

func wayUpTo(b *block, s float64) []vec {
	way := []vec{b.way[0]}
	for i := 1; i < len(b.way); i++ {
		d := b.way[i].sub(b.way[i-1]).length()
		if s <= d {
			if d > 0 {
				way = append(way, b.way[i-1].toward(b.way[i], s/d))
			}
			break
		}
		s -= d
		way = append(way, b.way[i])
	}
	return way
}

func inkOf(ink [][]pt) float64 { return (&cloth{ink: ink}).length() }

// run judges one machine with one fault.
func (b *bench) run(r rig, kind string, seed uint64, trace func(float64, string)) judged {
	w, base := b.work(r, seed)
	rng := seeded(r.name, kind, seed)
	f, ok := makeFaults(kind, rng, r, base)
	if !ok {
		b.t.Fatalf("no fault %q", kind)
	}
	c := &cloth{}
	m := r.build(c)
	path := filepath.Join(b.dir, "journal")
	os.Remove(path)
	j, err := device.StartJournal(path, w.job)
	if err != nil {
		b.t.Fatal(err)
	}
	var d judged
	d.first = b.send(r, m, c, w, f, rng, device.Options{Journal: j}, trace)
	j.Close() // of a killed sender, the system does; a journal writes nothing then
	d.atFirst = compare(w.asked, snapshot(m, c))
	d.final = d.atFirst
	if d.first.err != nil || d.first.killed {
		b.takeUp(&d, r, m, c, w, kind, path, rng, trace)
	}
	d.judge(r, kind, f)
	return d
}

// takeUp goes on with a job that broke off: first as it is, then, when that is
// refused, after the machine was brought home.
func (b *bench) takeUp(d *judged, r rig, m machine, c *cloth, w work, kind, path string, rng *rand.Rand, trace func(float64, string)) {
	if kind == "kill-power-off" {
		m.restart(true)
		m.advance(m.body().now + 5)
	}
	for _, homed := range []bool{false, true} {
		j, err := device.ResumeJournal(path, w.job)
		if err != nil {
			d.last = &leg{err: err}
			return
		}
		if d.journalDone = j.Done(); d.journalDone {
			j.Close()
			return
		}
		if !homed {
			d.claimed, d.needsHome = j.Drawn(), j.NeedsHome()
			d.claimedGap = missing(w.asked[:min(d.claimed, len(w.asked))], c.ink)
			d.announced, d.known = j.Again()
		}
		if homed {
			m.home()
		}
		if trace != nil {
			trace(0, map[bool]string{false: "--- resumed as it is", true: "--- resumed after it was brought home"}[homed])
		}
		l := b.send(r, m, c, w, faults{}, rng, device.Options{Journal: j, Homed: homed}, trace)
		j.Close()
		if homed {
			d.last = &l
		} else {
			d.resumed = &l
		}
		d.final = compare(w.asked, snapshot(m, c))
		if !homed {
			d.farResumed = d.final.farthest
		}
		if l.err == nil {
			return
		}
	}
}
