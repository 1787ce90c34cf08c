package bench

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"weftplot/cmd/weftplot/bench/folder"
	"weftplot/cmd/weftplot/bench/paper"
	"weftplot/cmd/weftplot/bench/told"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/scan/raster"
	"weftplot/plot/disk"
	"weftplot/plot/job"
	"weftplot/plot/jobfolder"
	"weftplot/profiles"
)

// openFile puts a design or a job on the bench.
func (b *bench) openFile(name string) error {
	if info, err := os.Stat(name); err == nil && info.IsDir() {
		name = filepath.Join(name, jobFile)
	}
	data, err := disk.Read(name, disk.MaxFile)
	if err != nil {
		return err
	}
	if strings.EqualFold(filepath.Ext(name), ".toml") {
		return b.openJob(name, data)
	}
	var found *paper.Scan
	if raster.IsPicture(data) {
		if found, err = paper.Read(filepath.Base(name), data, paper.Asked{}, told.Label); err != nil {
			return err
		}
		data, name = found.Design, strings.TrimSuffix(name, filepath.Ext(name))+".svg"
	}
	if err := foreignFault(filepath.Base(name), data); err != nil {
		return err
	}
	return b.begin(filepath.Base(name), data, found)
}

// openBelow puts a job on the bench by the name of its folder below the folder
// of jobs. Any other name is refused: no path comes from a page.
func (b *bench) openBelow(name string) error {
	if !slices.Contains(b.offered().Jobs, name) {
		return fault.Bad("", "choose one from the list", "there is no such job here")
	}
	file := filepath.Join(b.dir, name, jobFile)
	data, err := disk.Read(file, disk.MaxFile)
	if err != nil {
		return err
	}
	return b.openJob(file, data)
}

// openJob puts a job on the bench where it lies. A job.toml that lies in no job
// folder of its own gets one.
func (b *bench) openJob(file string, data []byte) error {
	s, err := job.ParseSettings(file, data)
	if err != nil {
		return err
	}
	from := filepath.Dir(file)
	j := &task{settings: s, dir: from, lasttoml: data, ahead: &map[string]string{}, typed: map[string]string{}}
	if _, err := os.Stat(filepath.Join(from, jobfolder.ReportName)); err != nil {
		j.dir = folder.New(b.dir, s.Design)
	}
	j.read = reader(nil, from)
	j.lentBefore()
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.run != nil {
		return fault.Bad("", "stop it first, or wait until it has done", "the machine is at work on another job")
	}
	b.last = outcome{number: b.last.number}
	return b.put(j)
}

// watch takes over what a command, or a person with a text editor, changes in
// the job.toml of the job on the bench.
func (b *bench) watch(ctx context.Context) {
	tick := time.NewTicker(time.Second)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
			b.takeOver()
		}
	}
}

func (b *bench) takeOver() {
	b.mu.Lock()
	j := b.job
	if j == nil || !j.whole && !j.overtaken || b.run != nil || b.wanted != j {
		b.mu.Unlock()
		return
	}
	file, was := filepath.Join(j.dir, jobFile), j.lasttoml
	b.mu.Unlock()
	data, err := os.ReadFile(file)
	if err != nil || bytes.Equal(data, was) {
		return
	}
	b.mu.Lock()
	j.lasttoml = data // one that cannot be taken over is told of once
	b.mu.Unlock()
	if err := b.openJob(file, data); err != nil {
		b.mu.Lock()
		b.last = outcome{word: wordReady, trouble: ptr(told.TroubleOf(err)), number: b.last.number + 1}
		b.touch()
		b.mu.Unlock()
	}
}

// A file that no reader of ours takes, by how it begins, and what to say of it.
var foreign = []struct {
	at   int
	head string
	what string
}{
	{0, "\x1aE\xdf\xa3", "a film"}, {0, "RIFF", "a film or a sound"},
	{0, "PK\x03\x04", "a packed folder or an office document"},
}

// foreignFault is the fault of a file that is none of a drawing, nil for any
// other.
func foreignFault(name string, data []byte) error {
	for _, f := range foreign {
		if len(data) > f.at && bytes.HasPrefix(data[f.at:], []byte(f.head)) {
			return fault.Bad(name, "choose a drawing in SVG or DXF, or a scan or photo in PNG, JPEG, TIFF, WebP or PDF", "this is %s, and no drawing can be read from it", f.what)
		}
	}
	return nil
}

// takeDrawing begins another job with a drawing.
func (b *bench) takeDrawing(r *http.Request, data []byte) error {
	name := filepath.Base(strings.ReplaceAll(r.URL.Query().Get("name"), "\\", "/"))
	if name == "." || name == "/" {
		name = "drawing"
	}
	if len(data) == 0 {
		return fault.Bad(name, "choose another file", "the file is empty")
	}
	var found *paper.Scan
	if !raster.IsPicture(data) {
		if err := foreignFault(name, data); err != nil {
			return err
		}
	} else {
		asked, err := askedOf(name, r.URL.Query())
		if err != nil {
			return err
		}
		if found, err = paper.Read(name, data, asked, told.Label); err != nil {
			return err
		}
		data, name = found.Design, strings.TrimSuffix(name, filepath.Ext(name))+".svg"
	}
	return b.begin(name, data, found)
}

// askedOf reads what is said of a picture that is handed over.
func askedOf(name string, q url.Values) (paper.Asked, error) {
	asked := paper.Asked{Width: q.Get("wide"), Sheet: q.Get("sheet")}
	if v := q.Get("corners"); v != "" {
		if err := json.Unmarshal([]byte(v), &asked.Corners); err != nil {
			return asked, fault.Bad(name, "drag each corner to where the sheet has it", "the corners of the sheet are no places")
		}
	}
	return asked, nil
}

// begin puts a new job on the bench, with what was chosen last on this computer.
func (b *bench) begin(name string, data []byte, found *paper.Scan) error {
	s := job.Defaults()
	j := &task{scan: found, ahead: &map[string]string{}, typed: map[string]string{}}
	s.Design = name
	s.Name = strings.TrimSuffix(name, filepath.Ext(name))
	j.bytes = map[string][]byte{name: data}
	j.settings = s
	b.choices(j)
	b.mu.Lock()
	if b.run != nil {
		b.mu.Unlock()
		return fault.Bad("", "stop it first, or wait until it has done", "the machine is at work on another job")
	}
	j.dir = folder.New(b.dir, name)
	j.read = reader(j.bytes, j.dir)
	b.mu.Unlock()
	if err := b.fitting(j); err != nil {
		return err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	b.last = outcome{}
	return b.put(j)
}

// choices lets what was chosen last win over the defaults, as far as it is still
// there, and the machine of this computer over the one that was chosen last.
func (b *bench) choices(j *task) {
	for _, c := range b.memory.Chosen() {
		into := map[string]*string{"machine": &j.settings.Machine, "backing": &j.settings.Backing, "pen": &j.settings.Pen}[string(c.Kind)]
		_ = b.profile(j, c.Kind, c.Name, into) // one that is gone leaves the default
	}
	if b.here.name != "" {
		_ = b.profile(j, profiles.MachineKind, b.here.name, &j.settings.Machine) // it was read already
	}
}

// usual is how wide a rug is taken to be whose drawing states no size: a common
// size of a first rug (common practice).
const usual = 24 * paths.MMPerInch

// fitting gives a job a size where its drawing states none, or one that the
// machine cannot draw.
func (b *bench) fitting(j *task) error {
	in, _, _, err := b.engine.Read(j.read, j.settings)
	if err != nil {
		return err
	}
	box := in.Design.Bounds()
	if box.IsEmpty() || len(in.Design.Strokes()) == 0 {
		return nil // making it says why there is nothing to draw
	}
	most := math.Inf(1) // paper is pasted together
	if j.settings.HasMachine() {
		most = told.WidthThatFits(box, in.Machine.Reach(), in.Backing.Count)
	}
	wide := box.Width()
	switch {
	case j.scan != nil && j.scan.Guessed:
		wide = min(usual, most)
		j.notes = append(j.notes, fmt.Sprintf("The paper does not say how large the drawing is; the rug is taken as %s wide. Say on the step The rug how large it is to be.", paths.Length(wide).Both()))
	case !in.Design.HasSize:
		wide = min(usual, most)
		j.notes = append(j.notes, fmt.Sprintf("The drawing states no size; it is taken as %s wide. Say on the step The rug how large it is to be.", paths.Length(wide).Both()))
	case wide > most*(1+1e-9):
		wide = most
		j.notes = append(j.notes, fmt.Sprintf("The drawing is %s wide, more than machine %s can draw; it is made %s wide, the largest that fits.", paths.Length(box.Width()).Both(), in.Machine.Name, paths.Length(wide).Both()))
	default:
		return nil
	}
	if wide > 0 {
		j.settings.Width, j.typed = paths.Length(wide), map[string]string{"width": told.SayLength(wide)}
	}
	return nil
}
