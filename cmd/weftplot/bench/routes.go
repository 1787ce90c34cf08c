package bench

import (
	"encoding/json"
	"net/http"
	"strconv"
	"time"

	"weftplot/cmd/weftplot/bench/memory"
	"weftplot/cmd/weftplot/bench/paper"
	"weftplot/cmd/weftplot/bench/sheets"
	"weftplot/cmd/weftplot/link"
	"weftplot/device"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/report"
	"weftplot/profiles"
)

// routes are the requests that the page makes, by method and path.
func (b *bench) routes() map[string]http.HandlerFunc {
	return map[string]http.HandlerFunc{
		"GET /news": func(w http.ResponseWriter, r *http.Request) {
			q := r.URL.Query()
			seen, err := strconv.Atoi(q.Get("seen"))
			if err != nil {
				seen = -1
			}
			page := clip(q.Get("page"))
			lead, turn := b.pages.Hear(page)
			answer(w, b.news(lead, turn, seen), nil)
		},
		"GET /stream":  b.getStream,
		"GET /choices": func(w http.ResponseWriter, r *http.Request) { answer(w, b.offered(), nil) },
		"GET /picture": b.getPicture,
		"GET /dryrun":  b.getDryRun,
		"GET /scan":    b.getScan,
		"GET /profile": b.getProfile,
		"GET /sheet":   b.getSheet,

		"GET /paper.pdf": b.getPDF(paperFile),
		"GET /sheet.pdf": b.getPDF(sheetFile),

		"POST /bye":  b.postBye,
		"POST /stop": b.postStop,

		"POST /drawing":  b.leading(b.postDrawing),
		"POST /open":     b.leading(b.postOpen),
		"POST /settings": b.leading(b.postSettings),
		"POST /lines":    b.leading(b.postLines),
		"POST /marks":    b.leading(b.postMarks),
		"POST /font":     b.leading(b.postFont),
		"POST /cloth":    b.leading(func(http.ResponseWriter, *http.Request) (any, error) { return nil, b.newClothOn() }),
		"POST /profile":  b.leading(b.postProfile),
		"POST /forget":   b.leading(b.postForget),
		"POST /ask":      b.leading(b.postAsk),
		"POST /key":      b.leading(b.postKey),
		"POST /move":     b.leading(b.postMove),
		"POST /steer":    b.leading(b.postSteer),
	}
}

// tick is how often the page that leads is told of news.
const tick = 150 * time.Millisecond

// getStream tells the page that leads of news, a line of JSON each, for as long as
// the page is there and leads. A page whose stream ends was closed, or will ask
// again.
func (b *bench) getStream(w http.ResponseWriter, r *http.Request) {
	page := clip(r.URL.Query().Get("page"))
	if !b.pages.Leads(page) {
		answer(w, nil, errNotLeading)
		return
	}
	dropped := b.pages.Stream(page)
	defer dropped()
	w.Header().Set("Content-Type", "application/x-ndjson")
	out, control := json.NewEncoder(w), http.NewResponseController(w)
	beat := time.NewTicker(tick)
	defer beat.Stop()
	for seen := -1; ; {
		lead, turn := b.pages.Tell(page)
		if !lead {
			return
		}
		n := b.news(lead, turn, seen)
		seen = n.Version
		_ = control.SetReadDeadline(time.Time{}) // it ends with the page, not by the clock
		_ = control.SetWriteDeadline(time.Now().Add(usualPatience.words))
		if out.Encode(n) != nil || control.Flush() != nil {
			return
		}
		select {
		case <-beat.C:
		case <-r.Context().Done():
			return
		case <-b.ctx.Done():
			return
		}
	}
}

// clip bounds what names a page.
func clip(id string) string { return id[:min(len(id), 64)] }

// pageOf names the page that a request comes from.
func pageOf(r *http.Request) string { return clip(r.Header.Get("X-Page")) }

// leading lets only the page that leads change anything.
func (b *bench) leading(do func(http.ResponseWriter, *http.Request) (any, error)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if !b.pages.Leads(pageOf(r)) {
			answer(w, nil, errNotLeading)
			return
		}
		v, err := do(w, r)
		if v == nil {
			v = struct{}{}
		}
		answer(w, v, err)
	}
}

// moving lets a motion through once: a request that is sent again finds that its
// turn is used.
func (b *bench) moving(r *http.Request, turn string) error {
	if !b.pages.Take(pageOf(r), turn) {
		return errUsed
	}
	return nil
}

// current returns the job on the bench.
func (b *bench) current() (*task, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.job == nil {
		return nil, fault.Bad("", "choose a drawing first", "there is no drawing yet")
	}
	return b.job, nil
}

func (b *bench) getPicture(w http.ResponseWriter, _ *http.Request) {
	j, err := b.current()
	if err != nil {
		answer(w, nil, err)
		return
	}
	b.mu.Lock()
	sketch, made, number := j.sketch, j.made, j.picture
	if j.kit != nil { // the whole cloth, copy by copy
		sketch, made = j.kit.whole, nil
	}
	b.mu.Unlock()
	answer(w, sheets.PictureOf(sketch, made, number), nil)
}

func (b *bench) getDryRun(w http.ResponseWriter, r *http.Request) {
	j, err := b.current()
	if err != nil {
		answer(w, nil, err)
		return
	}
	b.mu.Lock()
	made, whole := j.made, j.whole
	b.mu.Unlock()
	if !whole {
		answer(w, nil, fault.Bad("", "wait a moment", "the program is still being written"))
		return
	}
	runs, err := sheets.DryRunOf(r.Context(), *made)
	answer(w, runs, err)
}

func (b *bench) getScan(w http.ResponseWriter, _ *http.Request) {
	j, err := b.current()
	if err == nil && j.scan == nil {
		err = fault.Bad("", "", "this drawing was not read from paper")
	}
	if err != nil {
		answer(w, nil, err)
		return
	}
	data, err := j.scan.Picture()
	if err != nil {
		answer(w, nil, err)
		return
	}
	// Our own writer's picture; shown as an image, never opened as a page.
	w.Header().Set("Content-Type", "image/svg+xml")
	w.Write(data)
}

func (b *bench) getSheet(w http.ResponseWriter, _ *http.Request) {
	j, err := b.current()
	if err != nil {
		answer(w, nil, err)
		return
	}
	b.mu.Lock()
	made, told := j.made, j.report
	b.mu.Unlock()
	if made == nil {
		answer(w, nil, fault.Bad("", "wait a moment", "the program is still being written"))
		return
	}
	answer(w, map[string]string{"text": string(report.Sheet(*made, *told, report.Options{Names: labelOf}))}, nil)
}

func (b *bench) getProfile(w http.ResponseWriter, r *http.Request) {
	kind, name := profiles.Kind(r.URL.Query().Get("kind")), r.URL.Query().Get("name")
	data, ok := b.memory.Profile(kind, name)
	var err error
	if !ok {
		data, err = profiles.Source(kind, name)
	}
	answer(w, map[string]string{"text": string(data)}, err)
}

func (b *bench) postBye(w http.ResponseWriter, r *http.Request) {
	b.pages.Bye(pageOf(r))
	answer(w, struct{}{}, nil)
}

// postStop may come from every page, and any number of times.
func (b *bench) postStop(w http.ResponseWriter, _ *http.Request) {
	b.press(device.Stop)
	answer(w, struct{}{}, nil)
}

func (b *bench) postDrawing(w http.ResponseWriter, r *http.Request) (any, error) {
	data, err := b.upload(w, r)
	if err != nil {
		return nil, err
	}
	return nil, b.takeDrawing(r, data)
}

func (b *bench) postOpen(w http.ResponseWriter, r *http.Request) (any, error) {
	var q struct {
		Job string `json:"job"`
	}
	if err := b.words(w, r, &q); err != nil {
		return nil, err
	}
	return nil, b.openBelow(q.Job)
}

func (b *bench) postSettings(w http.ResponseWriter, r *http.Request) (any, error) {
	var p patch
	if err := b.words(w, r, &p); err != nil {
		return nil, err
	}
	if err := b.change(func(j *task) error { return b.apply(j, p) }); err != nil {
		return nil, err
	}
	j, err := b.current()
	if err != nil {
		return nil, err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	return map[string]int{"picture": j.picture}, nil
}

// lines is a change of what was read from paper. Places are mm on the drawing.
type lines struct {
	Do           string  // strike, join, close, back, paper
	X, Y, Within float64 // the place, and how near to it
	X2, Y2       float64 // of the other end, to join two
	Width, Sheet string  // of the paper, to read it again
	Page         int     // of its file, 0 for the same
}

// done returns the scan with the change; again is the paper read again.
func (q lines) done(s, again *paper.Scan) (*paper.Scan, error) {
	at, within := paths.Point{X: q.X, Y: q.Y}, min(max(q.Within, 0.5), 10)
	switch q.Do {
	case "strike":
		return s.Without(at, within)
	case "join":
		return s.Joined(at, paths.Point{X: q.X2, Y: q.Y2}, within)
	case "close":
		return s.Closed(at)
	case "back":
		return s.Again()
	case "paper":
		return again, nil
	}
	return nil, fault.Bad("", "", "lines cannot be changed like this")
}

// postLines changes what was read from paper: a line struck out, a gap closed, two
// ends joined, the last of these taken back, or the whole paper read again as being so wide.
func (b *bench) postLines(w http.ResponseWriter, r *http.Request) (any, error) {
	var q lines
	if err := b.words(w, r, &q); err != nil {
		return nil, err
	}
	var again *paper.Scan
	if q.Do == "paper" { // which takes its time
		j, err := b.current()
		if err == nil && j.scan != nil {
			asked := paper.Asked{Width: q.Width, Sheet: q.Sheet, Page: q.Page}
			if q.Page == 0 {
				asked.Page = j.scan.Asked.Page
			}
			again, err = paper.Read(j.scan.Name, j.scan.Data, asked, labelOf)
		}
		if err != nil {
			return nil, err
		}
	}
	return nil, b.change(func(j *task) error {
		if j.scan == nil || again != nil && again.Name != j.scan.Name {
			return fault.Bad("", "", "this drawing was not read from this paper")
		}
		next, err := q.done(j.scan, again)
		if err != nil {
			return err
		}
		held := map[string][]byte{}
		for k, v := range j.bytes {
			held[k] = v
		}
		held[j.settings.Design] = next.Design
		j.scan, j.bytes, j.read = next, held, reader(held, j.dir)
		return nil
	})
}

func (b *bench) postMarks(w http.ResponseWriter, r *http.Request) (any, error) {
	if r.URL.Query().Has("none") {
		return nil, b.noMarks()
	}
	data, err := b.upload(w, r)
	if err != nil {
		return nil, err
	}
	return nil, b.useMarks(data)
}

func (b *bench) postProfile(w http.ResponseWriter, r *http.Request) (any, error) {
	var q struct {
		Kind profiles.Kind `json:"kind"`
		Text string        `json:"text"`
		Keep bool          `json:"keep"`
	}
	if err := b.words(w, r, &q); err != nil {
		return nil, err
	}
	if !q.Keep {
		name, err := memory.Check(q.Kind, []byte(q.Text))
		return map[string]string{"name": name}, err
	}
	name, err := b.memory.Save(q.Kind, []byte(q.Text))
	return map[string]string{"name": name}, err
}

func (b *bench) postForget(w http.ResponseWriter, r *http.Request) (any, error) {
	var q memory.Own
	if err := b.words(w, r, &q); err != nil {
		return nil, err
	}
	return nil, b.memory.Forget(q.Kind, q.Name)
}

// postAsk asks a machine how it is spoken to, without moving it.
func (b *bench) postAsk(w http.ResponseWriter, r *http.Request) (any, error) {
	var q struct {
		Port string `json:"port"`
	}
	if err := b.words(w, r, &q); err != nil {
		return nil, err
	}
	j, err := b.current()
	if err != nil {
		return nil, err
	}
	b.mu.Lock()
	busy := b.run != nil || b.steer != nil
	b.mu.Unlock()
	if busy {
		return nil, fault.Bad("", "stop it first", "the machine is at work")
	}
	if !j.settings.HasMachine() {
		return nil, errNoMachine
	}
	if err := suits(q.Port, j.sketch.Inputs.Machine); err != nil {
		return nil, err
	}
	l, err := link.Open(q.Port, j.sketch.Inputs.Machine, b.simSpeed)
	if err != nil {
		return nil, err
	}
	defer l.Close()
	manners, err := device.Ask(r.Context(), l, j.sketch.Inputs.Machine.Serial)
	return map[string]any{"manners": manners}, err
}

// postKey is Hold and Lift, which are safe at any time, Go on, which moves, and the
// answers to whether all is drawn, after which nothing can be gone on with.
func (b *bench) postKey(w http.ResponseWriter, r *http.Request) (any, error) {
	var q struct{ Key, Turn string }
	if err := b.words(w, r, &q); err != nil {
		return nil, err
	}
	switch q.Key {
	case "hold":
		b.press(device.Hold)
	case "lift":
		b.press(device.Lift)
	case "go":
		if err := b.moving(r, q.Turn); err != nil {
			return nil, err
		}
		b.press(device.Resume)
	case "drawn", "not-drawn":
		if err := b.moving(r, q.Turn); err != nil {
			return nil, err
		}
		b.answered(q.Key == "drawn")
	default:
		return nil, fault.Bad("", "", "there is no such key")
	}
	return nil, nil
}

func (b *bench) postMove(w http.ResponseWriter, r *http.Request) (any, error) {
	var q struct {
		Do, Port, Turn string
		Part           part
	}
	if err := b.words(w, r, &q); err != nil {
		return nil, err
	}
	if err := b.moving(r, q.Turn); err != nil {
		return nil, err
	}
	return nil, b.start(q.Do, q.Port, q.Part)
}

func (b *bench) postSteer(w http.ResponseWriter, r *http.Request) (any, error) {
	var q struct {
		steering
		Port, Turn string
	}
	if err := b.words(w, r, &q); err != nil {
		return nil, err
	}
	if q.Do == "end" {
		b.endSteering()
		return nil, nil
	}
	if err := b.moving(r, q.Turn); err != nil {
		return nil, err
	}
	if q.Do == "take" {
		return nil, b.beginSteering(q.Port)
	}
	return nil, b.steerBy(q.steering)
}
