package requests

import (
	"encoding/json"
	"io"
	"mime"
	"net/http"
	"sync"
	"time"

	"weftplot/paths/fault"
)

// Bounds of what is read from a request.
const (
	maxUpload = 100 << 20 // as every command reads, bytes
	maxWords  = 256 << 10 // settings, orders and profiles, bytes
	headTime  = 5 * time.Second
)

// Patience is how long the body of a request may take to come in.
type Patience struct {
	Words time.Duration // settings, orders and profiles
	Data  time.Duration // a drawing
}

// Usual is the patience with a page on the same computer.
var Usual = Patience{Words: 10 * time.Second, Data: 60 * time.Second}

// Bodies reads the bodies of requests, within bounds.
type Bodies struct {
	Patience  Patience
	uploading sync.Mutex // held while a file comes in
}

// Words reads the JSON body of a request into v.
func (b *Bodies) Words(w http.ResponseWriter, r *http.Request, v any) error {
	if kind, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type")); kind != "application/json" {
		return fault.Bad("", "", "a request like this is of type application/json")
	}
	bounded(w, r, maxWords, b.Patience.Words)
	dec := json.NewDecoder(r.Body)
	dec.DisallowUnknownFields()
	if err := dec.Decode(v); err != nil {
		return fault.Bad("", "", "the request cannot be read: %v", err)
	}
	return nil
}

// Upload reads the file in the body of a request.
func (b *Bodies) Upload(w http.ResponseWriter, r *http.Request) ([]byte, error) {
	if r.ContentLength > maxUpload {
		return nil, &http.MaxBytesError{Limit: maxUpload}
	}
	// One at a time, so that the memory taken is that of one file.
	if !b.uploading.TryLock() {
		return nil, fault.Bad("", "wait until it is read", "another file is being read")
	}
	defer b.uploading.Unlock()
	bounded(w, r, maxUpload, b.Patience.Data)
	return io.ReadAll(r.Body)
}

// bounded gives a request's body an end, in bytes and in time.
func bounded(w http.ResponseWriter, r *http.Request, most int64, within time.Duration) {
	_ = http.NewResponseController(w).SetReadDeadline(time.Now().Add(within)) // a server that cannot has time-outs of its own
	r.Body = http.MaxBytesReader(w, r.Body, most)
}
