package bench

import (
	"errors"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/disk"
	"weftplot/plot/job"
	"weftplot/plot/language"
	"weftplot/profiles"
)

// patch is what a page changes: keys of job.toml and their values as text.
type patch map[string]string

// apply lets the values of the page win over the settings.
func (b *bench) apply(j *task, p patch) error {
	for key, value := range p {
		if err := b.set(j, key, strings.TrimSpace(value)); err != nil {
			return fault.At(key, err)
		}
	}
	return nil
}

func (b *bench) set(j *task, key, value string) error {
	s := &j.settings
	switch key {
	case "width", "height":
		return j.setSize(key, value)
	case "craft":
		s.Craft = job.Craft(value)
	case "transfer":
		s.Transfer, j.lent.transfer = job.Transfer(value), false
	case "backing":
		// A count and a margin are those of the backing they were said with.
		s.Count, s.Margin = "", ""
		return b.profile(j, profiles.BackingKind, value, &s.Backing)
	case "machine":
		s.At, s.Language = nil, ""
		if value == job.NoMachine {
			b.noMachine(j)
			return nil
		}
		j.withMachine()
		return b.profile(j, profiles.MachineKind, value, &s.Machine)
	case "pen":
		return b.profile(j, profiles.PenKind, value, &s.Pen)
	case "really":
		s.Really = value == "yes"
		j.decided = s.Really
	case "replace":
		j.replace = value == "yes"
	case "skip":
		s.Skip = slices.DeleteFunc(strings.Split(value, "\n"), func(l string) bool { return l == "" })
	case "names":
		return j.setNames(value)
	default:
		if layer, ok := strings.CutPrefix(key, "pen-for "); ok {
			return b.setPenFor(j, layer, value)
		}
		if _, ok := unprinted[key]; ok {
			return j.setPrinting(key, value)
		}
		return j.setWritten(key, value)
	}
	return nil
}

// written are the settings that the page hands on as they are written, as in
// job.toml and behind the flags of a command.
var written = []string{"border", "clearance", "count", "margin", "snap", "lay", "stripes", "gauge", "ticks", "hem", "fold", "cut", "first",
	"copies", "cloth", "gap", "turn", "panels", "lap", "diagonals", "channel", "repeat", "repeat-height", "repeat-gap", "repeat-give", "repeat-corner"}

// unsaid is what an empty field makes of a setting.
var unsaid = map[string]func(*job.Settings){
	"border":  func(s *job.Settings) { s.Border = "" },
	"count":   func(s *job.Settings) { s.Count = "" },
	"margin":  func(s *job.Settings) { s.Margin = "" },
	"snap":    func(s *job.Settings) { s.Snap, s.NoSnap = 0, false },
	"stripes": func(s *job.Settings) { s.Stripes = "" },
	"gauge":   func(s *job.Settings) { s.Gauge = "" },
	"hem":     func(s *job.Settings) { s.Hem = "" },
	"fold":    func(s *job.Settings) { s.Fold = "" },
	"cut":     func(s *job.Settings) { s.Cut = "" },
	"first":   func(s *job.Settings) { s.First = nil },
	"copies":  func(s *job.Settings) { s.Copies = 0 },
	"cloth":   func(s *job.Settings) { s.Cloth = "" },
	"lap":     func(s *job.Settings) { s.Lap = 0 },
	"gap":     func(s *job.Settings) { s.Gap = "" },
	"channel": func(s *job.Settings) { s.Channel = nil },
	"repeat": func(s *job.Settings) { // what else is said of motifs was said of this one
		s.Repeat, s.RepeatHeight, s.RepeatGap, s.RepeatGive, s.RepeatCorner = "", "", "", "", ""
	},
	"repeat-height": func(s *job.Settings) { s.RepeatHeight = "" },
	"repeat-gap":    func(s *job.Settings) { s.RepeatGap = "" },
}

// setWritten sets what is written on the page as it is on a command line. An
// empty field says nothing.
func (j *task) setWritten(key, value string) error {
	s := j.settings
	switch {
	case key == "snap" && value == "off":
		s.NoSnap = true
	case value == "" && unsaid[key] != nil:
		unsaid[key](&s)
	case slices.Contains(written, key):
		if key == "panels" {
			s.At, s.Lap, s.MarksFor = nil, 0, nil // they were said of the other way
		}
		s.NoSnap = s.NoSnap && key != "snap"
		var err error
		texts := []string{value}
		if key == "channel" { // one to a line of the rug
			texts = strings.Split(value, "\n")
		}
		if s, err = s.With(map[string][]string{key: texts}); err != nil {
			return unnamed(err)
		}
		if err := s.Validate(); err != nil {
			return unnamed(err)
		}
	default:
		return j.setWords(key, value)
	}
	if key == "lay" || key == "copies" || key == "panels" {
		s.At = nil // the place was another one
	}
	j.settings = s
	j.singleAgain()
	return nil
}

// unnamed is a fault without the name of its setting, which stands beside it on
// the page.
func unnamed(err error) error {
	var f *fault.Error
	if !errors.As(err, &f) {
		return err
	}
	own := *f
	own.Where = ""
	return &own
}

// setSize sets one side of the rug; the other follows.
func (j *task) setSize(key, value string) error {
	s := &j.settings
	l, err := j.sizeOf(key, value)
	if err == nil && l <= 0 {
		err = fault.Bad("", `give a length above zero, such as "24in", "61cm" or "610mm"`, "%s is no size for a rug", value)
	}
	if err != nil {
		return err
	}
	s.At = nil
	if key == "width" {
		s.Width, s.Height = l, 0
	} else {
		s.Width, s.Height = 0, l
	}
	j.typed = map[string]string{key: value}
	return nil
}

// sizeOf reads a length, or a number of rows of holes, such as 216rows, which
// are counted along the side that is meant.
func (j *task) sizeOf(key, value string) (paths.Length, error) {
	n, rows := strings.CutSuffix(value, "rows")
	if !rows || j.sketch.Grid.Across == 0 {
		return paths.ParseLength(value)
	}
	k, err := strconv.Atoi(strings.TrimSpace(n))
	if err != nil || k > 1e5 {
		return 0, fault.Bad("", "give a whole number of rows of holes, such as 216rows", "%q is no number of rows", value)
	}
	pitch := j.sketch.Grid.Across
	if key == "height" {
		pitch = j.sketch.Grid.Along
	}
	return paths.Length(float64(k) * pitch), nil
}

func (b *bench) setPenFor(j *task, layer, name string) error {
	if name == "" {
		delete(j.settings.PenFor, layer)
		return nil
	}
	if j.settings.PenFor == nil {
		j.settings.PenFor = map[string]string{}
	}
	var pen string
	if err := b.profile(j, profiles.PenKind, name, &pen); err != nil {
		return err
	}
	j.settings.PenFor[layer] = pen
	return nil
}

// ownMachine is the machine that new jobs begin with.
type ownMachine struct {
	name    string // "" for none
	profile []byte // nil for a built-in one
}

// machineHere reads the machine that new jobs begin with: the name of a built-in one, or
// a file. One that is not sound is a [fault.Error].
func machineHere(name string) (ownMachine, error) {
	if name == "" || !job.IsFile(name) {
		if name != "" {
			if _, err := profiles.MachineNamed(name); err != nil {
				return ownMachine{}, err
			}
		}
		return ownMachine{name: name}, nil
	}
	data, err := disk.Read(name, disk.MaxText)
	if err != nil {
		return ownMachine{}, err
	}
	m, err := language.ParseMachine(name, data)
	return ownMachine{m.Name, data}, err
}

// profile finds a profile by the name that the page shows: a built-in one, one
// that a person keeps on this computer, or the one that the job has already.
func (b *bench) profile(j *task, kind profiles.Kind, name string, into *string) error {
	own := kind == profiles.MachineKind && name == b.here.name && b.here.profile != nil
	if !own && slices.Contains(profiles.Names(kind), name) {
		*into = name
		b.memory.Choose(kind, name)
		return nil
	}
	data, ok := b.memory.Profile(kind, name)
	if own {
		data, ok = b.here.profile, true
	}
	if ok {
		file := string(kind) + "-" + name + ".toml"
		held := map[string][]byte{}
		for k, v := range j.bytes {
			held[k] = v
		}
		held[file] = data
		j.bytes = held
		j.read = reader(held, j.dir)
		*into = file
		b.memory.Choose(kind, name)
		return nil
	}
	if file := string(kind) + "-" + name + ".toml"; j.bytes[file] != nil && filepath.Base(file) == file {
		*into = file
		return nil
	}
	return fault.Bad("", "choose one from the list", "there is no %s called %q", kind, name)
}

// namesFile is what a kit's list of names is called in a job folder.
const namesFile = "names.csv"

// setNames sets whom the copies are for: a list as a person types it, a name a line.
func (j *task) setNames(text string) error {
	s := &j.settings
	held := map[string][]byte{}
	for k, v := range j.bytes {
		if k != namesFile {
			held[k] = v
		}
	}
	if s.Names = ""; text != "" {
		data := []byte(text + "\n")
		if _, err := job.ParseNames("", data); err != nil {
			return unnamed(err)
		}
		held[namesFile] = data
		s.Names, s.Copies, s.At = namesFile, 0, nil
	}
	j.bytes, j.read = held, reader(held, j.dir)
	j.singleAgain()
	return nil
}

// singleAgain drops what is said of a cloth for copies where there is a single rug.
func (j *task) singleAgain() {
	s := &j.settings
	if !s.IsKit() {
		s.Cloth, s.Gap, s.Turn = "", "", false
	}
	if !s.IsKit() && !s.Panels {
		s.MarksFor = nil
	}
	if !s.Panels {
		s.Lap = 0
	}
}
