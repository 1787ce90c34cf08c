package bench

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"mime"
	"net/http"
	"time"

	"weftplot/cmd/weftplot/bench/engine"
	"weftplot/cmd/weftplot/bench/told"
	"weftplot/paths/fault"
)

// Errors that are no fault of what was asked.
var (
	errNotLeading = fault.Bad("", "go on there, or close the other page", "another page has the lead; this one may watch and stop")
	errUsed       = errors.New("this was asked for already")
)

func statusOf(err error) int {
	switch {
	case errors.Is(err, engine.ErrSuperseded), errors.Is(err, errUsed), errors.Is(err, context.Canceled):
		return http.StatusConflict
	case errors.Is(err, errNotLeading):
		return http.StatusForbidden
	case fault.Request(err) != nil, errors.Is(err, halfDrawnByOthers):
		return http.StatusUnprocessableEntity
	}
	var big *http.MaxBytesError
	if errors.As(err, &big) {
		return http.StatusRequestEntityTooLarge
	}
	return http.StatusInternalServerError
}

// answer writes v, or the trouble that err is.
func answer(w http.ResponseWriter, v any, err error) {
	status := http.StatusOK
	if err != nil {
		status = statusOf(err)
		v = map[string]any{"error": told.TroubleOf(err)}
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.WriteHeader(status)
	_ = json.NewEncoder(w).Encode(v) // a page that has gone needs no answer
}

// words reads the JSON body of a request into v.
func (b *bench) words(w http.ResponseWriter, r *http.Request, v any) error {
	if kind, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type")); kind != "application/json" {
		return fault.Bad("", "", "a request like this is of type application/json")
	}
	bounded(w, r, maxWords, b.patience.words)
	dec := json.NewDecoder(r.Body)
	dec.DisallowUnknownFields()
	if err := dec.Decode(v); err != nil {
		return fault.Bad("", "", "the request cannot be read: %v", err)
	}
	return nil
}

// upload reads the file in the body of a request.
func (b *bench) upload(w http.ResponseWriter, r *http.Request) ([]byte, error) {
	if r.ContentLength > maxUpload {
		return nil, &http.MaxBytesError{Limit: maxUpload}
	}
	// One at a time, so that the memory taken is that of one file.
	if !b.uploading.TryLock() {
		return nil, fault.Bad("", "wait until it is read", "another file is being read")
	}
	defer b.uploading.Unlock()
	bounded(w, r, maxUpload, b.patience.data)
	return io.ReadAll(r.Body)
}

// Bounds of what is read from a request.
const (
	maxUpload = 100 << 20 // as every command reads, bytes
	maxWords  = 256 << 10 // settings, orders and profiles, bytes
	headTime  = 5 * time.Second
)

// patience is how long the body of a request may take to come in.
type patience struct {
	words time.Duration // settings, orders and profiles
	data  time.Duration // a drawing
}

var usualPatience = patience{words: 10 * time.Second, data: 60 * time.Second}

// bounded gives a request's body an end, in bytes and in time.
func bounded(w http.ResponseWriter, r *http.Request, most int64, within time.Duration) {
	_ = http.NewResponseController(w).SetReadDeadline(time.Now().Add(within)) // a server that cannot has time-outs of its own
	r.Body = http.MaxBytesReader(w, r.Body, most)
}
