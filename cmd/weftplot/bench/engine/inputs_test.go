package engine

import (
	"reflect"
	"testing"

	"weftplot/plot/job"
)

// TestInputsAreReadOnce changes settings one after the other: what is kept must
// be what reading again gives, and a drawing is read again only where it, or how
// it is read, has changed.
func TestInputsAreReadOnce(t *testing.T) {
	const lines = `<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="90mm" viewBox="0 0 90 90" fill="none" stroke="black"><g id="sea"><path d="M0 0H90"/></g><g id="sky"><path d="M0 9V90" stroke-dasharray="3"/></g></svg>`
	files := map[string][]byte{"mat.svg": []byte(lines)}
	read := func(name string, _ int) ([]byte, error) { return files[name], nil }
	s := job.Defaults()
	s.Design = "mat.svg"
	var kept = &keptInputs{}
	readings := func() int { return len(kept.last) }
	look := func(what string, again bool) {
		t.Helper()
		var newest *inputsRead
		if readings() > 0 {
			newest = kept.last[0]
		}
		in, out, extra, err := kept.read(read, s)
		if err != nil {
			t.Fatalf("%s: %v", what, err)
		}
		wantIn, wantOut, wantExtra, err := job.ReadInputs(read, s)
		if err != nil || !reflect.DeepEqual(in, wantIn) || !reflect.DeepEqual(out, wantOut) || !reflect.DeepEqual(extra, wantExtra) {
			t.Errorf("%s: it is not what reading gives: %v\n%+v\n%+v", what, err, out, wantOut)
		}
		if got := kept.last[0] != newest; got != again {
			t.Errorf("%s: read again: %v, want %v", what, got, again)
		}
	}
	look("at first", true)
	look("the same", false)
	s.Border, s.Clearance, s.Craft, s.Transfer = "3", 4, job.Hooking, job.Tracing
	look("a border, a craft", false)
	s.Width = 300
	look("a size where there was none", true)
	s.Width = 301
	look("another size", false)
	s.Dashes = true
	look("dashes", true)
	s.Skip = []string{"sky"}
	look("a layer left out", true)
	s.PenFor = map[string]string{"sea": "fine-marker"}
	look("a pen for a layer", true)
	s.Machine = "gantry-z"
	look("another machine", true)
	files["mat.svg"] = []byte(lines + " ")
	look("another drawing of the same name", true)
	if readings() > readingsKept {
		t.Errorf("%d readings are kept", readings())
	}
}
