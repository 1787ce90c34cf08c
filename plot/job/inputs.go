package job

import (
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/label"
	"weftplot/paths/svg"
	"weftplot/paths/weave/cloth"
	"weftplot/plot/disk"
	"weftplot/plot/language"
	"weftplot/profiles"
)

// File is one file of a job folder.
type File struct {
	Name string // in the folder; one of a load is in its folder, "load-2/plot.gcode"
	Data []byte // all of it
}

// Inputs are what a job is made from, all read already.
type Inputs struct {
	Design  paths.Design     // as its reader made it
	Machine profiles.Machine // with the language of the settings
	Backing profiles.Backing // that it is worked on
	// Pens holds every pen that the settings name, by name.
	Pens map[string]profiles.Pen
	// Marks are the registration of the cloth; none lets the nominal count hold.
	Marks []cloth.Mark
	// MarksFor are those of later loads, by their numbers from 1.
	MarksFor map[int][]cloth.Mark
	// Names say whom the copies of a kit are for; none where only their number is said.
	Names []Named
}

// ReadInputs reads everything that the settings name. It returns the settings as
// the job folder's own job.toml says them, and the files that go into the folder
// beside it, so that the folder makes itself again. What cannot be read is a
// [fault.Input] that names the file.
func ReadInputs(read disk.Reader, s Settings) (Inputs, Settings, []File, error) {
	return ReadInputsTold(read, s, nil)
}

// ReadInputsTold is [ReadInputs] that tells progress, unless nil, now and then how much of
// the design is read.
func ReadInputsTold(read disk.Reader, s Settings, progress func(done, total int)) (Inputs, Settings, []File, error) {
	s = s.Complete()
	var in Inputs
	k := keeper{read: read, progress: progress}
	for _, step := range []func(*Inputs, *Settings) error{
		k.readDesign, k.readMachine, k.readBacking, k.readPens, k.readMarks, k.readNames,
	} {
		if err := step(&in, &s); err != nil {
			return Inputs{}, Settings{}, nil, err
		}
	}
	return in, s, k.files, nil
}

// A keeper reads files and keeps those that go into the job folder.
type keeper struct {
	read     disk.Reader
	files    []File
	progress func(done, total int) // of the design; may be nil
}

// keep puts a file into the job folder under a name and returns the name. Of
// files of one name the first is kept.
func (k *keeper) keep(name string, data []byte) string {
	name = label.Clean(name, label.File)
	if !slices.ContainsFunc(k.files, func(f File) bool { return f.Name == name }) {
		k.files = append(k.files, File{Name: name, Data: data})
	}
	return name
}

func (k *keeper) readDesign(in *Inputs, s *Settings) error {
	data, err := k.read(s.Design, disk.MaxFile)
	if err != nil {
		return err
	}
	var fonts []svg.Font
	if fonts, s.Font, err = k.readFonts(s.Font); err != nil {
		return err
	}
	if in.Design, err = readDesign(s.Design, data, *s, fonts, k.progress); err != nil {
		return err
	}
	in.Design.Name = label.Clean(in.Design.Name, label.Line)
	if in.Design, err = in.Design.Without(s.Skip); err != nil {
		return err
	}
	ext := filepath.Ext(s.Design)
	if s.Name == "" {
		s.Name = strings.TrimSuffix(filepath.Base(s.Design), ext)
	}
	s.Name = label.Clean(s.Name, label.Line)
	s.Design = k.keep("design"+strings.ToLower(ext), data)
	return nil
}

// readFonts reads the fonts of text, each named FILE or FAMILY=FILE, and
// returns them with the names that job.toml is to use.
func (k *keeper) readFonts(names []string) (fonts []svg.Font, kept []string, err error) {
	for i, name := range names {
		family, file := familyOf(name)
		if file == "" {
			return nil, nil, fault.Bad("font", `write FILE or FAMILY=FILE, such as "Serif=rope.ttf"`, "%q names no font file", name)
		}
		data, err := k.read(file, disk.MaxFont)
		if err != nil {
			return nil, nil, err
		}
		fonts = append(fonts, svg.Font{File: file, Family: family, Data: data})
		to := k.keep(fmt.Sprintf("font-%d%s", i+1, strings.ToLower(filepath.Ext(file))), data)
		if strings.Contains(name, "=") {
			to = family + "=" + to
		}
		kept = append(kept, to)
	}
	return fonts, kept, nil
}

func (k *keeper) readMachine(in *Inputs, s *Settings) (err error) {
	if !s.HasMachine() {
		in.Machine = noMachine()
		return nil
	}
	if in.Machine, s.Machine, err = keepProfile(k, profiles.MachineKind, s.Machine, language.ParseMachine); err != nil {
		return err
	}
	if s.Language != "" {
		in.Machine.Language = s.Language
	}
	if err := in.Machine.Validate(s.Machine); err != nil {
		return err
	}
	return language.CheckLift(s.Machine, in.Machine)
}

// MachineOf reads the machine that settings name, as [ReadInputs] does.
func MachineOf(read disk.Reader, s Settings) (profiles.Machine, error) {
	k := keeper{read: read}
	var in Inputs
	err := k.readMachine(&in, &s)
	return in.Machine, err
}

func (k *keeper) readBacking(in *Inputs, s *Settings) (err error) {
	in.Backing, s.Backing, err = keepProfile(k, profiles.BackingKind, s.Backing, profiles.ParseBacking)
	return err
}

func (k *keeper) readPens(in *Inputs, s *Settings) (err error) {
	in.Pens = map[string]profiles.Pen{}
	load := func(name string) (string, error) {
		p, name, err := keepProfile(k, profiles.PenKind, name, profiles.ParsePen)
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

func (k *keeper) readMarks(in *Inputs, s *Settings) error {
	if err := k.readMarksFor(in, s); err != nil {
		return err
	}
	if s.Marks == "" {
		return nil
	}
	data, err := k.read(s.Marks, disk.MaxText)
	if err != nil {
		return err
	}
	if in.Marks, err = cloth.ParseMarks(s.Marks, data); err != nil {
		return err
	}
	s.Marks = k.keep("marks.toml", data)
	return nil
}

// readMarksFor reads the marks of later loads.
func (k *keeper) readMarksFor(in *Inputs, s *Settings) error {
	kept := map[string]string{}
	for _, number := range slices.Sorted(maps.Keys(s.MarksFor)) {
		n, err := loadNumber(number)
		if err != nil {
			return err
		}
		data, err := k.read(s.MarksFor[number], disk.MaxText)
		if err != nil {
			return err
		}
		marks, err := cloth.ParseMarks(s.MarksFor[number], data)
		if err != nil {
			return err
		}
		if in.MarksFor == nil {
			in.MarksFor = map[int][]cloth.Mark{}
		}
		in.MarksFor[n] = marks
		kept[number] = k.keep(fmt.Sprintf("marks-%d.toml", n), data)
	}
	if len(kept) > 0 {
		s.MarksFor = kept
	}
	return nil
}
