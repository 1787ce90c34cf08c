package gcode

import (
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/profiles"
)

// TestPenTimes: a stated time is held against what the lines say. What they say is worked
// out by hand: 5 mm at F600, 10 mm/s, take 0.5 s, and a wait takes its P in seconds
// (NISTIR 6556, 3.5.4).
func TestPenTimes(t *testing.T) {
	for name, c := range map[string]struct {
		up, down     []string
		upBy, downBy float64
		says         string // of the error, "" for none
	}{
		"by feed":           {[]string{"G1 Z5 F300"}, []string{"G1 Z0 F600"}, 1, 0.5, ""},
		"compact":           {[]string{"G1Z5F300"}, []string{"G1Z0F600"}, 1, 0.5, ""},
		"by feed, too fast": {[]string{"G1 Z5 F300"}, []string{"G1 Z0 F600"}, 0.5, 0.5, "lift.up_time: the lines take at least 1 s"},
		"by feed, too long": {[]string{"G1 Z5 F600"}, []string{"G1 Z0 F600"}, 0.5, 0.9, "lift.down_time: the lines take about 0.5 s"},
		"two feeds":         {[]string{"G0 Z5"}, []string{"G1 Z2 F1200", "Z0 F60"}, 0.3, 2.15, ""},
		"two feeds, one":    {[]string{"G0 Z5"}, []string{"G1 Z2 F1200", "Z0 F60"}, 0.3, 2, "lift.down_time: the lines take at least 2.15 s"},
		"over the top":      {[]string{"G1 Z8 F600", "Z5"}, []string{"G1 Z0 F600"}, 0.8, 0.5, "lift.up_time: the lines take at least 1.1 s"},
		"rapid":             {[]string{"G0 Z5"}, []string{"G0 Z1", "G1 Z0 F60", "G4 P0.1"}, 0.3, 1.2, ""},
		"rapid left out":    {[]string{"G0 Z5"}, []string{"G0 Z1", "G1 Z0 F60", "G4 P0.1"}, 0.3, 1.1, "lift.down_time: the lines move the pen at a rapid"},
		"servo":             {[]string{"M5", "G4 P0.25"}, []string{"M3 S90", "G4 P0.25"}, 0.25, 0.25, ""},
		"servo, two waits":  {[]string{"M5", "G4 P0.25", "G4 P0.5"}, []string{"M3 S90"}, 0.75, 0.1, ""},
		"servo, no wait":    {[]string{"M5"}, []string{"M3 S90"}, 0.2, 0.2, ""},
		"servo in no time":  {[]string{"M5"}, []string{"M3 S90"}, 0.2, 0, "lift.down_time: the pen is moved by M3 S90, which takes time"},
		"air in no time":    {[]string{"M9", "G4 P0"}, []string{"M8"}, 0, 0.2, "lift.up_time: the pen is moved by M9, which takes time"},
	} {
		l := profiles.Lift{Up: c.up, Down: c.down, UpTime: paths.Duration(c.upBy), DownTime: paths.Duration(c.downBy)}
		if key, err := CheckPenLines(l, profiles.InSeconds); err != nil {
			t.Errorf("%s: %s: %v", name, key, err)
			continue
		}
		got := ""
		if key, err := CheckPenTimes(l, profiles.InSeconds); err != nil {
			got = key + ": " + err.Error()
		}
		if c.says == "" && got != "" || !strings.HasPrefix(got, c.says) {
			t.Errorf("%s: %q, want %q", name, got, c.says)
		}
	}
}

// TestWaitsInMilliseconds: the times of a profile are held against waits in its own unit,
// so one that says the other unit is found out.
func TestWaitsInMilliseconds(t *testing.T) {
	for _, c := range []struct {
		wait  string
		waits profiles.WaitUnit
		says  string
	}{
		{"G4 P250", profiles.InMilliseconds, ""},
		{"G4 P0.25", profiles.InSeconds, ""},
		{"G4 P0.25", profiles.InMilliseconds, "lift.up_time: the lines take about 0.00025 s, and the time is said to be 0.25 s"},
		{"G4 P250", profiles.InSeconds, "lift.up: \"G4 P250\": the wait G4 needs P with its seconds, 10 at most"},
		{"G4 P12000", profiles.InMilliseconds, "lift.up: \"G4 P12000\": the wait G4 needs P with its milliseconds, 10000 at most"},
	} {
		l := profiles.Lift{Up: []string{"M5", c.wait}, Down: []string{"M3 S90", "G4 P10"}, UpTime: 0.25, DownTime: 0.1}
		if c.waits == profiles.InSeconds {
			l.Down[1] = "G4 P0.01"
		}
		key, err := CheckPenLines(l, c.waits)
		if err == nil {
			key, err = CheckPenTimes(l, c.waits)
		}
		got := ""
		if err != nil {
			got = key + ": " + err.Error()
		}
		if c.says == "" && got != "" || !strings.HasPrefix(got, c.says) {
			t.Errorf("%s in %s: %q, want %q", c.wait, c.waits, got, c.says)
		}
	}
}

// TestWaitsOfOthers: a wait that counts otherwise than in seconds by P is named as such.
func TestWaitsOfOthers(t *testing.T) {
	for line, says := range map[string]string{
		"G4 P250": "needs P with its seconds, 10 at most", "G4": "needs P", "G4 S1": "needs P", "G4 P1 S1": "needs P", "G4 X1": "the word X is not",
		"M5 G4 P1": "on a line of its own", "P1": "belongs to a wait",
	} {
		_, err := ReadPenMove([]string{"M5", line}, nil, profiles.InSeconds)
		if err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, want %q", line, err, says)
		}
	}
}
