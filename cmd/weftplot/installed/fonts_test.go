package installed

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/fontscan"

	"weftplot/cmd/weftplot/terminal"
)

// Of a family one face of each kind is taken, whatever the order they are found in.
func TestFacesOfAFamily(t *testing.T) {
	print := func(file, family string, a font.Aspect) fontscan.Footprint {
		return fontscan.Footprint{Location: fontscan.Location{File: file}, Family: font.NormalizeFamily(family), Aspect: a}
	}
	list := []fontscan.Footprint{
		print("/f/rope-narrow.ttf", "Net Rope", font.Aspect{Style: font.StyleNormal, Weight: font.WeightNormal, Stretch: font.StretchCondensed}),
		print("/f/rope-bold.ttf", "Net Rope", font.Aspect{Style: font.StyleNormal, Weight: font.WeightBold, Stretch: font.StretchNormal}),
		print("/f/rope.ttf", "Net Rope", font.Aspect{Style: font.StyleNormal, Weight: font.WeightNormal, Stretch: font.StretchNormal}),
		print("/f/all.ttc", "Net Rope", font.Aspect{Style: font.StyleItalic, Weight: font.WeightNormal, Stretch: font.StretchNormal}),
		print("/f/oar.otf", "Oar", font.Aspect{Style: font.StyleNormal, Weight: font.WeightThin, Stretch: font.StretchNormal}),
	}
	for family, want := range map[string]string{"net rope": "/f/rope.ttf /f/rope-bold.ttf", "Net Rope": "/f/rope.ttf /f/rope-bold.ttf", "Oar": "/f/oar.otf", "Sail": ""} {
		back := slices.Clone(list)
		slices.Reverse(back)
		for _, all := range [][]fontscan.Footprint{list, back} {
			if got := strings.Join(facesOf(all, family), " "); got != want {
				t.Errorf("%s: %q, want %q", family, got, want)
			}
		}
	}
}

// A font of the system is found by its family; files stay as they are named.
func TestFonts(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "plain"), []byte("x"), 0o644); err != nil {
		t.Fatal(err)
	}
	s := terminal.Streams{Dir: dir}
	given := []string{"missing.ttf", "Serif=sub/rope", "plain", "A="}
	if got, err := Fonts(s, given); err != nil || !slices.Equal(got, given) {
		t.Errorf("%v, %v; want %v", got, err, given)
	}
	if _, err := Fonts(s, []string{"No Such Family 9"}); err == nil || !strings.Contains(err.Error(), `"No Such Family 9" is installed`) {
		t.Skipf("the fonts of the system: %v", err)
	}
	got, err := Fonts(s, []string{"Motto=DejaVu Sans"})
	if err != nil {
		t.Skipf("DejaVu Sans (Debian package fonts-dejavu-core): %v", err)
	}
	if family, file, _ := strings.Cut(got[0], "="); family != "Motto" || filepath.Base(file) != "DejaVuSans.ttf" {
		t.Errorf("found %v, want DejaVuSans.ttf first", got)
	}
}
