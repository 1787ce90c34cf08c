package bench

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"weftplot/cmd/weftplot/bench/told"
	"weftplot/plot/job"
)

// TestSetWeave sets what the section More for the weave has: it stands in job.toml as a
// person would write it, an empty field says nothing again, and what is not possible is
// refused in a sentence and changes nothing.
func TestSetWeave(t *testing.T) {
	t.Parallel()
	b := withDemo(t)
	set := func(p patch) error { return b.change(func(j *task) error { return b.apply(j, p) }) }
	layer := b.job.layers()[0].Name
	good := patch{"border": "3", "snap": "2", "stripes": "nearest", "gauge": "6/in", "ticks": "true", "hem": "4rows", "cut": "20", "first": layer, "margin": "5in"}
	if err := set(good); err != nil {
		t.Fatal(err)
	}
	waitUntil(t, b, func() bool { return strings.Contains(string(b.job.lasttoml), "nearest") })
	text, err := os.ReadFile(filepath.Join(b.job.dir, jobFile))
	if err != nil {
		t.Fatal(err)
	}
	s, err := job.ParseSettings(jobFile, text)
	if err != nil {
		t.Fatal(err)
	}
	if s.Snap != 2 || s.Stripes != job.StripesNearest || s.Gauge != "6/in" || !s.Ticks || s.Hem != "4rows" || s.Cut != "20" || len(s.First) != 1 || s.First[0] != layer {
		t.Errorf("job.toml says %+v", s)
	}
	says := b.job.values()
	for key, want := range good {
		if key != "margin" && says[key] != want {
			t.Errorf("the field of %s holds %q, not %q", key, says[key], want)
		}
	}
	if !strings.Contains(strings.Join(namesOf(b.job.layers()), " "), "hem") {
		t.Errorf("the hem is not drawn: %v", b.job.layers())
	}
	for key, value := range map[string]string{"snap": "90", "stripes": "wide", "gauge": "thick", "ticks": "some", "hem": "-3", "cut": "2"} {
		was := b.job
		if err := set(patch{key: value}); err == nil || b.job != was {
			t.Errorf("%s = %s is taken: %v", key, value, err)
		}
	}
	if err := set(patch{"snap": "", "stripes": "", "gauge": "", "ticks": "false", "hem": "", "cut": "", "first": ""}); err != nil {
		t.Fatal(err)
	}
	if s := b.job.settings; s.Complete().Snap != 3 || s.Stripes != "" || s.Gauge != "" || s.Ticks || s.Hem+s.Cut != "" || len(s.First) > 0 {
		t.Errorf("empty fields leave %+v", s)
	}
}

func namesOf(layers []told.Layer) []string {
	var out []string
	for _, l := range layers {
		out = append(out, l.Name)
	}
	return out
}

// TestMachineAgain leaves the machine and takes it again: the paper and the tracing that
// were chosen for the person go, and what the person chose stays.
func TestMachineAgain(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		chosen   patch
		print    string
		transfer job.Transfer
	}{
		{nil, "", job.Direct},
		{patch{"print": "a4"}, "a4", job.Direct},
		{patch{"print": "letter", "transfer": "tracing"}, "letter", job.Tracing},
		{patch{"transfer": "iron-on", "pen": "heat-transfer-pen"}, "", job.IronOn},
	} {
		b := withDemo(t)
		for _, p := range []patch{{"machine": job.NoMachine}, c.chosen, {"machine": "practice"}} {
			if err := b.change(func(j *task) error { return b.apply(j, p) }); err != nil {
				t.Fatal(err)
			}
		}
		if s := b.job.settings; s.Print != c.print || s.Transfer != c.transfer {
			t.Errorf("%v: printed on %q, %s", c.chosen, s.Print, s.Transfer)
		}
	}
}
