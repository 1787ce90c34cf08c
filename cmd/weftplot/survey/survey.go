// Package survey is the talk with a person, or a script, that steers the pen to
// marks on the stretched cloth: orders as lines of words, or as single keys. The
// marks, and what they say of the cloth, are those of paths/weave; the machine is
// moved by package device.
package survey

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"weftplot/cmd/weftplot/terminal"
	"weftplot/device"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
	"weftplot/paths/weave/cloth/search"
)

// survey is the state while a person or a script steers the pen from mark to mark on
// the stretched cloth. Orders come as lines of words from either.
type survey struct {
	pilot  *device.Pilot
	park   paths.Point
	found  cloth.Survey
	step   paths.Length // 0 is one channel
	sought *weave.Place // what was steered to and is the next to be marked
	w      io.Writer
	words  func(text string) string // settings as the person calls them
	keep   func([]cloth.Mark) error // puts the marks where they outlive the program
	load   *search.Load             // whose points are found; nil for a whole rug
}

// Steer lets a person, or the lines of the standard input where keys is nil, steer
// the pen from mark to mark, beginning with the marks of found. Each change of the
// marks goes through keep, so that none is lost. It returns the marks that are
// there in the end, also with an error: of a line that cannot be done, which is a
// [fault.Input]; of a machine that is no longer to be steered; of keep; or of ctx.
func Steer(ctx context.Context, s terminal.Streams, keys *terminal.Keyboard, pilot *device.Pilot, park paths.Point, found cloth.Survey, keep func([]cloth.Mark) error) (cloth.Survey, error) {
	return steer(ctx, s, keys, &survey{pilot: pilot, park: park, found: found, step: 1, w: s.Err, words: s.Words, keep: keep})
}

// steer is [Steer] of a survey that is set up.
func steer(ctx context.Context, s terminal.Streams, keys *terminal.Keyboard, v *survey) (cloth.Survey, error) {
	pilot := v.pilot
	if !pilot.Told() {
		s.LookAt("the machine does not say where its pen is; it is taken to stand at the machine's own 0,0")
	}
	v.say("%s", v.where())
	var err error
	if keys != nil {
		err = v.byKeys(ctx, keys)
	} else {
		err = v.byLines(ctx, s.In)
	}
	return v.found, err
}

// order is one kind of order.
type order struct {
	name, args, about string
	do                func(v *survey, args []string) error
}

// errDone ends a survey.
var errDone = errors.New("done")

// orders returns all of them, in the order in which help lists them.
func orders() []order {
	return []order{
		{"left", "[N]", "one step, or N, to the left; so do right, up and down", steps(-1, 0)},
		{"right", "[N]", "", steps(1, 0)},
		{"up", "[N]", "", steps(0, 1)},
		{"down", "[N]", "", steps(0, -1)},
		{"step", "LENGTH", "how far a step goes: a length, such as 0.1mm, or the word channel", (*survey).setStep},
		{"to", "X Y", "to a place on the machine, such as to 61.2mm 48.9mm", (*survey).to},
		{"seek", "ACROSS ALONG", "to where the marks so far say that these channels lie", (*survey).seek},
		{"next", "", "to where the next mark of the rug should be", (*survey).next},
		{"back", "N", "to mark N, to take it again", (*survey).back},
		{"mark", "[ACROSS ALONG]", "the pen is over these channels, or over those that it was sent to", (*survey).mark},
		{"remove", "N", "forget mark N", (*survey).remove},
		{"marks", "", "the marks, how far each is off the fit, and the fit", (*survey).list},
		{"park", "", "to where the machine parks its pen", (*survey).goPark},
		{"help", "", "this list", (*survey).help},
		{"done", "", "the end", func(*survey, []string) error { return errDone }},
	}
}

// do carries out a line. It returns errDone for the last, a [fault.Error] for
// one that cannot be done, and any other error when the machine is no longer to
// be steered.
func (v *survey) do(line string) error {
	words := strings.Fields(line)
	if len(words) == 0 {
		return nil
	}
	for _, o := range orders() {
		if o.name == strings.ToLower(words[0]) {
			return o.do(v, words[1:])
		}
	}
	return fault.Bad("", `"help" lists what there is`, "%q is nothing that can be done here", words[0])
}

func (v *survey) say(format string, args ...any) { fmt.Fprintf(v.w, format+"\n", args...) }

// usage is the fault of an order with wrong arguments.
func usage(name string) error {
	for _, o := range orders() {
		if o.name == name {
			return fault.Bad("", o.about, `write "%s %s"`, o.name, o.args)
		}
	}
	return nil
}

func (v *survey) help([]string) error {
	for _, o := range orders() {
		if o.about != "" {
			v.say("  %-21s %s", strings.TrimSpace(o.name+" "+o.args), o.about)
		}
	}
	return nil
}

// where says where the pen is.
func (v *survey) where() string {
	at := v.pilot.At()
	text := fmt.Sprintf("pen at %.2f, %.2f mm", at.X, at.Y)
	if p, ok := v.found.PlaceAt(at); ok {
		text += fmt.Sprintf(", channel %.1f across, %.1f along", tidy(p.Across), tidy(p.Along))
	}
	return text
}

// tidy returns 0 for a number that would be shown as -0.0.
func tidy(v float64) float64 {
	if math.Abs(v) < 0.05 {
		return 0
	}
	return v
}

// moveTo moves the pen and says where it is.
func (v *survey) moveTo(to paths.Point) error {
	if err := v.pilot.MoveTo(to); err != nil {
		return err
	}
	v.say("%s", v.where())
	return nil
}

// steps returns the order that goes so many steps across and along.
func steps(across, along float64) func(*survey, []string) error {
	return func(v *survey, args []string) error {
		n := 1.0
		if len(args) > 0 {
			k, err := strconv.Atoi(args[0])
			if err != nil || k < 1 || k > 1000 || len(args) > 1 {
				return fault.Bad("", "give how many, from 1 to 1000, or nothing for one", "%q is no number of steps", strings.Join(args, " "))
			}
			n = float64(k)
		}
		at := v.pilot.At()
		d := paths.Point{X: across * n, Y: along * n}
		if v.step > 0 {
			return v.moveTo(at.Add(d.Mul(float64(v.step))))
		}
		// A step of one channel follows the fitted weave, where there is a fit.
		if p, ok := v.found.PlaceAt(at); ok {
			to, _, _ := v.found.Expect(weave.Place{Across: p.Across + d.X, Along: p.Along + d.Y})
			return v.moveTo(to)
		}
		return v.moveTo(at.Add(v.found.Grid().At(weave.Place{Across: d.X, Along: d.Y})))
	}
}

func (v *survey) setStep(args []string) error {
	if len(args) != 1 {
		return usage("step")
	}
	if args[0] == "channel" {
		v.step = 0
		v.say("a step is one channel")
		return nil
	}
	l, err := paths.ParseLength(args[0])
	if err == nil && !(l >= 0.01 && l <= 1000) {
		err = fault.Bad("", "give a length from 0.01mm to 1m, or the word channel", "a step of %s is not possible", l)
	}
	if err != nil {
		return err
	}
	v.step = l
	v.say("a step is %s", l)
	return nil
}

func (v *survey) to(args []string) error {
	if len(args) != 2 {
		return usage("to")
	}
	x, err := paths.ParseLength(args[0])
	if err != nil {
		return err
	}
	y, err := paths.ParseLength(args[1])
	if err != nil {
		return err
	}
	return v.moveTo(paths.Point{X: float64(x), Y: float64(y)})
}
