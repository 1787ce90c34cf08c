package bench

import (
	"net/http"
	"strconv"
	"strings"

	"weftplot/cmd/weftplot/bench/requests"
	"weftplot/cmd/weftplot/bench/sheets"
	"weftplot/cmd/weftplot/bench/told"
	"weftplot/paths/fault"
	"weftplot/plot/disk"
	"weftplot/plot/jobfolder"
	"weftplot/plot/report"
	"weftplot/profiles"
)

func (b *bench) getPicture(w http.ResponseWriter, _ *http.Request) {
	j, err := b.current()
	if err != nil {
		requests.Answer(w, nil, err)
		return
	}
	b.mu.Lock()
	sketch, made, number := j.sketch, j.made, j.picture
	if j.kit != nil { // the whole cloth, copy by copy
		sketch, made = j.kit.Whole, nil
	}
	b.mu.Unlock()
	requests.Answer(w, sheets.PictureOf(sketch, made, number), nil)
}

func (b *bench) getDryRun(w http.ResponseWriter, r *http.Request) {
	j, err := b.current()
	if err != nil {
		requests.Answer(w, nil, err)
		return
	}
	b.mu.Lock()
	made, whole := j.made, j.whole
	b.mu.Unlock()
	if !whole {
		requests.Answer(w, nil, fault.Bad("", "wait a moment", "the program is still being written"))
		return
	}
	runs, err := sheets.DryRunOf(r.Context(), *made)
	requests.Answer(w, runs, err)
}

// getPoint shows what is on the cloth round a point to find, by the numbers of its load and
// of the point.
func (b *bench) getPoint(w http.ResponseWriter, r *http.Request) {
	j, err := b.current()
	if err != nil {
		requests.Answer(w, nil, err)
		return
	}
	b.mu.Lock()
	made := j.made
	b.mu.Unlock()
	load, err := strconv.Atoi(r.URL.Query().Get("load"))
	point, err2 := strconv.Atoi(r.URL.Query().Get("point"))
	if err != nil || err2 != nil || made == nil || made.Panels == nil || load < 1 || load > len(made.Loads) || point < 1 || point > len(made.Loads[load-1].Points) {
		requests.Answer(w, nil, fault.Bad("", "", "there is no such point to find"))
		return
	}
	requests.Answer(w, sheets.PointOf(report.NewPointPiece(*made, load, made.Loads[load-1].Points[point-1].Place)), nil)
}

// fromPaper returns the job on the bench, whose drawing was read from paper.
func (b *bench) fromPaper() (*task, error) {
	j, err := b.current()
	if err == nil && j.scan == nil {
		err = fault.Bad("", "", "this drawing was not read from paper")
	}
	return j, err
}

func (b *bench) getScan(w http.ResponseWriter, _ *http.Request) {
	j, err := b.fromPaper()
	if err != nil {
		requests.Answer(w, nil, err)
		return
	}
	data, err := j.scan.Picture()
	if err != nil {
		requests.Answer(w, nil, err)
		return
	}
	// Our own writer's picture; shown as an image, never opened as a page.
	w.Header().Set("Content-Type", "image/svg+xml")
	w.Write(data)
}

// getPhoto hands out the picture that the drawing was read from, where a browser can show
// it.
func (b *bench) getPhoto(w http.ResponseWriter, _ *http.Request) {
	j, err := b.fromPaper()
	if err != nil {
		requests.Answer(w, nil, err)
		return
	}
	kind := http.DetectContentType(j.scan.Data)
	if !strings.HasPrefix(kind, "image/") {
		requests.Answer(w, nil, fault.Bad(j.scan.Name, "save it as PNG or JPEG and choose it again", "the browser cannot show a picture of this kind"))
		return
	}
	w.Header().Set("Content-Type", kind)
	w.Write(j.scan.Data)
}

func (b *bench) getSheet(w http.ResponseWriter, _ *http.Request) {
	j, err := b.current()
	if err != nil {
		requests.Answer(w, nil, err)
		return
	}
	b.mu.Lock()
	made, rep := j.made, j.report
	b.mu.Unlock()
	if made == nil {
		requests.Answer(w, nil, fault.Bad("", "wait a moment", "the program is still being written"))
		return
	}
	requests.Answer(w, map[string]string{"text": string(report.Sheet(*made, *rep, report.Options{Names: told.Label}))}, nil)
}

func (b *bench) getProfile(w http.ResponseWriter, r *http.Request) {
	kind, name := profiles.Kind(r.URL.Query().Get("kind")), r.URL.Query().Get("name")
	data, ok := b.memory.Profile(kind, name)
	var err error
	if !ok {
		data, err = profiles.Source(kind, name)
	}
	requests.Answer(w, map[string]string{"text": string(data)}, err)
}

// getPDF hands out one of the two files for print, as it lies in the job's folder.
func (b *bench) getPDF(name string) http.HandlerFunc {
	return func(w http.ResponseWriter, _ *http.Request) {
		j, err := b.current()
		if err != nil {
			requests.Answer(w, nil, err)
			return
		}
		b.mu.Lock()
		whole, prints := j.whole, j.settings.Print != ""
		b.mu.Unlock()
		switch {
		case !whole:
			err = fault.Bad("", "wait a moment", "the job is still being written")
		case name == paperFile && !prints:
			err = fault.Bad("", "choose a size of paper first", "nothing is printed of this job")
		}
		var data []byte
		if err == nil {
			data, err = jobfolder.Place(j.dir).Read(name, disk.MaxFile)
		}
		if err != nil {
			requests.Answer(w, nil, err)
			return
		}
		w.Header().Set("Content-Type", "application/pdf")
		w.Write(data)
	}
}

// The files for print in a job folder.
const (
	paperFile = "paper.pdf"
	sheetFile = "sheet.pdf"
)
