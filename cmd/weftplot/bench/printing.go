package bench

import (
	"errors"
	"fmt"

	"weftplot/cmd/weftplot/bench/told"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/job"
	"weftplot/plot/paper"
	"weftplot/profiles"
)

// usualPaper is what a job without a machine is printed on until a person says.
const usualPaper = "letter"

// unprinted are the settings of what is printed, and what each of them is when its
// field is empty.
var unprinted = map[string]func(*job.Settings){
	"print":         func(s *job.Settings) { s.Print = "" },
	"print-margin":  func(s *job.Settings) { s.PrintMargin = "" },
	"printer-scale": func(s *job.Settings) { s.PrinterScale = "" },
	"overlap":       func(s *job.Settings) { s.Overlap = 0 },
	"print-line":    func(s *job.Settings) { s.PrintLine = 0 },
	"print-grey":    func(s *job.Settings) { s.PrintGrey = 0 },
	"border-on":     func(s *job.Settings) { s.BorderOn = "" },
	"iron":          func(s *job.Settings) { s.Iron = "" },
}

// setPrinting sets what is said of printing, and refuses what no paper holds.
func (j *task) setPrinting(key, value string) error {
	s := j.settings
	if value == "" {
		unprinted[key](&s)
	} else {
		var err error
		if s, err = s.With(map[string][]string{key: {value}}); err != nil {
			return unnamed(err)
		}
	}
	if _, _, err := s.Paper(); err != nil {
		return unnamed(err)
	}
	j.settings = s
	j.lent.print = j.lent.print && key != "print"
	return nil
}

// noMachine makes the job one without a program, for paper alone: nothing is drawn on
// the backing itself until a person says so.
func (b *bench) noMachine(j *task) {
	j.settings.Machine = job.NoMachine
	if j.settings.Print == "" {
		j.settings.Print, j.lent.print = usualPaper, true
	}
	if j.settings.Transfer == job.Direct {
		j.settings.Transfer, j.lent.transfer = job.Tracing, true
	}
	b.memory.Choose(profiles.MachineKind, job.NoMachine)
}

// lentBefore tells, of a job that is opened, what was chosen for the person: paper and
// tracing as they are both chosen where no machine draws.
func (j *task) lentBefore() {
	s := j.settings
	if !s.HasMachine() && s.Print == usualPaper && s.Transfer == job.Tracing {
		j.lent.print, j.lent.transfer = true, true
	}
}

// withMachine takes back what was chosen for the person while no machine drew the job.
func (j *task) withMachine() {
	if j.lent.print {
		j.settings.Print = ""
	}
	if j.lent.transfer {
		j.settings.Transfer = job.Direct
	}
	j.lent.print, j.lent.transfer = false, false
}

// errNoMachine refuses what only a machine can do.
var errNoMachine = fault.Bad("", "print its paper, or choose a machine on the step The machine", "this job is for paper, and no machine draws it")

// printingValues adds to v what the fields of printing hold.
func (j *task) printingValues(v map[string]string) {
	s := j.settings
	v["print"], v["print-margin"], v["printer-scale"] = s.Print, s.PrintMargin, s.PrinterScale
	v["border-on"], v["iron"] = s.BorderOn, s.Iron
	if s.BorderOn == "" {
		v["border-on"] = job.BorderOnMachine
	}
	for key, l := range map[string]paths.Length{"overlap": s.Overlap, "print-line": s.PrintLine} {
		if l > 0 {
			v[key] = fmt.Sprintf("%gmm", float64(l))
		}
	}
	if s.PrintGrey > 0 {
		v["print-grey"] = fmt.Sprintf("%g", s.PrintGrey)
	}
}

// unprintable is the trouble of a pattern that cannot go onto the paper that is
// asked for; nil for any other error.
func unprintable(err error) *told.Trouble {
	var f *fault.Error
	if !errors.As(err, &f) {
		return nil
	}
	if _, ok := unprinted[f.Where]; !ok {
		return nil
	}
	return ptr(told.TroubleOf(err))
}

// papers are the sizes of paper that the page offers.
func papers() []string { return paper.SizeNames() }
