package job

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"weftplot/paths/fault"
)

func TestParseNames(t *testing.T) {
	for _, c := range []struct {
		text, want string
	}{
		{"Ada\nBo\n", "Ada:0 Bo:0"},
		{"\ufeffAda\r\n\r\n  Žofie  \r\n", "Ada:0 Žofie:0"},
		{"name,channels\nAda,180\nBo,\n", "Ada:180 Bo:0"},
		{"\"Vos, Ina\",90\n", "Vos, Ina:90"},
		{"Ann \"Bo\" Lee\n", "Ann \"Bo\" Lee:0"},
	} {
		names, err := ParseNames("class.txt", []byte(c.text))
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		var got []string
		for _, n := range names {
			got = append(got, fmt.Sprintf("%s:%d", n.Name, n.Channels))
		}
		if s := strings.Join(got, " "); s != c.want {
			t.Errorf("%q is read as %q, want %q", c.text, s, c.want)
		}
	}
	for text, say := range map[string]string{
		"": "no names", "\n\n": "no names", "Ada,wide\n": "class.txt, line 1", "Ada\nBo,0\n": "class.txt, line 2",
		"Ada,1,2\n": "3 columns", "\xff\xfe": "UTF-8", ",180\n": "no name", strings.Repeat("A\n", MostCopies+1): "more than",
	} {
		if _, err := ParseNames("class.txt", []byte(text)); !errors.Is(err, fault.Input) || !strings.Contains(err.Error(), say) {
			t.Errorf("%.20q: %v, want it to say %q", text, err, say)
		}
	}
}

func FuzzParseNames(f *testing.F) {
	f.Add([]byte("Ada,180\n\"Vos, Ina\"\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		names, err := ParseNames("n", data)
		if err != nil && !errors.Is(err, fault.Input) {
			t.Fatalf("%v is no fault of the input", err)
		}
		for _, n := range names {
			if n.Name == "" || n.Line < 1 {
				t.Fatalf("%+v", n)
			}
		}
	})
}

// The mile is 1760 yards, the yard 36 inches of 25.4 mm (NIST Handbook 44, appendix C).
func TestClothSize(t *testing.T) {
	for text, want := range map[string][2]float64{
		"": {1524, 0}, "60in": {1524, 0}, "60inx5yd": {1524, 4572}, "150cmx2m": {1500, 2000}, "72in x 3yd": {1828.8, 2743.2},
	} {
		w, l, err := Settings{Cloth: text}.ClothSize()
		if err != nil || abs(w-want[0])+abs(l-want[1]) > 1e-6 {
			t.Errorf("%q is %g by %g mm, %v", text, w, l, err)
		}
	}
	for _, text := range []string{"60", "60inx", "x5yd", "0in", "60inx5", "60inx5ydx2", "-60in"} {
		if _, _, err := (Settings{Cloth: text}).ClothSize(); !errors.Is(err, fault.Input) {
			t.Errorf("%q: %v", text, err)
		}
	}
}

func abs(v float64) float64 { return max(v, -v) }
