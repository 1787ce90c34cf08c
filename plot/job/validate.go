package job

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"weftplot/paths/fault"
	"weftplot/paths/order"
	"weftplot/profiles"
)

// A rule is one thing that must hold of a setting.
type rule struct {
	key  string
	bad  func(Settings) bool
	do   string
	what func(Settings) string
}

// rules judge settings in which every default stands, see [Settings.Complete].
var rules = []rule{
	{"width", func(s Settings) bool { return s.Width < 0 || s.Width > 1e5 }, `give a size above zero, such as "24in"`,
		func(s Settings) string { return "a rug cannot be " + s.Width.String() + " wide" }},
	{"height", func(s Settings) bool { return s.Height < 0 || s.Height > 1e5 }, `give a size above zero, such as "24in"`,
		func(s Settings) string { return "a rug cannot be " + s.Height.String() + " high" }},
	{"units", func(s Settings) bool { return s.Units != "" && !slices.Contains(Units, s.Units) }, "use " + strings.Join(Units, ", "),
		func(s Settings) string { return fmt.Sprintf("there is no unit called %q here", s.Units) }},
	{"craft", func(s Settings) bool { return s.Craft != PunchNeedle && s.Craft != Hooking }, "use punch-needle or hooking",
		func(s Settings) string { return fmt.Sprintf("there is no craft called %q here", s.Craft) }},
	{"transfer", func(s Settings) bool { return s.Transfer != Direct && s.Transfer != Tracing && s.Transfer != IronOn }, "use direct, tracing or iron-on",
		func(s Settings) string { return fmt.Sprintf("there is no transfer called %q here", s.Transfer) }},
	{"clearance", func(s Settings) bool { n := s.ClearRows(); return n < 0 || n > 1000 }, "give a number of rows from 0 to 1000",
		func(s Settings) string { return fmt.Sprintf("%d rows cannot be kept free", s.Clearance) }},
	{"snap", func(s Settings) bool { return !(s.Snap > 0 && s.Snap <= 20) }, "give an angle above 0 and up to 20 degrees, or [no-snap]",
		func(s Settings) string { return fmt.Sprintf("an angle of %g degrees is no use for snapping", s.Snap) }},
	{"stripes", func(s Settings) bool { return s.Stripes != "" && !stripesWay(s.Stripes) }, "use even or nearest",
		func(s Settings) string { return fmt.Sprintf("spacings cannot be kept %q", s.Stripes) }},
	{"stripes-for", func(s Settings) bool { return badStripes(s) != "" }, "use even or nearest",
		func(s Settings) string { return fmt.Sprintf("spacings of a layer cannot be kept %q", badStripes(s)) }},
	{"diagonals", func(s Settings) bool {
		return s.Diagonals != "" && s.Diagonals != DiagonalsOn && s.Diagonals != DiagonalsOff
	}, "use on or off",
		func(s Settings) string {
			return fmt.Sprintf("slanting lines cannot be put through holes %q", s.Diagonals)
		}},
	{"tolerance", func(s Settings) bool { return !(s.Tolerance >= 0.005 && s.Tolerance <= 2) }, "give a length from 0.005mm to 2mm",
		func(s Settings) string { return fmt.Sprintf("a tolerance of %s is not possible", s.Tolerance) }},
	{"language", func(s Settings) bool { return s.Language != "" && !slices.Contains(profiles.Languages, s.Language) }, "use gcode, hpgl or hpgl2",
		func(s Settings) string { return fmt.Sprintf("there is no language called %q here", s.Language) }},
	{"least", func(s Settings) bool { return s.Least != "" && s.Least != LeastTravel && s.Least != LeastTime }, "use travel or time",
		func(s Settings) string { return fmt.Sprintf("an order cannot be kept short of %q", s.Least) }},
	{"border-on", func(s Settings) bool {
		return s.BorderOn != "" && s.BorderOn != BorderOnMachine && s.BorderOn != BorderOnCloth
	}, "use machine or cloth",
		func(s Settings) string { return fmt.Sprintf("a border cannot be drawn on %q", s.BorderOn) }},
	{"border-on", func(s Settings) bool {
		return s.BorderOn == BorderOnCloth && (s.Border == "" || s.Border == "none")
	}, "give a [border], or leave this out",
		func(Settings) string { return "there is no border to draw on the cloth" }},
	{"overlap", func(s Settings) bool { return s.Overlap < 0 || s.Overlap > 1e4 }, `give a length, such as "15mm"`,
		func(s Settings) string { return "sheets cannot share " + s.Overlap.String() }},
	{"print-line", func(s Settings) bool { return s.PrintLine < 0 || s.PrintLine > 10 }, `give a width up to "10mm"`,
		func(s Settings) string { return "a line cannot be printed " + s.PrintLine.String() + " wide" }},
	{"print-grey", func(s Settings) bool { return !(s.PrintGrey >= 0 && s.PrintGrey <= 90) }, "give a number from 0, which is black, to 90",
		func(s Settings) string { return fmt.Sprintf("a grey of %g %% cannot be printed", s.PrintGrey) }},
	{"language", func(s Settings) bool { return s.Language != "" && !s.HasMachine() }, "leave one of the two out",
		func(Settings) string { return "without a machine there is no program, and no language of it" }},
	{"lay", func(s Settings) bool { return s.Lay != "" && s.Lay != Upright && s.Lay != LaidTurned }, "use upright or turned",
		func(s Settings) string { return fmt.Sprintf("cloth cannot lie %q", s.Lay) }},
	{"at", func(s Settings) bool { return len(s.At) != 0 && len(s.At) != 2 }, `give two lengths, such as "50mm,60mm"`,
		func(s Settings) string { return fmt.Sprintf("a place takes two lengths, not %d", len(s.At)) }},
	{"at", func(s Settings) bool { return len(s.At) == 2 && s.Marks != "" }, "leave one of the two out",
		func(Settings) string { return "the marks already say where the rug lies" }},
}

func stripesWay(text string) bool { return text == StripesEven || text == StripesNearest }

// badStripes returns what is said of a layer's stripes that cannot be, the first by
// the layers' names.
func badStripes(s Settings) string {
	for _, layer := range slices.Sorted(maps.Keys(s.StripesFor)) {
		if way := s.StripesFor[layer]; !stripesWay(way) {
			return way
		}
	}
	return ""
}

// check returns the fault of s if the rule is broken.
func (r rule) check(s Settings) error {
	if r.bad(s) {
		return fault.Bad(r.key, r.do, "%s", r.what(s))
	}
	return nil
}

// Validate checks every value that can be judged by itself. A value that is
// wrong is a [fault.Input] that names the setting.
func (s Settings) Validate() error {
	s = s.Complete()
	for _, r := range rules {
		if err := r.check(s); err != nil {
			return err
		}
	}
	if _, err := order.ParseEffort(s.Effort); err != nil {
		return err
	}
	if err := s.validateWords(); err != nil {
		return err
	}
	if err := s.validateKit(); err != nil {
		return err
	}
	if err := s.validatePanels(); err != nil {
		return err
	}
	if _, _, err := parseGauge(or(s.Gauge, DefaultGauge)); err != nil {
		return fault.At("gauge", err)
	}
	for _, layer := range slices.Sorted(maps.Keys(s.SnapFor)) {
		if _, err := s.SnapIn(layer); err != nil {
			return err
		}
	}
	if err := s.validateRepeat(); err != nil {
		return err
	}
	if _, err := s.NamedLines(); err != nil {
		return err
	}
	if _, err := s.MakingUp(); err != nil {
		return err
	}
	_, _, err := s.Paper()
	return err
}

// emptySaid returns the fault of a setting that was said to be empty or 0. In
// a Settings that means the default, which is not what was said. Settings are
// taken as they were read, over the defaults.
func (s Settings) emptySaid() error {
	if s.Clearance < 0 { // NoClearance is not for files
		return fault.Bad("clearance", "give a number of rows from 0 to 1000", "%d rows cannot be kept free", s.Clearance)
	}
	zero := map[string]bool{"craft": s.Craft == "", "transfer": s.Transfer == "", "snap": s.Snap == 0, "tolerance": s.Tolerance == 0}
	for _, r := range rules {
		if zero[r.key] {
			if err := r.check(s); err != nil {
				return err
			}
		}
	}
	if s.Effort == "" {
		_, err := order.ParseEffort("")
		return err
	}
	for _, p := range []struct {
		kind profiles.Kind
		name string
	}{{profiles.MachineKind, s.Machine}, {profiles.BackingKind, s.Backing}, {profiles.PenKind, s.Pen}} {
		if p.name == "" {
			_, err := profiles.Source(p.kind, "")
			return err
		}
	}
	return nil
}
