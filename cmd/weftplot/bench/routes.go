package bench

import (
	"encoding/json"
	"net/http"
	"strconv"
	"time"

	"weftplot/cmd/weftplot/bench/requests"
	"weftplot/paths/fault"
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
			requests.Answer(w, b.news(lead, turn, seen), nil)
		},
		"GET /stream":  b.getStream,
		"GET /choices": func(w http.ResponseWriter, r *http.Request) { requests.Answer(w, b.offered(), nil) },
		"GET /picture": b.getPicture,
		"GET /dryrun":  b.getDryRun,
		"GET /scan":    b.getScan,
		"GET /photo":   b.getPhoto,
		"GET /profile": b.getProfile,
		"GET /point":   b.getPoint,
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
		requests.Answer(w, nil, requests.ErrNotLeading)
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
		_ = control.SetWriteDeadline(time.Now().Add(requests.Usual.Words))
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
			requests.Answer(w, nil, requests.ErrNotLeading)
			return
		}
		v, err := do(w, r)
		if v == nil {
			v = struct{}{}
		}
		requests.Answer(w, v, err)
	}
}

// moving lets a motion through once: a request that is sent again finds that its
// turn is used.
func (b *bench) moving(r *http.Request, turn string) error {
	if !b.pages.Take(pageOf(r), turn) {
		return requests.ErrUsed
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

func (b *bench) postBye(w http.ResponseWriter, r *http.Request) {
	b.pages.Bye(pageOf(r))
	requests.Answer(w, struct{}{}, nil)
}
