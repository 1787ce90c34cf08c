package arguments_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/urfave/cli/v2"

	"weftplot/cmd/weftplot/arguments"
)

// Flags come before other words, and a question for help becomes a command.
func TestArrange(t *testing.T) {
	app := &cli.App{Name: "loom", Commands: []*cli.Command{
		{Name: "draw", Flags: []cli.Flag{&cli.StringFlag{Name: "width"}, &cli.BoolFlag{Name: "turn"}}},
		{Name: "profiles", Subcommands: []*cli.Command{{Name: "list"}}},
	}}
	for typed, want := range map[string]string{
		"":                            "loom",
		"draw mat --width 3in --turn": "loom draw --width 3in --turn -- mat",
		"draw --width=3in mat":        "loom draw --width=3in -- mat",
		"draw --turn -- --width":      "loom draw --turn -- --width",
		"draw mat -h":                 "loom help draw",
		"profiles list":               "loom profiles list --",
		"--version --json":            "loom version --json",
		"--help":                      "loom help",
	} {
		got, err := arguments.Arrange(app, append([]string{"loom"}, strings.Fields(typed)...))
		if err != nil || !slices.Equal(got, strings.Fields(want)) {
			t.Errorf("%q becomes %q, %v; want %q", typed, got, err, want)
		}
	}
	for typed, want := range map[string]string{
		"draw --widht 3in": "there is no flag --widht",
		"draw mat --width": "the flag --width needs a value",
		"--loud":           "there is no flag --loud",
	} {
		if got, err := arguments.Arrange(app, append([]string{"loom"}, strings.Fields(typed)...)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q becomes %q, %v; want the fault %q", typed, got, err, want)
		}
	}
}
