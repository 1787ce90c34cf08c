package motion

import (
	"weftplot/plot/program"
	"weftplot/profiles"
)

// Pace tells what the line makes of a job's time.
type Pace struct {
	// Seconds is the predicted time of the job when it has to wait for its
	// bytes, Motion the time of its motion alone.
	Seconds, Motion float64
	// Late counts the moves of strokes whose bytes come later than the machine
	// could begin them: it slows down, or stands with its pen on the cloth.
	Late int
	// Baud is the least of the usual baud rates at which there are none; 0 if
	// none is enough, or the line as it is does.
	Baud int
}

// usualBauds are the rates that serial ports and controllers commonly share:
// common practice.
var usualBauds = []int{1200, 2400, 4800, 9600, 19200, 38400, 57600, 115200, 230400, 460800, 921600}

// PaceOf predicts whether the serial line of a machine keeps up with the motion
// of blocks as they stand in a program's text. Where it does not, the pen crawls
// or stands on the cloth, and bleeds: a faster line, or a greater tolerance,
// which takes fewer bytes, does better.
func PaceOf(blocks []program.Block, m profiles.Machine) Pace {
	ends := Time(blocks, LimitsOf(m)).Ends
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

// bufferedMoves is how far a machine may be sent ahead at least, besides the
// bytes that its buffer holds: common practice.
const bufferedMoves = 16

// reportSize is about how many bytes a machine answers that is asked where it is.
const reportSize = 40

// asking is the share of the line, to a machine that is asked where it is, that
// goes to questions and to waiting for their answers.
const asking = 1.0/(4*reportSize) + 1.0/100

// pace lets the bytes arrive at the baud rate and the blocks be done as soon as
// they have come and the one before is done. The buffer holds back what does not
// fit: a byte can come no sooner than the one a buffer's length before it has
// been used. A machine that is looked at before and after each stroke answers
// before it is sent more.
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
