package outside

import (
	"hash/fnv"
	"math/rand/v2"

	"weftplot/profiles"
)

// odds are what a fault is made from: how likely it is for a byte going out and
// for an answer, so that a few come in a job, and a moment in it.
type odds struct {
	byte, answer float64
	when         float64
	bytes        int
	rng          *rand.Rand
}

// faultKinds are the things that go wrong, one a run.
var faultKinds = []struct {
	name string
	set  func(f *faults, o odds)
}{
	{"nothing", func(*faults, odds) {}},
	{"byte-lost-out", func(f *faults, o odds) { f.toMachine.lose = o.byte }},
	{"byte-flipped-out", func(f *faults, o odds) { f.toMachine.flip = o.byte }},
	{"byte-doubled-out", func(f *faults, o odds) { f.toMachine.double = o.byte }},
	{"byte-lost-back", func(f *faults, o odds) { f.fromMachine.lose = 0.02 }},
	{"byte-flipped-back", func(f *faults, o odds) { f.fromMachine.flip = 0.02 }},
	{"byte-doubled-back", func(f *faults, o odds) { f.fromMachine.double = 0.02 }},
	{"answer-lost", func(f *faults, o odds) { f.answers.lose = o.answer }},
	{"answer-late", func(f *faults, o odds) { f.answers.late, f.lateBy = o.answer, 0.2+2.5*o.rng.Float64() }},
	{"answer-doubled", func(f *faults, o odds) { f.answers.double = o.answer }},
	{"noise", func(f *faults, o odds) { f.noise = 1 }},
	{"restart-pen-rises", func(f *faults, o odds) { f.restartAt, f.penRises = o.when, true }},
	{"restart-pen-stays", func(f *faults, o odds) { f.restartAt = o.when }},
	{"hang-up", func(f *faults, o odds) { f.hangAfter = 1 + o.rng.IntN(o.bytes) }},
	{"silence", func(f *faults, o odds) { f.silentFrom = o.when }},
	{"alarm", func(f *faults, o odds) { f.alarmAt = o.when }},
	{"stop", func(f *faults, o odds) { f.cancelAt = o.when }},
	{"kill", func(f *faults, o odds) { f.killAt = o.when }},
	{"kill-power-off", func(f *faults, o odds) { f.killAt = o.when }},
}

// makeFaults sets a kind of fault somewhere in a job that went like base when
// nothing was wrong. It reports whether there is such a kind.
func makeFaults(kind string, rng *rand.Rand, r rig, base leg) (faults, bool) {
	o := odds{
		byte: 2 / float64(base.bytes), answer: 4 / float64(base.answers+4),
		when: base.seconds * (0.02 + 0.95*rng.Float64()), bytes: base.bytes, rng: rng,
	}
	for _, k := range faultKinds {
		if k.name != kind {
			continue
		}
		var f faults
		k.set(&f, o)
		if f.restartAt > 0 {
			f.restartAt = max(f.restartAt, firstWords(r))
		}
		return f, true
	}
	return faults{}, false
}

// firstWords is when a sender has surely heard something of a machine: of a
// restart before that it cannot know.
func firstWords(r rig) float64 {
	if r.machine.Language == profiles.GCode && !r.places {
		return 5.6
	}
	return 2.6
}

// seeded returns the source of chance of one case.
func seeded(rigName, kind string, seed uint64) *rand.Rand {
	h := fnv.New64a()
	h.Write([]byte(rigName + "/" + kind))
	return rand.New(rand.NewPCG(seed, h.Sum64()))
}
