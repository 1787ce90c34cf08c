package sending

import (
	"weftplot/cmd/weftplot/terminal"
	"weftplot/device"
)

// helm takes the keys that a person presses while a job runs.
type helm struct {
	bar   *terminal.Progress
	asked chan device.Key
}

const helmKeys = "keys: h hold after this stroke, l lift the pen now, g go on, s stop the job; Ctrl-C stops it too"

func newHelm(bar *terminal.Progress) *helm { return &helm{bar: bar, asked: make(chan device.Key, 16)} }

// press passes a key on and says what it does. It does not wait.
func (h *helm) press(p terminal.Key) {
	var asked device.Key
	var words string
	switch p {
	case 'h', 'H':
		asked, words = device.Hold, "hold: the pen goes up at the end of this stroke, or sooner if that is far"
	case 'l', 'L':
		asked, words = device.Lift, "lift: the pen goes up where it is"
	case 'g', 'G':
		asked, words = device.Resume, "going on"
	case 's', 'S':
		asked, words = device.Stop, "stop: the machine comes to rest with its pen up"
	case '?':
		h.bar.Say("%s", helmKeys)
		return
	default:
		return
	}
	select {
	case h.asked <- asked:
		h.bar.Say("%s", words)
	default: // the machine has yet to answer to the ones before
	}
}
