package paths

import (
	"errors"
	"strings"
	"testing"
	"weftplot/paths/fault"
)

func TestWithout(t *testing.T) {
	dot := DesignStroke{Stroke: Polyline(Point{1, 1})}
	d := Design{Name: "gull.svg", Layers: []Layer{{"frame", []DesignStroke{dot}}, {"notes", []DesignStroke{dot, dot}}, {"art", []DesignStroke{dot}}}}
	got, err := d.Without([]string{"notes"})
	if err != nil || len(got.Layers) != 2 || got.Layers[1].Name != "art" || len(d.Layers) != 3 {
		t.Errorf("layers %v, %v; want frame and art, and three as before in the original", got.Layers, err)
	}
	if n := got.Notes; len(n) != 1 || n[0].Code != "layer-skipped" || !strings.Contains(n[0].Message, `"notes", 2 strokes`) {
		t.Errorf("notes %+v", n)
	}
	if all, err := d.Without(nil); err != nil || len(all.Layers) != 3 || len(all.Notes) != 0 {
		t.Errorf("without none: %v, %v", all, err)
	}
	var f *fault.Error
	if _, err := d.Without([]string{"note"}); !errors.As(err, &f) || !strings.Contains(f.Do, `"frame", "notes", "art"`) || !strings.Contains(f.What, `"note"`) {
		t.Errorf("an unknown layer: %v", err)
	}
}
