package sim

import (
	"fmt"
	"strconv"
	"strings"
)

// control handles the device-control sequences of a plotter, which begin with
// ESC, and the handshake that they set. HP 7470A Interfacing and Programming
// Manual, chapter 10.
type control struct {
	p    *HPGL
	seq  []byte // of a sequence, from its ESC on
	err  int    // as ESC . E reports it: 0, or 10 to 16
	mode byte   // the handshake: 0 none, 'H' or 'I'

	level  int    // block size, or the room at which Xoff is sent
	enq    byte   // enquiry character, 0 none
	reply  []byte // the answer to an enquiry, or Xon
	xoff   []byte
	asked  bool // an enquiry is waiting for room
	halted bool // Xoff was sent
}

func newControl(p *HPGL) control { return control{p: p, level: 80} }

const esc = 27

// xonLevel is how many bytes the buffer may still hold when Xon is sent: page
// 10-20.
const xonLevel = 128

// take handles a byte of device control, and reports whether it was one and not
// plot data.
func (c *control) take(b byte) bool {
	switch {
	case len(c.seq) > 0:
		c.sequence(b)
	case b == esc:
		c.seq = append(c.seq, b)
	case b == 5 && c.mode == 0:
		// Without a handshake, an enquiry is answered whatever the buffer
		// holds: page 10-30.
		c.p.say("\x06")
	case c.enq != 0 && b == c.enq:
		c.asked = true
	default:
		return false
	}
	return true
}

// sequence reads the next byte of ESC . letter, with parameters up to a colon
// for those that have them.
func (c *control) sequence(b byte) {
	c.seq = append(c.seq, b)
	switch n := len(c.seq); {
	case n == 2 && b != '.':
		c.err, c.seq = 11, nil
	case n == 3 && strings.IndexByte("BEJKLORZ()Y", b) >= 0:
		c.do(b, nil)
		c.seq = nil
	case n == 3 && strings.IndexByte("@HIMN", b) < 0:
		c.err, c.seq = 11, nil
	case n > 3 && b == ':':
		c.do(c.seq[2], strings.Split(string(c.seq[3:n-1]), ";"))
		c.seq = nil
	case n > 3 && (b < '0' || b > '9') && b != ';':
		c.err, c.seq = 12, nil
	case n > 80:
		c.err, c.seq = 14, nil
	}
}

func (c *control) do(letter byte, args []string) {
	p := c.p
	switch letter {
	case 'B':
		p.say(fmt.Sprintf("%d\r", p.free()))
	case 'L':
		p.say(fmt.Sprintf("%d\r", p.m.Serial.Buffer))
	case 'E':
		p.say(fmt.Sprintf("%d\r", c.err))
		c.err = 0
	case 'O': // 0 busy, 8 empty and ready: page 10-39
		s := 0
		if p.Idle() {
			s = 8
		}
		p.say(fmt.Sprintf("%d\r", s))
	case 'J':
	case 'K':
		p.rx = nil
		p.h.mnem, p.h.label, p.pending = "", false, ""
	case 'R':
		*c = newControl(p)
	case 'H', 'I':
		c.mode = letter
		c.level, c.enq, c.reply = number(args, 0, 80), byte(number(args, 1, 0)), bytesOf(args, 2)
		if len(args) == 1 && args[0] == "" {
			c.mode = 0
		}
	case 'N':
		c.xoff = bytesOf(args, 1)
	}
}

// flow sends what the handshake requires now.
func (c *control) flow() {
	free, held := c.p.free(), len(c.p.rx)
	if c.asked && free >= c.level {
		c.asked = false
		c.p.say(string(c.reply))
	}
	if c.mode != 'I' || c.enq != 0 || len(c.xoff) == 0 {
		return
	}
	if !c.halted && free < c.level {
		c.halted = true
		c.p.say(string(c.xoff))
	}
	if c.halted && held <= xonLevel && free > c.level {
		c.halted = false
		c.p.say(string(c.reply))
	}
}

func number(args []string, i, otherwise int) int {
	if i < len(args) {
		if n, err := strconv.Atoi(args[i]); err == nil {
			return n
		}
	}
	return otherwise
}

// bytesOf reads the character codes from argument i on.
func bytesOf(args []string, i int) []byte {
	var out []byte
	for ; i < len(args); i++ {
		if n := number(args, i, 0); n > 0 && n < 128 {
			out = append(out, byte(n))
		}
	}
	return out
}
