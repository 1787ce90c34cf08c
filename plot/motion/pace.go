package motion

import (
	"weftplot/plot/program"
	"weftplot/profiles"
)

// Pace is how the serial line affects the time of a job.
type Pace struct {
	// Seconds is the predicted time of the job when it has to wait for its
	// bytes, Motion the time of its motion alone.
	Seconds, Motion float64
	// Late counts the moves of strokes whose bytes arrive later than the
	// machine could begin them; the machine then slows down, or stops with its
	// pen on the cloth.
	Late int
	// Baud is the least of the usual baud rates at which no move is late; 0 if
	// none is enough, or if the present rate already is.
	Baud int
}

// usualBauds are the rates that serial ports and controllers commonly share:
// common practice.
var usualBauds = []int{1200, 2400, 4800, 9600, 19200, 38400, 57600, 115200, 230400, 460800, 921600}

// PaceOf predicts whether the serial line of a machine keeps up with the motion
// of blocks, given where each ends in the program's text. Where it does not,
// the pen crawls or stops on the cloth, and bleeds. A faster line helps, and so
// does a greater tolerance, which needs fewer bytes.
func PaceOf(blocks []program.Block, m profiles.Machine) Pace {
	return PaceIn(Time(blocks, LimitsOf(m)), blocks, m)
}

// PaceIn is [PaceOf] for blocks whose timing on the machine is known.
func PaceIn(t Timing, blocks []program.Block, m profiles.Machine) Pace {
	ends := t.Ends
	p := pace(blocks, ends, m.Serial, m.Serial.Baud)
	if p.Late == 0 {
		return p
	}
	for _, baud := range usualBauds {
		if baud > m.Serial.Baud && pace(blocks, ends, m.Serial, baud).Late == 0 {
			p.Baud = baud
			break
		}
	}
	return p
}

// bufferedMoves is how many moves, at least, a machine can hold besides the
// bytes in its buffer: common practice.
const bufferedMoves = 16

// reportSize is about how many bytes a machine sends when it is asked where it
// is.
const reportSize = 40

// asking is the share of the line's time that goes to asking a machine where it
// is and waiting for the answers.
const asking = 1.0/(4*reportSize) + 1.0/100

// pace simulates a job: bytes arrive at the baud rate, and a block begins as
// soon as it has arrived and the one before is done. The buffer limits how far
// ahead bytes can be: a byte can arrive no sooner than the byte one buffer's
// length before it is used. Where the machine is asked for its place before and
// after each stroke, it answers before it is sent more.
func pace(blocks []program.Block, ends []float64, s profiles.Serial, baud int) Pace {
	var p Pace
	perByte := 10 / float64(baud) // s: eight bits, a start and a stop
	came, done, prev := 0.0, 0.0, 0.0
	sent := 0
	finished := make([]float64, len(blocks))
	oldest := 0 // the first block whose bytes may still be in the buffer
	drawing := false
	looked := 0
	if s.Flow == profiles.LineAck {
		looked = len("G4 P0\n?") + reportSize
		perByte *= 1 + asking
	}
	for i, b := range blocks {
		for oldest < i && blocks[oldest].End < b.End-s.Buffer {
			oldest++
		}
		held := 0.0
		if k := oldest - bufferedMoves; k >= 0 {
			held = finished[k]
		}
		came = max(came, held) + float64(max(0, b.End-sent))*perByte
		sent = max(sent, b.End)
		if b.Kind == program.PenUp || b.Kind == program.PenDown {
			came = max(came, done) + float64(looked)*perByte
		}
		if came > done+1e-9 {
			if b.Kind == program.Draw && drawing {
				p.Late++
			}
			done = came
		}
		done += ends[i] - prev
		prev, finished[i] = ends[i], done
		if b.Kind == program.Draw {
			drawing = true
		} else if b.Kind != program.Remark {
			drawing = false
		}
	}
	p.Seconds, p.Motion = done, prev
	return p
}
