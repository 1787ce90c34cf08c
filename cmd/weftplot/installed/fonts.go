// Package installed finds the fonts of a computer by the names of their families.
package installed

import (
	"cmp"
	"errors"
	"io"
	"io/fs"
	"log"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/fontscan"

	"weftplot/cmd/weftplot/terminal"
	"weftplot/paths/fault"
)

// Fonts puts in the place of a font's family name the files of the fonts of that
// family which are installed. A name that is a file, or could be one, stays. A family
// that is not installed is a [fault.Input].
func Fonts(s terminal.Streams, names []string) ([]string, error) {
	var out []string
	for _, name := range names {
		family, file, renamed := strings.Cut(name, "=")
		if !renamed {
			family, file = "", name
		}
		if file == "" || couldBeFile(s, file) {
			out = append(out, name)
			continue
		}
		files, err := filesOf(file)
		if err != nil {
			return nil, err
		}
		for _, f := range files {
			if renamed {
				f = family + "=" + f
			}
			out = append(out, f)
		}
	}
	return out, nil
}

// couldBeFile reports whether a name is that of a file, or is written like one.
func couldBeFile(s terminal.Streams, name string) bool {
	if strings.ContainsAny(name, `/\`) || slices.Contains([]string{".ttf", ".otf", ".ttc", ".otc", ".woff", ".woff2"}, strings.ToLower(filepath.Ext(name))) {
		return true
	}
	_, err := os.Stat(s.Path(name))
	return !errors.Is(err, fs.ErrNotExist)
}

// faces are the faces of a family that are looked for, as far as it has them:
// upright and slanted, of usual and of bold weight.
var faces = []font.Aspect{
	{Style: font.StyleNormal, Weight: font.WeightNormal},
	{Style: font.StyleNormal, Weight: font.WeightBold},
	{Style: font.StyleItalic, Weight: font.WeightNormal},
	{Style: font.StyleItalic, Weight: font.WeightBold},
}

// filesOf returns the files of the installed fonts of a family, the upright
// one of usual weight first. The list of fonts is kept in the person's cache folder,
// or else a temporary one.
func filesOf(family string) ([]string, error) {
	dir, err := os.UserCacheDir()
	if err == nil {
		dir = filepath.Join(dir, "weftplot")
		err = os.MkdirAll(dir, 0o755)
	}
	if err != nil {
		dir = os.TempDir()
	}
	all, err := fontscan.SystemFonts(log.New(io.Discard, "", 0), dir)
	if err != nil {
		bad := fault.Bad("font", "name the font's file", "the fonts of this computer cannot be listed: %v", err)
		bad.Err = err
		return nil, bad
	}
	files := facesOf(all, family)
	if len(files) == 0 {
		return nil, fault.Bad("font", "name a family that is installed, or the font's file, such as rope.ttf", "no font of the family %q is installed on this computer", family)
	}
	return files, nil
}

// facesOf returns the files of the faces of a family.
func facesOf(all []fontscan.Footprint, family string) []string {
	all = slices.DeleteFunc(slices.Clone(all), func(f fontscan.Footprint) bool {
		ext := strings.ToLower(filepath.Ext(f.Location.File))
		// A face within a collection cannot be told from the others by its file.
		return f.Family != font.NormalizeFamily(family) || ext != ".ttf" && ext != ".otf"
	})
	// Of the faces of one aspect the first by name, whatever the order of the folders.
	slices.SortFunc(all, func(a, b fontscan.Footprint) int {
		return cmp.Or(cmp.Compare(distance(a.Aspect.Stretch, font.StretchNormal), distance(b.Aspect.Stretch, font.StretchNormal)), cmp.Compare(a.Location.File, b.Location.File))
	})
	var files []string
	for _, want := range faces {
		for _, f := range all {
			if f.Aspect.Style == want.Style && f.Aspect.Weight == want.Weight && !slices.Contains(files, f.Location.File) {
				files = append(files, f.Location.File)
				break
			}
		}
	}
	if len(files) == 0 && len(all) > 0 { // a family of light faces only, say
		files = append(files, all[0].Location.File)
	}
	return files
}

// distance returns how far one stretch is from another.
func distance(a, b font.Stretch) float64 { return float64(max(a-b, b-a)) }
