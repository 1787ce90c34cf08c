package job_test

import (
	"math"
	"testing"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/plot/job"
)

// Monk's cloth of 12 x 13 an inch: 216 rows across are 18 in, 195 along are 15 in, by
// division.
func TestRowsAreLengths(t *testing.T) {
	g, err := weave.NewGrid(paths.Count{Across: 12 / 25.4, Along: 13 / 25.4})
	if err != nil {
		t.Fatal(err)
	}
	near := func(what string, got paths.Length, want float64) {
		t.Helper()
		if math.Abs(float64(got)-want) > 1e-9 {
			t.Errorf("%s is %v, want %v mm", what, got, want)
		}
	}
	for _, way := range []string{"flags", "file"} {
		s, err := job.Settings{}.With(map[string][]string{"width": {"216rows"}, "height": {"195 rows"}, "margin": {"48rows"}})
		if way == "file" {
			s, err = job.ParseSettings("job.toml", []byte("design = \"mat.svg\"\nwidth = \"216rows\"\nheight = \"195 rows\"\nmargin = \"48rows\"\n"))
		}
		if err == nil {
			s, err = s.WithRows(g)
		}
		if err != nil {
			t.Fatalf("%s: %v", way, err)
		}
		near(way+": width", s.Width, 18*25.4)
		near(way+": height", s.Height, 15*25.4)
		margin, err := paths.ParseLength(s.Margin)
		if err != nil {
			t.Fatal(err)
		}
		near(way+": margin", margin, 4*25.4)
	}
	// A length takes the place of rows, and rows of the other side.
	s, _ := job.Settings{}.With(map[string][]string{"width": {"216rows"}})
	if s, err = s.With(map[string][]string{"width": {`24"`}}); err != nil || s.WidthRows != 0 || math.Abs(float64(s.Width)-609.6) > 1e-9 {
		t.Errorf("%+v, %v", s, err)
	}
	if s, err = s.With(map[string][]string{"height": {"100rows"}}); err != nil || s.Width != 0 || s.HeightRows != 100 {
		t.Errorf("%+v, %v", s, err)
	}
	for _, text := range []string{"0rows", "2.5rows", "0in", "-3in", "rows"} {
		if _, err := (job.Settings{}).With(map[string][]string{"width": {text}}); err == nil {
			t.Errorf("a width of %s is taken", text)
		}
	}
}

// Rows of holes may be written with their word or without it, wherever a setting is a
// number of them.
func TestRowsWithTheirWord(t *testing.T) {
	read := func(suffix string) job.Settings {
		s, err := job.Settings{}.With(map[string][]string{
			"border": {"4" + suffix + ",2" + suffix}, "clearance": {"3" + suffix}, "repeat-gap": {"0" + suffix}, "hem": {"12" + suffix},
		})
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	for _, suffix := range []string{"", "rows", " rows", "row"} {
		s := read(suffix)
		border, err := s.BorderRows()
		if err != nil || len(border) != 2 || border[0] != 4 || border[1] != 2 {
			t.Errorf("%q: border %v, %v", suffix, border, err)
		}
		gap, err := s.RepeatRows()
		if err != nil || gap != 0 || s.ClearRows() != 3 {
			t.Errorf("%q: gap %d, %v, clearance %d", suffix, gap, err, s.ClearRows())
		}
		hem, err := s.MakingUp()
		if err != nil || len(hem) != 1 || hem[0].Rows != 12 {
			t.Errorf("%q: hem %v, %v", suffix, hem, err)
		}
	}
	for key, texts := range map[string][]string{"border": {"4mm", "1.5rows", "-1", "4rows 2"}, "clearance": {"two", "5in", "1001", "-1rows"}, "repeat-gap": {"x", "3 mm"}, "hem": {"1001rows"}} {
		for _, text := range texts {
			s, err := job.Settings{}.With(map[string][]string{key: {text}})
			if err != nil {
				continue
			}
			_, border := s.BorderRows()
			_, gap := s.RepeatRows()
			_, hem := s.MakingUp()
			if border == nil && gap == nil && hem == nil {
				t.Errorf("%s = %q is taken", key, text)
			}
		}
	}
}
