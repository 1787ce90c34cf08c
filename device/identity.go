package device

import (
	"crypto/sha256"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"weftplot/profiles"
)

// machineTextVersion is the version of the text that [machineText] returns. It
// goes up when the same machine is given another text; a key that is left out
// while it has its usual value gives no other text.
const machineTextVersion = 1

// machineText returns what of a machine's profile matters to a job on the wire,
// as lines of key=value in the order of their keys. Lengths are in mm, times in
// s, speeds in mm/s, as the shortest decimals that give the number back. Left out
// are the name, which a journal says beside it, the description, and where pens
// are parked and wiped and how arcs and words are written, which the text of the program says.
//
// A journal keeps the hash of this text, so that a machine is the same one as
// long as these values are, whatever else a new version of the program knows of
// machines. The manner of answering is one word while it is the usual one.
func machineText(m profiles.Machine) string {
	values := map[string]string{
		"language":          string(m.Language),
		"area":              decimals(m.Area[:]...),
		"origin":            m.Origin,
		"speed.draw":        decimals(m.Speed.Draw),
		"speed.travel":      decimals(m.Speed.Travel),
		"speed.accel":       decimals(m.Speed.Accel),
		"speed.corner":      decimals(m.Speed.Corner),
		"speed.axes":        decimals(m.Speed.Axes...),
		"lift.up":           quoted(m.Lift.Up),
		"lift.down":         quoted(m.Lift.Down),
		"lift.up_time":      decimals(m.Lift.UpTime),
		"lift.down_time":    decimals(m.Lift.DownTime),
		"serial.baud":       strconv.Itoa(m.Serial.Baud),
		"serial.flow":       string(m.Serial.Flow),
		"serial.buffer":     strconv.Itoa(m.Serial.Buffer),
		"hpgl.unit":         decimals(m.HPGL.Unit),
		"hpgl.bits":         strconv.Itoa(m.HPGL.Bits),
		"hpgl.swap":         strconv.FormatBool(m.HPGL.Swap),
		"hpgl.force":        strconv.Itoa(m.HPGL.Force),
		"calibration.scale": decimals(m.Calib.Scale[:]...),
	}
	if u := m.GCode.Waits; u != "" && u != profiles.InSeconds { // the usual unit was there before the key
		values["gcode.waits"] = string(u)
	}
	maps.Copy(values, mannerValues(m.Serial.Manner))
	var b strings.Builder
	for _, key := range slices.Sorted(maps.Keys(values)) {
		fmt.Fprintf(&b, "%s=%s\n", key, values[key])
	}
	return b.String()
}

// mannerValues returns the keys of a manner and their values. A better usual
// manner in a new version of the program must not make another machine of it.
func mannerValues(m profiles.Manner) map[string]string {
	if reflect.DeepEqual(m, profiles.UsualManner()) {
		return map[string]string{"serial.manner": "usual"}
	}
	values := map[string]string{}
	for key, value := range map[string]string{
		"greeting": m.Greeting, "accepted": m.Accepted, "refused": m.Refused, "alarm": m.Alarm, "status": m.Status,
		"ask": m.Ask, "hold": m.Hold, "go_on": m.GoOn, "reset": m.Reset,
	} {
		values["serial.manner."+key] = strconv.Quote(value)
	}
	for key, value := range map[string][]string{
		"aside": m.Aside, "states.idle": m.States.Idle, "states.moving": m.States.Moving, "states.held": m.States.Held, "states.alarm": m.States.Alarm,
	} {
		values["serial.manner."+key] = quoted(value)
	}
	return values
}

// decimals writes numbers with blanks between.
func decimals[T ~float64](v ...T) string {
	words := make([]string, len(v))
	for i, x := range v {
		words[i] = strconv.FormatFloat(float64(x), 'g', -1, 64)
	}
	return strings.Join(words, " ")
}

// quoted writes texts, in quotes, with blanks between.
func quoted(lines []string) string {
	words := make([]string, len(lines))
	for i, l := range lines {
		words[i] = strconv.Quote(l)
	}
	return strings.Join(words, " ")
}

// machineHash is the machine in the heading of a journal: the version of the text
// and the first half of its hash.
func machineHash(m profiles.Machine) string {
	sum := sha256.Sum256([]byte(machineText(m)))
	return fmt.Sprintf("v%d-%x", machineTextVersion, sum[:16])
}

// firstMachineHash is the machine in the heading of a journal of the first form:
// a hash of the profile as Go's %+v verb printed it then. The print is built here
// value by value, in the order that the fields had, so that no later field or
// name changes it. Nothing writes it any more.
func firstMachineHash(m profiles.Machine) string {
	s, l, c, h := m.Speed, m.Lift, m.Serial, m.HPGL
	print := fmt.Sprintf("{Name:%s About:%s Language:%s Area:%v Origin:%s Park:%v ", m.Name, m.About, m.Language, m.Area, m.Origin, m.Park) +
		fmt.Sprintf("Speed:{Draw:%v Travel:%v Accel:%v Corner:%v Axes:%v} ", s.Draw, s.Travel, s.Accel, s.Corner, s.Axes) +
		fmt.Sprintf("Lift:{Up:%v Down:%v UpTime:%v DownTime:%v} ", l.Up, l.Down, l.UpTime, l.DownTime) +
		fmt.Sprintf("Serial:{Baud:%d Flow:%s Buffer:%d} ", c.Baud, c.Flow, c.Buffer) +
		fmt.Sprintf("HPGL:{Unit:%v Bits:%d Swap:%t Force:%d} ", h.Unit, h.Bits, h.Swap, h.Force) +
		fmt.Sprintf("Calib:{Scale:%v} WipeAt:%v}", m.Calib.Scale, m.WipeAt)
	sum := sha256.Sum256([]byte(print))
	return fmt.Sprintf("%x", sum[:8])
}
