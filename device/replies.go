package device

import (
	"math"
	"strconv"
	"strings"

	"weftplot/paths"
)

// replyKind is what a line from a line-acknowledging controller is.
type replyKind int

const (
	// replyNoise is a line that means nothing: noise, or a controller's talk.
	replyNoise replyKind = iota
	replyOK
	replyError
	replyAlarm
	replyStatus
	// replyTalk is a message in square brackets, of no consequence.
	replyTalk
)

// reply is such a line taken apart.
type reply struct {
	kind replyKind
	text string
	// state is the state in a status report, in lower case, at the first two
	// numbers in it, the position, and z the third of the row.
	state string
	at    paths.Point
	hasAt bool
	z     float64
	hasZ  bool
}

// parseReply takes a line apart. Whatever is not plainly one of the known
// answers is noise: a half-heard `ok` must not count as one.
func parseReply(line string) reply {
	text := strings.Trim(line, " \t\r\n\x00")
	r := reply{text: text}
	low := strings.ToLower(text)
	switch {
	case low == "ok":
		r.kind = replyOK
	case strings.HasPrefix(low, "error"):
		r.kind = replyError
	case strings.HasPrefix(low, "alarm"):
		r.kind = replyAlarm
	case strings.HasPrefix(low, "[") && strings.HasSuffix(low, "]"):
		r.kind = replyTalk
	case strings.HasPrefix(low, "<") && strings.HasSuffix(low, ">") && !strings.ContainsAny(low[1:len(low)-1], "<>"):
		r.parseStatus(low[1 : len(low)-1])
	}
	return r
}

// parseStatus reads the inside of a status report: its first word is the state,
// the first row of numbers joined by commas the position.
func (r *reply) parseStatus(s string) {
	end := strings.IndexFunc(s, func(c rune) bool { return c < 'a' || c > 'z' })
	if end < 0 {
		end = len(s)
	}
	if end == 0 {
		return
	}
	r.kind, r.state = replyStatus, s[:end]
	for _, field := range strings.FieldsFunc(s[end:], func(c rune) bool { return strings.ContainsRune(" |:;=", c) }) {
		nums := strings.Split(field, ",")
		if len(nums) < 2 {
			continue
		}
		x, errX := strconv.ParseFloat(nums[0], 64)
		y, errY := strconv.ParseFloat(nums[1], 64)
		if p := (paths.Point{X: x, Y: y}); errX == nil && errY == nil && p.IsFinite() {
			r.at, r.hasAt = p, true
			if len(nums) > 2 {
				z, err := strconv.ParseFloat(nums[2], 64)
				r.z, r.hasZ = z, err == nil && !math.IsNaN(z) && !math.IsInf(z, 0)
			}
			return
		}
	}
}

// isBabble reports whether a line holds what no controller says: it hints at a
// wrong baud rate.
func isBabble(line string) bool {
	for _, b := range []byte(line) {
		if b >= 0x7f || b < ' ' && b != '\t' {
			return true
		}
	}
	return false
}
