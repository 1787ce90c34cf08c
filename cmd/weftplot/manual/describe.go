package manual

import (
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"weftplot/paths/letters"
	"weftplot/paths/order"
	"weftplot/paths/weave/cloth/models"
	"weftplot/plot/job"
	"weftplot/plot/paper"
	"weftplot/profiles"
)

// Describe returns what there is to say about a program's commands. Commands that take
// the settings of a job have their flags in groups, and the defaults of a job. machine
// is the one that is meant where none is named; "" is that of a job.
func Describe(app *cli.App, version, date, machine string) Program {
	p := Program{Name: app.Name, Usage: app.Usage, Text: app.Description, Version: version, Date: date}
	for _, c := range app.Commands {
		if !c.Hidden {
			p.Pages = append(p.Pages, describe(c, "", machine))
		}
	}
	return p
}

func describe(c *cli.Command, above, machine string) Page {
	name := strings.TrimSpace(above + " " + c.Name)
	g := Page{Name: name, Arguments: c.ArgsUsage, Usage: c.Usage, Text: c.Description, Examples: examples[name]}
	for _, f := range c.Flags {
		g.Flags = append(g.Flags, describeFlag(f))
	}
	if takesSettings(c) {
		for i, f := range g.Flags {
			if d := job.DefaultText(f.Names[0]); d != "" {
				g.Flags[i].Default = d
			}
		}
		g.Flags = Group(g.Flags)
	}
	for i, f := range g.Flags {
		if machine != "" && f.Names[0] == "machine" && f.Default == job.SimulatedMachine {
			g.Flags[i].Default = machine
		}
	}
	for _, below := range c.Subcommands {
		g.Pages = append(g.Pages, describe(below, name, machine))
	}
	return g
}

// takesSettings reports whether a command has a flag for every setting of a job.
func takesSettings(c *cli.Command) bool {
	for _, k := range job.Keys() {
		if !slices.ContainsFunc(c.Flags, func(f cli.Flag) bool { return f.Names()[0] == k.Name }) {
			return false
		}
	}
	return true
}

func describeFlag(f cli.Flag) Flag {
	out := Flag{Names: f.Names()}
	if _, text := f.(*cli.StringFlag); text {
		out.Choices = Choices(f.Names()[0])
	}
	about, ok := f.(cli.DocGenerationFlag)
	if !ok {
		return out
	}
	usage := about.GetUsage()
	if parts := strings.SplitN(usage, "`", 3); len(parts) == 3 {
		out.Value = parts[1]
	} else if about.TakesValue() {
		out.Value = "N"
		if len(out.Choices) > 0 {
			out.Value = "CHOICE"
		}
	}
	out.Usage = strings.ReplaceAll(usage, "`", "")
	_, out.Repeats = f.(*cli.StringSliceFlag)
	switch d := about.GetValue(); {
	case !about.TakesValue():
	case inWords(f) != "":
		out.Default = inWords(f)
	case d != "0" && d != "[]":
		out.Default = strings.Trim(d, `"`)
	}
	return out
}

// inWords is the default of a flag that says it in words, "" of any other.
func inWords(f cli.Flag) string {
	switch f := f.(type) {
	case *cli.StringFlag:
		return f.DefaultText
	case *cli.IntFlag:
		return f.DefaultText
	case *cli.Float64Flag:
		return f.DefaultText
	}
	return ""
}

// Choices returns the words that a flag's value is one of, nil where it is none of a
// list.
func Choices(flag string) []string {
	if of := choices[flag]; of != nil {
		return of()
	}
	return nil
}

// choices has the lists by flag, from where they are decided.
var choices = map[string]func() []string{
	"machine":     func() []string { return append(profiles.Names(profiles.MachineKind), job.NoMachine) },
	"backing":     func() []string { return profiles.Names(profiles.BackingKind) },
	"pen":         penNames,
	"ink":         penNames,
	"language":    func() []string { return words(profiles.Languages) },
	"craft":       func() []string { return words([]job.Craft{job.PunchNeedle, job.Hooking}) },
	"transfer":    func() []string { return words([]job.Transfer{job.Direct, job.Tracing, job.IronOn}) },
	"units":       func() []string { return job.Units },
	"alphabet":    letters.Names,
	"words-at":    func() []string { return []string{job.WordsBottom, job.WordsTop} },
	"fit":         func() []string { return models.Names },
	"lay":         func() []string { return []string{job.Upright, job.LaidTurned} },
	"print":       paper.SizeNames,
	"border-on":   func() []string { return []string{job.BorderOnMachine, job.BorderOnCloth} },
	"stripes":     func() []string { return []string{job.StripesEven, job.StripesNearest} },
	"diagonals":   func() []string { return []string{job.DiagonalsOn, job.DiagonalsOff} },
	"repeat-give": func() []string { return job.Ways },
	"effort":      func() []string { return []string{order.Quick.String(), order.Normal.String(), order.Thorough.String()} },
	"least":       func() []string { return []string{job.LeastTravel, job.LeastTime} },
	"align":       func() []string { return []string{"left", "centre", "right"} },
}

func penNames() []string { return profiles.Names(profiles.PenKind) }

func words[T ~string](of []T) []string {
	var out []string
	for _, v := range of {
		out = append(out, string(v))
	}
	return out
}
