package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"weftplot/paths"
	"weftplot/paths/dxf"
	"weftplot/paths/fault"
	"weftplot/paths/svg"
	"weftplot/paths/weave/cloth"
	"weftplot/plot"
	"weftplot/profiles"
)

// maxInput bounds every file that is read: designs of a hundred megabytes are
// no line work for a rug.
const maxInput = 100 << 20

// readInput reads a file that a person named. A file that is not there or
// cannot be read is the request's fault, not the machine's.
func readInput(name string) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, fileFault(name, err)
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, fault.Bad(name, "name a file", "this is a folder, not a file")
	}
	data, err := io.ReadAll(io.LimitReader(f, maxInput+1))
	if err != nil {
		return nil, fileFault(name, err)
	}
	if len(data) > maxInput {
		return nil, fault.Bad(name, "", "the file is larger than %d MB, the most that is read", maxInput>>20)
	}
	return data, nil
}

func fileFault(name string, err error) error {
	what := "the file cannot be read"
	switch {
	case errors.Is(err, fs.ErrNotExist):
		what = "there is no such file"
	case errors.Is(err, fs.ErrPermission):
		what = "you may not read this file"
	}
	return &fault.Error{Kind: fault.Input, Where: name, What: what, Do: "check the name and the folder", Err: err}
}

// readDesign reads a design by what it holds. One that is sound but holds no
// line work is no error here: what it holds instead is in its notes.
func readDesign(name string, data []byte, s plot.Settings, fonts []svg.Font) (d paths.Design, err error) {
	switch {
	case len(data) == 0:
		return paths.Design{}, fault.Bad(name, "give an SVG or DXF design", "the file is empty")
	case dxf.Looks(data) || strings.EqualFold(filepath.Ext(name), ".dxf"):
		d, err = readDXF(name, data, s)
	case s.Units != "":
		return paths.Design{}, fault.Bad("units", "say how large the rug is to be: --width 24in", "an SVG design says by itself in what unit it is drawn")
	default:
		d, err = svg.Read(name, data, svg.Options{Dashes: s.Dashes, Unite: s.Unite, Skip: s.Skip, Fonts: fonts})
	}
	if err != nil && len(d.Notes) > 0 {
		return d, nil
	}
	return d, err
}

// readDXF reads a DXF design in the unit that was said, else in the file's own.
// It need have none where the finished size is said.
func readDXF(name string, data []byte, s plot.Settings) (paths.Design, error) {
	switch {
	case s.Unite:
		return paths.Design{}, fault.Bad("unite", "leave it out", "a DXF design has no filled shapes to unite")
	case len(s.Font) > 0:
		return paths.Design{}, fault.Bad("font", "turn its text into lines in the drawing program", "the text of a DXF design is not drawn")
	}
	opt := dxf.Options{Proportions: s.Width > 0 || s.Height > 0}
	if s.Units != "" {
		if err := s.Validate(); err != nil {
			return paths.Design{}, err
		}
		unit, err := paths.ParseLength("1" + s.Units)
		if err != nil {
			return paths.Design{}, err
		}
		opt.Unit = float64(unit)
	}
	return dxf.Read(name, data, opt)
}

// from returns a reader of files named as seen from the folder dir.
func from(dir string) func(string) ([]byte, error) {
	return func(name string) ([]byte, error) {
		if !filepath.IsAbs(name) {
			name = filepath.Join(dir, name)
		}
		return readInput(name)
	}
}

// A kept file goes into the job folder under the name that job.toml gives it.
type kept struct {
	read  func(string) ([]byte, error)
	files []plot.File
}

func (k *kept) keep(name string, data []byte) string {
	for _, f := range k.files {
		if f.Name == name {
			return name
		}
	}
	k.files = append(k.files, plot.File{Name: name, Data: data})
	return name
}

// isFile reports whether a profile is named by its file.
func isFile(name string) bool {
	return strings.HasSuffix(name, ".toml") || strings.ContainsAny(name, `/\`)
}

// loadProfile returns a profile by name or from a file, and the name that
// job.toml is to use for it.
func loadProfile[T any](k *kept, kind profiles.Kind, name string, parse func(string, []byte) (T, error)) (T, string, error) {
	var zero T
	if !isFile(name) {
		data, err := profiles.Source(kind, name)
		if err != nil {
			return zero, name, err
		}
		v, err := parse(name+".toml", data)
		return v, name, err
	}
	data, err := k.read(name)
	if err != nil {
		return zero, name, err
	}
	v, err := parse(name, data)
	if err != nil {
		return zero, name, err
	}
	base := filepath.Base(name)
	if prefix := string(kind) + "-"; !strings.HasPrefix(base, prefix) {
		base = prefix + base
	}
	return v, k.keep(base, data), nil
}

// loadInputs reads everything that the settings name, and returns the settings
// as the job folder's own job.toml says them, with the files that go into the
// folder beside it.
func loadInputs(read func(string) ([]byte, error), s plot.Settings) (plot.Inputs, plot.Settings, []plot.File, error) {
	var in plot.Inputs
	k := kept{read: read}
	for _, step := range []func() error{
		func() error { return k.loadDesign(&in, &s) },
		func() error { return k.loadMachine(&in, &s) },
		func() (err error) {
			in.Backing, s.Backing, err = loadProfile(&k, profiles.BackingKind, s.Backing, profiles.ParseBacking)
			return err
		},
		func() error { return k.loadPens(&in, &s) },
		func() error { return k.loadMarks(&in, &s) },
	} {
		if err := step(); err != nil {
			return plot.Inputs{}, plot.Settings{}, nil, err
		}
	}
	return in, s, k.files, nil
}

func (k *kept) loadDesign(in *plot.Inputs, s *plot.Settings) error {
	data, err := k.read(s.Design)
	if err != nil {
		return err
	}
	var fonts []svg.Font
	if fonts, s.Font, err = k.loadFonts(s.Font); err != nil {
		return err
	}
	if in.Design, err = readDesign(s.Design, data, *s, fonts); err != nil {
		return err
	}
	if in.Design, err = in.Design.Without(s.Skip); err != nil {
		return err
	}
	ext := filepath.Ext(s.Design)
	if s.Name == "" {
		s.Name = strings.TrimSuffix(filepath.Base(s.Design), ext)
	}
	s.Design = k.keep("design"+strings.ToLower(ext), data)
	return nil
}

// loadFonts reads the fonts of text, each named FILE or FAMILY=FILE, and
// returns them with the names that job.toml is to use.
func (k *kept) loadFonts(names []string) (fonts []svg.Font, kept []string, err error) {
	for i, name := range names {
		family, file, named := strings.Cut(name, "=")
		if !named {
			family, file = "", name
		}
		if file == "" {
			return nil, nil, fault.Bad("font", `write FILE or FAMILY=FILE, such as "Serif=rope.ttf"`, "%q names no font file", name)
		}
		data, err := k.read(file)
		if err != nil {
			return nil, nil, err
		}
		fonts = append(fonts, svg.Font{File: file, Family: family, Data: data})
		to := k.keep(fmt.Sprintf("font-%d%s", i+1, strings.ToLower(filepath.Ext(file))), data)
		if named {
			to = family + "=" + to
		}
		kept = append(kept, to)
	}
	return fonts, kept, nil
}

func (k *kept) loadMachine(in *plot.Inputs, s *plot.Settings) (err error) {
	if in.Machine, s.Machine, err = loadProfile(k, profiles.MachineKind, s.Machine, profiles.ParseMachine); err != nil {
		return err
	}
	if s.Language != "" {
		in.Machine.Language = s.Language
	}
	return in.Machine.Validate(s.Machine)
}

func (k *kept) loadPens(in *plot.Inputs, s *plot.Settings) (err error) {
	in.Pens = map[string]profiles.Pen{}
	load := func(name string) (string, error) {
		p, name, err := loadProfile(k, profiles.PenKind, name, profiles.ParsePen)
		in.Pens[name] = p
		return name, err
	}
	if s.Pen, err = load(s.Pen); err != nil {
		return err
	}
	penFor := map[string]string{}
	for _, layer := range slices.Sorted(maps.Keys(s.PenFor)) {
		if penFor[layer], err = load(s.PenFor[layer]); err != nil {
			return err
		}
	}
	s.PenFor = penFor
	return nil
}

func (k *kept) loadMarks(in *plot.Inputs, s *plot.Settings) error {
	if s.Marks == "" {
		return nil
	}
	data, err := k.read(s.Marks)
	if err != nil {
		return err
	}
	if in.Marks, err = cloth.ParseMarks(s.Marks, data); err != nil {
		return err
	}
	s.Marks = k.keep("marks.toml", data)
	return nil
}
