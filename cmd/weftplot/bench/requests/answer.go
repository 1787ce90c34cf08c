package requests

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"

	"weftplot/cmd/weftplot/bench/engine"
	"weftplot/cmd/weftplot/bench/folder"
	"weftplot/cmd/weftplot/bench/told"
	"weftplot/paths/fault"
)

// Errors of requests that are right in themselves, and come from the wrong page or twice.
var (
	ErrNotLeading = fault.Bad("", "go on there, or close the other page", "another page has the lead; this one may watch and stop")
	ErrUsed       = errors.New("this was asked for already")
)

// statusOf returns the HTTP status for an error: 409 for a request that came too late or
// twice, 403 for one of a page without the lead, 413 for a body that is too large, 422 for
// what a person can put right, and 500 for anything else.
func statusOf(err error) int {
	switch {
	case errors.Is(err, engine.ErrSuperseded), errors.Is(err, ErrUsed), errors.Is(err, context.Canceled):
		return http.StatusConflict
	case errors.Is(err, ErrNotLeading):
		return http.StatusForbidden
	case fault.Request(err) != nil, errors.Is(err, folder.HalfDrawnByOthers):
		return http.StatusUnprocessableEntity
	}
	var big *http.MaxBytesError
	if errors.As(err, &big) {
		return http.StatusRequestEntityTooLarge
	}
	return http.StatusInternalServerError
}

// Answer writes v as JSON with the status 200. Where err is not nil it writes
// {"error": ...} instead, as [told.TroubleOf] puts it, with the status that fits.
func Answer(w http.ResponseWriter, v any, err error) {
	status := http.StatusOK
	if err != nil {
		status = statusOf(err)
		v = map[string]any{"error": told.TroubleOf(err)}
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.WriteHeader(status)
	_ = json.NewEncoder(w).Encode(v) // a page that has gone needs no answer
}
