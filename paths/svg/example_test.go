package svg_test

import (
	"fmt"

	"weftplot/paths"
	"weftplot/paths/svg"
)

// The layers of a design are what is drawn; its notes list what in the file is
// not line work.
func ExampleRead() {
	file := []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="80mm" viewBox="0 0 120 80">
	<g id="waves" fill="none" stroke="navy" stroke-width="2">
		<path d="M10 60 C30 40 50 40 70 60"/>
		<circle cx="90" cy="30" r="12" stroke-dasharray="3 2"/>
	</g>
</svg>`)
	d, err := svg.Read("harbour.svg", file, svg.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f x %.0f mm\n", d.Page.Width(), d.Page.Height())
	for _, l := range d.Layers {
		fmt.Printf("layer %q: %d strokes, %.1f mm\n", l.Name, len(l.Strokes), paths.LengthOf(d.Strokes()))
	}
	for _, n := range d.Notes {
		fmt.Printf("line %d, %s: %s\n", n.Line, n.Element, n.Message)
	}
	// Output:
	// 120 x 80 mm
	// layer "waves": 2 strokes, 144.3 mm
	// line 4, circle: Its line is dashed; it is drawn whole.
}

func ExampleWrite() {
	d := paths.Design{
		Page: paths.RectOf(paths.Point{}, paths.Point{X: 40, Y: 30}), HasSize: true,
		Layers: []paths.Layer{{Name: "hull", Strokes: []paths.DesignStroke{
			{Stroke: paths.Polyline(paths.Point{X: 5, Y: 10}, paths.Point{X: 35, Y: 10}), Width: 0.5, Colour: "#234"},
		}}},
	}
	fmt.Print(string(svg.Write(d)))
	// Output:
	// <?xml version="1.0" encoding="UTF-8"?>
	// <svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="40mm" height="30mm" viewBox="0 0 40 30">
	//  <g id="hull" stroke-linecap="round" stroke-linejoin="round">
	//   <path fill="none" stroke="#234" stroke-width="0.5" d="M5 20L35 20"/>
	//  </g>
	// </svg>
}
