package dxf_test

import (
	"fmt"
	"strings"

	"weftplot/paths/dxf"
)

// A file is pairs of lines, a group code and its value. This one is drawn in
// centimetres.
func ExampleRead() {
	pairs := strings.Fields(`0 SECTION 2 HEADER 9 $INSUNITS 70 5 0 ENDSEC
		0 SECTION 2 ENTITIES
		0 LINE 8 keel 10 0 20 0 11 12 21 0
		0 CIRCLE 8 porthole 10 6 20 3 40 1
		0 TEXT 8 keel 1 GULL
		0 ENDSEC 0 EOF`)
	d, err := dxf.Read("boat.dxf", []byte(strings.Join(pairs, "\n")), dxf.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	b := d.Bounds()
	fmt.Printf("%.0f x %.0f mm\n", b.Width(), b.Height())
	for _, l := range d.Layers {
		fmt.Printf("layer %q: %d stroke\n", l.Name, len(l.Strokes))
	}
	for _, n := range d.Notes {
		fmt.Printf("line %d: %s\n", n.Line, n.Message)
	}
	// Output:
	// 120 x 40 mm
	// layer "keel": 1 stroke
	// layer "porthole": 1 stroke
	// line 37: 1 TEXT is not drawn; turn the text into lines in the drawing program.
	// line 5: The file says that it is drawn in centimetres, so it measures 120 x 40 mm. If that is wrong, say in what it is drawn with [units].
}
