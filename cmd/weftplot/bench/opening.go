package bench

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"weftplot/cmd/weftplot/bench/paper"
	"weftplot/paths/fault"
	"weftplot/paths/scan/raster"
	"weftplot/plot/disk"
	"weftplot/plot/folder"
	"weftplot/plot/job"
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
		if found, err = paper.Read(filepath.Base(name), data, paper.Asked{}, labelOf); err != nil {
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
	if _, err := os.Stat(filepath.Join(from, folder.ReportName)); err != nil {
		j.dir = newFolder(b.dir, s.Design)
	}
	j.read = reader(nil, from)
	b.mu.Lock()
	if b.run != nil {
		b.mu.Unlock()
		return fault.Bad("", "stop it first, or wait until it has done", "the machine is at work on another job")
	}
	b.last = outcome{number: b.last.number}
	return b.tryLocked(j)
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
		b.last = outcome{word: wordReady, trouble: ptr(troubleOf(err)), number: b.last.number + 1}
		b.touch()
		b.mu.Unlock()
	}
}
