package bench

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"weftplot/cmd/weftplot/bench/told"
	"weftplot/plot"
	"weftplot/plot/job"
	"weftplot/plot/jobfolder"
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

// posts has lines to be put into channels, motifs, and slanting lines.
const posts = `<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="220mm" viewBox="0 0 300 220" fill="none" stroke="#000"><g id="house"><path d="M60 180V80L150 30L240 80V180Z"/></g><g id="post"><path d="M150 180V100"/></g>
<g id="wave"><path d="M0 212V200L10 190L20 200V212Z M10 190V205"/></g><g id="star"><path d="M282 200L290 208L298 200L290 192Z"/></g></svg>`

// TestSameAsPrepare sets slanting lines, named lines and motifs on the page: the folder holds
// the programs and settings that "prepare" makes of the same job, and what is not possible is
// refused in a sentence and changes nothing.
func TestSameAsPrepare(t *testing.T) {
	t.Parallel()
	b, _, _ := attacked(t)
	file := filepath.Join(t.TempDir(), "posts.svg")
	if err := os.WriteFile(file, []byte(posts), 0o666); err != nil {
		t.Fatal(err)
	}
	if err := b.openFile(file); err != nil {
		t.Fatal(err)
	}
	for _, p := range []patch{{"diagonals": "off"}, {"width": "22in", "border": "4"}, {"repeat": "wave"}, {"repeat-height": "14rows", "repeat-gap": "3", "repeat-give": "size"}, {"repeat-corner": "star"}, {"channel": "post=across:128"}} {
		if err := setOn(b, p); err != nil {
			t.Fatalf("%v: %v", p, err)
		}
	}
	settle(t, b)
	s := job.Defaults()
	s.Design, s.Name = "posts.svg", "posts"
	s, err := s.With(map[string][]string{"width": {"22in"}, "border": {"4"}, "diagonals": {"off"}, "channel": {"post=across:128"},
		"repeat": {"wave"}, "repeat-height": {"14rows"}, "repeat-gap": {"3"}, "repeat-give": {"size"}, "repeat-corner": {"star"}})
	if err != nil {
		t.Fatal(err)
	}
	in, s, _, err := job.ReadInputs(jobfolder.Place(filepath.Dir(file)).Read, s)
	if err != nil {
		t.Fatal(err)
	}
	want, err := plot.Make(t.Context(), in, s, plot.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(want.PenRuns) != len(b.job.made.PenRuns) {
		t.Fatalf("%d programs, and prepare makes %d", len(b.job.made.PenRuns), len(want.PenRuns))
	}
	for i, r := range want.PenRuns {
		if got, err := os.ReadFile(filepath.Join(b.job.dir, r.File)); err != nil || !bytes.Equal(got, r.Text) {
			t.Errorf("%s is not what prepare makes: %v", b.job.made.PenRuns[i].File, err)
		}
	}
	text, err := want.Settings.Format()
	if err != nil || !bytes.Equal(b.job.lasttoml, text) {
		t.Errorf("job.toml holds\n%s\nand prepare writes\n%s%v", b.job.lasttoml, text, err)
	}
	shown := b.job.shown()
	if v := shown.Settings; v["channel"] != "post=across:128" || v["diagonals"] != "off" || v["repeat"] != "wave" || v["repeat-corner"] != "star" || v["repeat-give"] != "size" {
		t.Errorf("the fields hold %q", v)
	}
	if len(shown.Repeat) < 4 || !slices.Contains(shown.InFile, "star") {
		t.Errorf("told of motifs: %q, of layers: %q", shown.Repeat, shown.InFile)
	}
	for _, p := range []patch{{"diagonals": "some"}, {"channel": "post=up:9"}, {"channel": "post=across:4"}, {"channel": "fence=across:9"}, {"repeat": "ship"}, {"repeat-gap": "wide"}, {"repeat-height": "deep"}, {"repeat-give": "up"}, {"repeat-corner": "wave"}, {"border": ""}} {
		was := b.job
		if err := setOn(b, p); err == nil || b.job != was {
			t.Errorf("%v is taken: %v", p, err)
		}
	}
	if err := setOn(b, patch{"repeat": "", "channel": "", "diagonals": "on"}); err != nil {
		t.Fatal(err)
	}
	if s := b.job.settings; s.Repeat+s.RepeatGap+s.RepeatCorner+s.RepeatGive+s.RepeatHeight != "" || s.Channel != nil {
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

// TestMachineAfterOpening opens a job for paper again, and lets a machine draw it: it is no
// longer printed nor traced. What the person chose stays.
func TestMachineAfterOpening(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		chosen   patch
		print    string
		transfer job.Transfer
	}{{nil, "", job.Direct}, {patch{"print": "a4"}, "a4", job.Tracing}} {
		b := withDemo(t)
		for _, p := range []patch{{"machine": job.NoMachine}, c.chosen} {
			if err := setOn(b, p); err != nil {
				t.Fatal(err)
			}
		}
		settle(t, b)
		if err := b.openFile(b.job.dir); err != nil {
			t.Fatal(err)
		}
		if err := setOn(b, patch{"machine": "practice"}); err != nil {
			t.Fatal(err)
		}
		if s := b.job.settings; s.Print != c.print || s.Transfer != c.transfer {
			t.Errorf("%v: printed on %q, %s", c.chosen, s.Print, s.Transfer)
		}
	}
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
