package fault_test

import (
	"context"
	"errors"
	"fmt"
	"testing"

	"weftplot/paths/fault"
)

func TestErrorText(t *testing.T) {
	for _, c := range []struct {
		err  *fault.Error
		want string
	}{
		{fault.Bad("", "count again", "%d is no count", 3), "3 is no count"},
		{fault.TooBig("width", "", "it is too wide"), "width: it is too wide"},
		{&fault.Error{Where: "line 4", What: "it stopped", State: "the pen is up"}, "line 4: it stopped; the pen is up"},
	} {
		if got := c.err.Error(); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

func TestKindsAndCauses(t *testing.T) {
	const silent fault.Kind = "silent"
	err := fmt.Errorf("sending: %w", &fault.Error{Kind: silent, What: "it is silent", Err: context.Canceled})
	if !errors.Is(err, silent) || errors.Is(err, fault.Input) || !errors.Is(err, context.Canceled) {
		t.Errorf("kind or cause of %v is not found", err)
	}
	if fault.Request(err) != nil {
		t.Errorf("%v is taken for a request", err)
	}
	if f := fault.Request(fmt.Errorf("reading: %w", fault.TooBig("a", "b", "c"))); f == nil || f.Do != "b" {
		t.Errorf("the request is not found: %v", f)
	}
}

func TestAt(t *testing.T) {
	plain := errors.New("plain")
	if fault.At("x", nil) != nil || fault.At("x", plain) != plain {
		t.Error("an error of another type, or none, must stay as it is")
	}
	bad := fault.Bad("", "", "wrong")
	once := fault.At("b", bad)
	if got := fault.At("a", once).Error(); got != "a: b: wrong" {
		t.Errorf("got %q", got)
	}
	if bad.Where != "" {
		t.Error("the error that was given has changed")
	}
}

func ExampleError() {
	err := fault.Bad("mat.svg: line 3", `write it as width="24in"`, "the width has no unit")
	fmt.Println(err)
	fmt.Println("what to do:", err.Do)
	fmt.Println(errors.Is(err, fault.Input))
	// Output:
	// mat.svg: line 3: the width has no unit
	// what to do: write it as width="24in"
	// true
}
