package outside

import (
	"strconv"
	"strings"
)

// escape is the state of a device-control sequence: ESC . letter [numbers :],
// acted on as it comes and never buffered (page 10-23).
type escape struct {
	state  int // 0 none, 1 after ESC, 2 after the point, 3 in the numbers
	letter byte
	text   []byte
}

// device takes a byte that belongs to a device-control sequence.
func (k *plotter) device(b byte) bool {
	e := &k.esc
	switch e.state {
	case 0:
		if b == 27 {
			e.state = 1
			return true
		}
		return false
	case 1:
		e.state = 0
		if b == '.' {
			e.state = 2
			return true
		}
		return false
	case 2:
		e.letter, e.text, e.state = b, nil, 0
		if strings.IndexByte("@HIMN", b) >= 0 {
			e.state = 3
			return true
		}
		k.deviceDo(nil)
		return true
	}
	switch {
	case b == ':':
		e.state = 0
		k.deviceDo(strings.Split(string(e.text), ";"))
	case b == ';' || b == '-' || b >= '0' && b <= '9':
		e.text = append(e.text, b)
		if len(e.text) > 60 {
			e.state = 0
			k.control = 14
		}
	default:
		k.control, e.state = 12, 0
		k.deviceDo(strings.Split(string(e.text), ";"))
	}
	return true
}

// deviceDo carries out a device-control sequence with its numbers.
func (k *plotter) deviceDo(p []string) {
	switch k.esc.letter {
	case 'B':
		k.reply(strconv.Itoa(k.free()))
	case 'L':
		k.sizeAsk = true
		k.pump()
	case 'O':
		k.reply(strconv.Itoa(k.extended()))
	case 'E':
		k.reply(strconv.Itoa(k.control))
		k.control = 0
	case 'K':
		k.rx, k.name, k.number, k.params, k.label, k.pe = nil, "", nil, nil, false, polyline{}
		k.pump()
	case 'J':
		k.sizeAsk, k.asked = false, false
	case 'R':
		k.handshakes()
	case 'H', 'I', 'M', 'N':
		k.deviceSet(p)
	case '@', '(', ')', 'Y', 'Z':
	default:
		k.control = 11
	}
}

// extended is what ESC . O tells (page 10-39).
func (k *plotter) extended() int {
	s := 0
	if k.wheels > k.m.now {
		s = 32
	}
	if len(k.rx) == 0 && k.m.idle() {
		s += 8
	}
	return s
}

// number is parameter i of a device-control sequence, or what it is by default.
func number(p []string, i, def int) int {
	if i >= len(p) {
		return def
	}
	v, err := strconv.Atoi(p[i])
	if err != nil {
		return def
	}
	return v
}

// codes are the characters that the parameters from one on name; 0 is none.
func codes(p []string, from int) []byte {
	var c []byte
	for i := from; i < len(p); i++ {
		if v := number(p, i, 0); v > 0 {
			c = append(c, byte(v))
		}
	}
	return c
}

// deviceSet sets a handshake (pages 10-29 to 10-33).
func (k *plotter) deviceSet(p []string) {
	switch k.esc.letter {
	case 'H', 'I':
		k.block, k.enq = number(p, 0, 80), byte(number(p, 1, 0))
		c := codes(p, 2)
		if k.enq != 0 {
			k.ack = c
		} else if len(c) > 0 {
			k.xonWith, k.xoffAt = c, max(k.block, 1)
		}
	case 'M':
		k.ends = codes(p, 3)
		if len(k.ends) > 2 {
			k.ends = k.ends[:2]
		}
		if len(k.ends) == 0 {
			k.ends = []byte{13}
		}
	case 'N':
		if c := codes(p, 1); len(c) > 0 {
			k.xoffWith = c
			if k.xoffAt == 0 {
				k.xoffAt = 80
			}
		}
	}
}
