package report

import (
	"context"
	"flag"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"weftplot/paths/fault"
	"weftplot/paths/label"
	"weftplot/plot"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
	"weftplot/plot/program/programtest"
	"weftplot/profiles"
)

var thorough = flag.Bool("thorough", false, "every design on every machine, on paper and as a kit")

// What a person reads beside the work is within the columns of a sheet, has no place in
// the text of a file, no negative nought and no negative place without a word, and says
// nothing of frames and grippers where there are none.
func TestSheetsAreForPeople(t *testing.T) {
	ways := []map[string][]string{
		{"machine": {job.NoMachine}, "print": {"letter"}, "transfer": {"tracing"}},
		{"machine": {job.NoMachine}, "print": {"a3"}, "transfer": {"iron-on"}},
		{"copies": {"3"}, "machine": {"flatbed-hpgl"}, "ticks": {"true"}},
		{"transfer": {"tracing"}, "machine": {"knife-cutter"}, "pen": {"drag-knife"}},
	}
	for _, name := range profiles.Names(profiles.MachineKind) {
		ways = append(ways, map[string][]string{"machine": {name}}, map[string][]string{"machine": {name}, "lay": {job.LaidTurned}, "border": {"3,2"}})
	}
	for i, file := range programtest.DesignFiles(t, "../..") {
		d := programtest.ReadDesign(t, file)
		for k, way := range ways {
			if (i+k)%13 != 0 && !*thorough {
				continue
			}
			s, err := job.Settings{Design: filepath.Base(file), Name: strings.TrimSuffix(filepath.Base(file), ".svg"), Effort: "quick", Really: true}.With(way)
			if err != nil {
				t.Fatal(err)
			}
			s.Width = 300
			if b := d.Bounds(); b.Height() > 1.5*b.Width() {
				s.Width, s.Height = 0, 450
			}
			j, err := plot.Make(context.Background(), jobtest.Inputs(t, d, s), s, plot.Options{})
			if err != nil {
				t.Errorf("%s, %v: %v", s.Design, way, err)
				continue
			}
			r, files, err := Files(j, nil, Options{Names: func(setting string) string { return "--" + setting }})
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range files {
				if f.Name == "sheet.txt" {
					checkSheet(t, s, string(f.Data))
				}
			}
			for _, w := range r.Warnings {
				if placeInFile.MatchString(w.Plain()) {
					t.Errorf("%s: %q", s.Design, w.Plain())
				}
			}
		}
	}
}

var (
	negativeNought = regexp.MustCompile(`-0\.0+\b`)
	placeInFile    = regexp.MustCompile(`\bline \d+[,:]`)
	onAFrame       = regexp.MustCompile(`(?i)\b(frame|gripper|clamp)`)
	negativePlace  = regexp.MustCompile(`(-\d+\.\d mm, |, -\d+\.\d mm )`)
)

func checkSheet(t *testing.T, s job.Settings, sheet string) {
	t.Helper()
	for _, line := range strings.Split(sheet, "\n") {
		if n := utf8.RuneCountInString(line); n > label.Columns {
			t.Errorf("%s on %s: %d columns: %s", s.Design, s.Machine, n, line)
		}
		for _, wrong := range []*regexp.Regexp{negativeNought, placeInFile} {
			if wrong.MatchString(line) {
				t.Errorf("%s on %s: %s", s.Design, s.Machine, line)
			}
		}
		if s.Transfer != job.Direct && onAFrame.MatchString(line) {
			t.Errorf("%s on paper: %s", s.Design, line)
		}
	}
	whole := strings.Join(strings.Fields(sheet), " ")
	if negativePlace.MatchString(whole) && !strings.Contains(whole, "the machine's 0,0") {
		t.Errorf("%s on %s: a negative place is said without a word", s.Design, s.Machine)
	}
	if strings.Contains(fault.Rename(whole, nil), "[") {
		t.Errorf("%s: a setting stands in brackets", s.Design)
	}
}

// TestLessTravel: the sheet says how much less another order could travel, rounded up, and
// where that says little, says so.
func TestLessTravel(t *testing.T) {
	for _, c := range []struct {
		bound, travel float64
		want          string
	}{
		{974, 1000, "no order travels more than 2.6 % less"},
		{950, 1000, "no order travels more than 5.0 % less"},
		{973.91, 1000, "no order travels more than 2.7 % less"},
		{1000.01, 1000, "no order travels more than 0.0 % less"},
		{901, 1000, "no order travels more than 9.9 % less; the limit is rough, and this order may still be the best"},
	} {
		if got := lessTravel(c.bound, c.travel); got != c.want {
			t.Errorf("bound %g of %g: %q, want %q", c.bound, c.travel, got, c.want)
		}
	}
}
