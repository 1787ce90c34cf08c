package sim

import (
	"testing"

	"weftplot/profiles"
)

// A report written from an expression is matched by that expression in package
// regexp, and its named parts are the values that were written.
func TestReportIsWhatItsFormMatches(t *testing.T) {
	for form, want := range map[string]string{
		profiles.UsualManner().Status:                                                                 "<rest 1.000,-2.500,5.000>",
		`\[(?P<state>[a-z]+) at (?P<x>[-0-9.]+) (?P<y>[-0-9.]+)\]`:                                    "[rest at 1.000 -2.500]",
		`(?P<state>[a-z]+)`:                                                                           "rest",
		`S=(?P<state>\w+)(;X(?P<x>\S+)Y(?P<y>\S+))?(;F\d+)?`:                                          "S=rest;X1.000Y-2.500",
		`(?:at (?P<x>[^ ]+) (?P<y>[^ ]+) (?P<z>[^ ]+)|nowhere)[ \t]{2,}(?P<state>[a-z]+)[!?]+`:        "at 1.000 -2.500 5.000  rest!",
		`(?i)STATE[^a-z](?P<state>[a-z]+).(?P<y>[-0-9.]+)/(?P<x>[-0-9.]+)(?: (?P<z>[0-9.]+)| none)*?`: "state rest -2.500/1.000 5.000",
	} {
		m := profiles.UsualManner()
		m.Status = form
		got := newSpeech(m).report([]string{"rest"}, 1, -2.5, 5)
		if got != want {
			t.Errorf("%s writes %q, want %q", form, got, want)
		}
		re, err := m.StatusForm()
		if err != nil {
			t.Fatal(err)
		}
		found := re.FindStringSubmatch(got)
		if found == nil {
			t.Errorf("%s does not match %q, which it wrote", form, got)
			continue
		}
		for i, name := range re.SubexpNames() {
			if is := map[string]string{"state": "rest", "x": "1.000", "y": "-2.500", "z": "5.000"}; name != "" && found[i] != is[name] {
				t.Errorf("%s: part %s of %q is %q", form, name, got, found[i])
			}
		}
	}
}
