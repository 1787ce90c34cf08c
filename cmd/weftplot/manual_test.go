package main

import (
	"os/exec"
	"strings"
	"testing"

	"weftplot/cmd/weftplot/arguments"
	"weftplot/cmd/weftplot/manual"
	"weftplot/cmd/weftplot/terminal"
	"weftplot/paths/label"
	"weftplot/plot/job"
)

func pagesOf(pages []manual.Page) []manual.Page {
	var out []manual.Page
	for _, g := range pages {
		out = append(append(out, g), pagesOf(g.Pages)...)
	}
	return out
}

func manualPages(t *testing.T) (manual.Program, []manual.Page) {
	t.Helper()
	p := described(newApp(terminal.Streams{}), terminal.Streams{})
	return p, pagesOf(p.Pages)
}

// A screen is 24 lines of 80 characters, the size of the terminals that others
// imitate (common practice).
func TestHelpFitsTheScreen(t *testing.T) {
	p, pages := manualPages(t)
	fits := func(name, text string, most int) {
		lines := strings.Split(strings.TrimRight(text, "\n"), "\n")
		if len(lines) > most {
			t.Errorf("%s: %d lines", name, len(lines))
		}
		for _, l := range lines {
			if len([]rune(l)) > label.Columns && !strings.HasPrefix(l, "  weftplot ") {
				t.Errorf("%s: a line of %d characters: %s", name, len([]rune(l)), l)
			}
		}
	}
	fits("weftplot", p.Screen(), 48)
	for _, g := range pages {
		fits(g.Name, g.Screen(p.Name, false), 48)
		fits(g.Name+" all", g.Screen(p.Name, true), 200)
	}
}

// asked are the flags that must be given, or ask for another work of the command.
var asked = map[string]bool{
	"scan --out": true, "letter --height": true, "letter --out": true, "send --port": true,
	"register --port": true, "register --out": true, "register --check": true, "register --load": true,
}

// Every setting is in one of the groups a maker knows, and every command has a usage
// and, but for the shortest, an example that its flags allow.
func TestManualIsWhole(t *testing.T) {
	p, pages := manualPages(t)
	prepare, ok := p.Page([]string{"prepare"})
	if !ok {
		t.Fatal("prepare has no page")
	}
	for _, k := range job.Keys() {
		if f, ok := prepare.Flag(k.Name); !ok || f.Group == "" || f.Group == "more" {
			t.Errorf("--%s is in no group: add it to manual/groups.go", k.Name)
		}
	}
	for _, g := range pages {
		if g.Usage == "" {
			t.Errorf("%s: no usage", g.Name)
		}
		if len(g.Examples) == 0 && !strings.Contains(g.Name, " ") {
			t.Errorf("%s: no example", g.Name)
		}
		for _, f := range g.Flags {
			if f.Value != "" && f.Default == "" && !asked[g.Name+" --"+f.Names[0]] {
				t.Errorf("%s --%s: what holds without it is not told", g.Name, f.Names[0])
			}
			if f.Usage == "" || f.Default == "0" || f.Default == "false" {
				t.Errorf("%s --%s: usage %q, default %q", g.Name, f.Names[0], f.Usage, f.Default)
			}
		}
		for _, e := range g.Examples {
			line, _, _ := strings.Cut(e.Line, " >")
			line, _, _ = strings.Cut(line, " |")
			if _, err := arguments.Arrange(newApp(terminal.Streams{}), strings.Fields(line)); err != nil {
				t.Errorf("%s: %v", e.Line, err)
			}
		}
	}
}

func TestCandidates(t *testing.T) {
	p, _ := manualPages(t)
	for line, want := range map[string]string{
		"pre":                             "prepare preview",
		"prepare --wid":                   "--width",
		"prepare mat.svg --machine gan":   "gantry-servo gantry-z",
		"prepare mat.svg --machine=prac":  "--machine=practice",
		"prepare --craft hooking --pen h": "heat-transfer-pen",
		"profiles sh":                     "show",
		"help sen":                        "send",
		"completion z":                    "zsh",
		"prepare mat":                     "",
		"prepare --out ":                  "",
		"preview x.gcode --pen ":          "",
	} {
		if got := strings.Join(p.Candidates(strings.Split(line, " ")), " "); got != want {
			t.Errorf("%q: %q, want %q", line, got, want)
		}
	}
}

// The manual page passes the formatter that Linux systems have, with every warning on.
func TestManualPageIsRoff(t *testing.T) {
	groff, err := exec.LookPath("groff")
	if err != nil {
		t.Skip("groff is not here")
	}
	p, _ := manualPages(t)
	cmd := exec.Command(groff, "-man", "-Tascii", "-ww", "-P-cbou")
	cmd.Stdin = strings.NewReader(p.Roff())
	var said strings.Builder
	cmd.Stderr = &said
	out, err := cmd.Output()
	if err != nil || said.Len() > 0 {
		t.Fatalf("%v: %s", err, said.String())
	}
	for _, want := range []string{"--width LENGTH", `24", 24-1/2in`, "weftplot prepare mat.svg --width 24in"} {
		if !strings.Contains(string(out), want) {
			t.Errorf("the page does not say %s", want)
		}
	}
}
