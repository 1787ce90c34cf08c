package bench

import (
	"net/http"
	"strconv"

	"weftplot/cmd/weftplot/bench/memory"
	"weftplot/cmd/weftplot/bench/paper"
	"weftplot/cmd/weftplot/bench/requests"
	"weftplot/cmd/weftplot/bench/told"
	"weftplot/cmd/weftplot/link"
	"weftplot/device"
	"weftplot/paths/fault"
	"weftplot/profiles"
)

func (b *bench) postDrawing(w http.ResponseWriter, r *http.Request) (any, error) {
	data, err := b.bodies.Upload(w, r)
	if err != nil {
		return nil, err
	}
	return nil, b.takeDrawing(r, data)
}

func (b *bench) postOpen(w http.ResponseWriter, r *http.Request) (any, error) {
	var q struct {
		Job string `json:"job"`
	}
	if err := b.bodies.Words(w, r, &q); err != nil {
		return nil, err
	}
	return nil, b.openBelow(q.Job)
}

func (b *bench) postSettings(w http.ResponseWriter, r *http.Request) (any, error) {
	var p patch
	if err := b.bodies.Words(w, r, &p); err != nil {
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

// postLines changes what was read from paper: a line struck out, a gap closed, two
// ends joined, the last of these taken back, or the whole paper read again as being so wide.
func (b *bench) postLines(w http.ResponseWriter, r *http.Request) (any, error) {
	var q paper.Change
	if err := b.bodies.Words(w, r, &q); err != nil {
		return nil, err
	}
	var again *paper.Scan
	if q.Do == "paper" { // which takes its time
		j, err := b.current()
		if err == nil && j.scan != nil {
			again, err = paper.Read(j.scan.Name, j.scan.Data, q.Asked(j.scan.Asked), told.Label)
		}
		if err != nil {
			return nil, err
		}
	}
	return nil, b.change(func(j *task) error {
		if j.scan == nil || again != nil && again.Name != j.scan.Name {
			return fault.Bad("", "", "this drawing was not read from this paper")
		}
		next, err := q.Done(j.scan, again)
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
	none := r.URL.Query().Has("none")
	var data []byte
	if !none {
		var err error
		if data, err = b.bodies.Upload(w, r); err != nil {
			return nil, err
		}
	}
	load, err := b.loadAsked(r.URL.Query().Get("load"))
	if err != nil {
		return nil, err
	}
	switch {
	case none && load < 0:
		return nil, b.noMarks()
	case none:
		return nil, b.noMarksFor(load)
	case load < 0:
		return nil, b.useMarks(data)
	}
	return nil, b.useMarksFor(load, data)
}

// loadAsked reads the number of a load, 0 for the one that is due; it is -1 where the job is
// drawn at once.
func (b *bench) loadAsked(text string) (int, error) {
	j, err := b.current()
	if err != nil {
		return 0, err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if !j.inLoads() {
		return -1, nil
	}
	if text == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 {
		return 0, fault.Bad("", "", "%q is no number of a load", text)
	}
	return n, nil
}

func (b *bench) postProfile(w http.ResponseWriter, r *http.Request) (any, error) {
	var q struct {
		Kind profiles.Kind `json:"kind"`
		Text string        `json:"text"`
		Keep bool          `json:"keep"`
	}
	if err := b.bodies.Words(w, r, &q); err != nil {
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
	if err := b.bodies.Words(w, r, &q); err != nil {
		return nil, err
	}
	return nil, b.memory.Forget(q.Kind, q.Name)
}

// postAsk asks a machine how it is spoken to, without moving it.
func (b *bench) postAsk(w http.ResponseWriter, r *http.Request) (any, error) {
	var q struct {
		Port string `json:"port"`
	}
	if err := b.bodies.Words(w, r, &q); err != nil {
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

func (b *bench) postFont(w http.ResponseWriter, r *http.Request) (any, error) {
	if r.URL.Query().Has("none") {
		return nil, b.noFont()
	}
	data, err := b.bodies.Upload(w, r)
	if err != nil {
		return nil, err
	}
	return nil, b.useFont(r.URL.Query().Get("name"), data)
}

// postStop may come from every page, and any number of times.
func (b *bench) postStop(w http.ResponseWriter, _ *http.Request) {
	b.press(device.Stop)
	requests.Answer(w, struct{}{}, nil)
}

// postKey is Hold and Lift, which are safe at any time, Go on, which moves, and the
// answers to whether all is drawn, after which nothing can be gone on with.
func (b *bench) postKey(w http.ResponseWriter, r *http.Request) (any, error) {
	var q struct{ Key, Turn string }
	if err := b.bodies.Words(w, r, &q); err != nil {
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
	if err := b.bodies.Words(w, r, &q); err != nil {
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
		Load       int // to be found, 0 for the one that is due
	}
	if err := b.bodies.Words(w, r, &q); err != nil {
		return nil, err
	}
	if q.Do == "end" {
		return nil, b.leaveSteering()
	}
	if err := b.moving(r, q.Turn); err != nil {
		return nil, err
	}
	if q.Do == "take" {
		return nil, b.beginSteering(q.Port, q.Load)
	}
	return nil, b.steerBy(q.steering)
}
